"""Saving and loading: the same bench again, an older file kept, and a reason for every file that will not do."""

from __future__ import annotations

import errno
import json
import shutil
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim import Bench, load_rig, saving
from sim.errors import InputError
from sim.events import Event
from sim.faulting import ActiveFault
from sim.faults import all_faults


def test_a_loaded_bench_is_the_saved_one(running: Bench, tmp_path: Path) -> None:
    running.insert_fault("condenser-air-low", 0.4, ramp_s=100.0)
    running.advance(30.0)
    running.save(tmp_path / "b.bench")
    again = Bench.load(tmp_path / "b.bench")
    assert again.snapshot().readings == running.snapshot().readings
    assert again.snapshot().commands == running.snapshot().commands
    assert again.events == running.events
    assert again.ledger() == running.ledger()


def test_a_saved_bench_comes_back_on_its_own_wiring(tmp_path: Path) -> None:
    bench = Bench(load_rig("fennick_bench:230v"))
    bench.set("HS-1", "on")
    bench.advance(2.0)
    bench.save(tmp_path / "b.bench")
    again = Bench.load(tmp_path / "b.bench")
    assert again.rig.wiring == "230v"
    assert again.readings() == bench.readings()


def test_no_text_of_a_saved_bench_names_a_fault(running: Bench, tmp_path: Path) -> None:
    path = tmp_path / "b.bench"
    for name in all_faults():
        running.faults[name] = ActiveFault(name, 0.5, 0.0)
        running.events.append(Event(0.0, name, "fault", all_faults()[name].what))
    running.save(path)
    with zipfile.ZipFile(path) as archive:
        unpacked = [archive.read(name) for name in archive.namelist()]
    for stored in (path.read_bytes(), *unpacked):
        text = stored.replace(b"\0", b"").decode("latin-1")
        assert not [
            name for name in all_faults() if name in text or all_faults()[name].what in text
        ]
        assert "fault" not in text


def test_a_save_that_fails_leaves_the_older_file_as_it_was(running: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    path = tmp_path / "b.bench"
    running.save(path)
    before = path.read_bytes()

    def full(*_: Any, **__: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(InputError, match="No space left"):
        running.save(path)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_save_without_a_folder_says_so(running: Bench, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="could not be saved"):
        running.save(tmp_path / "nowhere" / "b.bench")


def test_a_file_that_is_not_there_says_so(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        Bench.load(tmp_path / "b.bench")


@pytest.mark.parametrize("what", ["empty", "text", "npy", "zip", "list"])
def test_other_files_are_no_saved_bench(tmp_path: Path, what: str) -> None:
    path = tmp_path / "b.bench"
    if what == "empty":
        path.write_bytes(b"")
    elif what == "text":
        path.write_text("time_s,suction_pressure_pa\n")
    elif what == "npy":
        with path.open("wb") as file:
            np.save(file, np.zeros(3))
    elif what == "zip":
        with zipfile.ZipFile(path, "w") as archive:
            archive.writestr("values", "hello")
    else:
        with path.open("wb") as file:
            np.savez(file, values=np.array("[1, 2]"))
    with pytest.raises(InputError, match="no saved bench"):
        Bench.load(path)


def test_a_truncated_or_spoiled_save_is_refused_wherever_it_is_hurt(running: Bench, tmp_path: Path, seed: int) -> None:  # fmt: skip
    """A byte in a zip's unused fields (a date) may change nothing; then the bench must be the same."""
    path = tmp_path / "b.bench"
    running.save(path)
    whole = path.read_bytes()
    arrays, _ = saving.opened(path)
    rng = np.random.default_rng(seed)
    refused = 0
    for k in range(120):
        at = int(rng.integers(len(whole)))
        spoiled = bytearray(whole)
        if k % 3 == 0:
            spoiled = spoiled[:at]
        else:
            spoiled[at] ^= int(rng.integers(1, 256))
        path.write_bytes(bytes(spoiled))
        try:
            found, _ = saving.opened(path)
        except InputError:
            refused += 1
        else:
            assert all(np.array_equal(found.get(n, values), values) for n, values in arrays.items())
    assert refused > 80


def changed(path: Path, **values: Any) -> None:
    """Rewrite a save with some of its plain values changed."""
    arrays, plain = saving.opened(path)
    with path.open("wb") as file:
        np.savez(file, values=np.array(json.dumps(plain | values)), **arrays)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"rig_key": "0" * 16}, "has changed"),
        ({"rig": "", "rig_name": "no_such_rig"}, "no_such_rig"),
        ({"format": 99}, "another version"),
        ({"due": [[1, 1, "repair", ["M1"]]]}, "damaged"),
        ({"happenings": [True]}, "damaged"),
        ({"seed": "one"}, "damaged"),
        ({"commands": 3}, "damaged"),
        ({"commands": {"HS-4": "fast"}}, "damaged"),
        ({"tick": -5}, "damaged"),
        ({"due": [[1, 1, "arm", []]]}, "damaged"),
        ({"faults": [{"name": "undercharge"}]}, "damaged"),
        ({"initial": [0.0, 0.0, 0.0]}, "damaged"),
        ({"initial": [0.7, float("nan"), 0.0]}, "damaged"),
    ],
)
def test_a_save_that_does_not_fit_says_why(running: Bench, tmp_path: Path, values: dict[str, Any], says: str) -> None:  # fmt: skip
    path = tmp_path / "b.bench"
    running.save(path)
    changed(path, **values)
    with pytest.raises(InputError, match=says):
        Bench.load(path)


@pytest.mark.parametrize(
    ("array", "index", "value"),
    [
        ("memory.y", 3, np.nan),
        ("memory.y", 3, 1.0),  # a kilogram more than was ever charged
        ("watch.pending", 0, -1.0),
    ],
)
def test_a_state_that_cannot_be_is_refused(running: Bench, tmp_path: Path, array: str, index: int, value: float) -> None:  # fmt: skip
    path = tmp_path / "b.bench"
    running.save(path)
    arrays, plain = saving.opened(path)
    arrays[array][index] = value
    with path.open("wb") as file:
        np.savez(file, values=np.array(json.dumps(plain)), **arrays)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="damaged"):
        Bench.load(path)


@pytest.mark.parametrize(
    ("file", "before", "after"),
    [("rig.toml", "kg = 0.700", "kg = 0.650"), ("rig.toml", "ps_pa = 2101325.0", "ps_pa = 2201325.0"), ("wiring_120v.toml", "resistance_ohm = 0.25", "resistance_ohm = 0.30")],
)  # fmt: skip
def test_a_save_of_another_rig_of_the_same_name_is_refused(running: Bench, tmp_path: Path, file: str, before: str, after: str) -> None:  # fmt: skip
    path = tmp_path / "b.bench"
    running.save(path)
    folder = tmp_path / "fennick_bench"
    shutil.copytree(running.rig.folder, folder)
    text = (folder / file).read_text()
    assert before in text
    (folder / file).write_text(text.replace(before, after, 1))
    changed(path, rig=str(folder))
    with pytest.raises(InputError, match="has changed"):
        Bench.load(path)
