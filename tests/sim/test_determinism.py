"""The trajectory depends on rig, seed and the time-stamped commands only: not on pace, frames, saving, forking or being watched."""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim import Bench
from sim.rig import Rig
from sim.saving import frozen
from sim.session import line_up

Step = tuple[float, Callable[[Bench], Any]]


def put(tag: str, value: float | str) -> Callable[[Bench], None]:
    """A command."""
    return lambda bench: bench.set(tag, value)


def begin(bench: Bench) -> None:
    """Line up and start, all at one instant."""
    line_up(bench, "thermostatic")


LOG: list[Step] = [
    (1.0, begin),
    (21.25, lambda b: b.insert_fault("condenser-air-low", 0.6, ramp_s=15.0)),
    (30.000001, put("HV-22", 1.0)),
    (30.7, put("HCV-22", 0.37)),
    (40.3, lambda b: b.insert_fault("undercharge", 0.1)),
    (48.0, put("HS-7", "closed")),
    (60.0, put("HS-4", "off")),
    (60.2, put("supply_voltage_v", 85.0)),
    (
        60.4,
        put("HS-4", "on"),
    ),  # against pressure and on low voltage: the motor stalls, its overload works
    (90.0, put("supply_voltage_v", 120.0)),
    (95.5, put("PSHH-1.set", 950_000.0)),
    (100.0, put("HS-5", "heating")),
    (110.0, lambda b: b.remove_fault("condenser-air-low")),
    (120.1, put("HV-42", 0.0)),
    (130.0, put("HV-42", 1.0)),
    (131.0, put("PSHH-1.reset", 1.0)),
    (140.0, put("PSHH-1.set", 1_701_325.0)),
    (150.0, put("HV-12", 0.0)),
    (150.0, put("HS-6", "off")),
    (155.0, put("room_temperature_c", 35.0)),
]
"""Starts, faults with ramps, charge let out, a stall with relay and overload, trips, a reversal, a shut valve."""
END_S = 180.0


def digest(bench: Bench) -> str:
    """Hash of everything a bench holds, bit for bit."""
    arrays, values = frozen(bench)
    h = hashlib.sha256()
    for name in sorted(arrays):
        h.update(name.encode())
        h.update(np.ascontiguousarray(arrays[name]).tobytes())
    h.update(json.dumps(values, sort_keys=True).encode())
    return h.hexdigest()


def live(bench: Bench, frame_s: float | None, between: Callable[[Bench], Bench] = lambda b: b) -> Bench:  # fmt: skip
    """Live through the log in frames of ``frame_s`` (None: from command to command), with ``between`` done after every frame."""
    steps = [*LOG, (END_S, lambda _: None)]
    frame = 1
    for at, command in steps:
        while frame_s is not None and frame * frame_s < at:
            bench.advance(max(frame * frame_s - bench.time_s, 0.0))
            bench = between(bench)
            frame += 1
        bench.advance(max(at - bench.time_s, 0.0))
        command(bench)
    return bench


@pytest.fixture(scope="module")
def once(rig: Rig) -> Bench:
    """The log lived through in one go."""
    return live(Bench(rig, seed=5), None)


def test_the_log_has_met_what_it_was_written_for(once: Bench) -> None:
    """Else the tests below would prove little."""
    kinds = {e.kind for e in once.events}
    assert {"command", "contact", "fault", "stall", "trip"} <= kinds
    assert once.time_s == END_S


@pytest.mark.parametrize("frame_s", [0.1, 1.0, 1.0 / 3.0])
def test_frames_do_not_matter(rig: Rig, once: Bench, frame_s: float) -> None:
    assert digest(live(Bench(rig, seed=5), frame_s)) == digest(once)


def watched(bench: Bench) -> Bench:
    """Look at everything."""
    bench.snapshot()
    bench.ledger()
    return bench


def test_being_watched_does_not_matter(rig: Rig, once: Bench) -> None:
    assert digest(live(Bench(rig, seed=5), 0.7, watched)) == digest(once)


def test_saving_and_loading_do_not_matter(rig: Rig, once: Bench, tmp_path: Path) -> None:
    """Every 20 s the bench is given up for what its file says."""

    def through_a_file(bench: Bench) -> Bench:
        bench.save(tmp_path / "b.bench")
        return Bench.load(tmp_path / "b.bench")

    assert digest(live(Bench(rig, seed=5), 20.05, through_a_file)) == digest(once)


def test_forking_does_not_matter_to_either(rig: Rig, once: Bench) -> None:
    """The fork lives on; what it was forked from is thrown away, after having run ahead."""

    def forked(bench: Bench) -> Bench:
        twin = bench.fork()
        bench.advance(5.0)
        bench.set("HS-1", "off")
        return twin

    assert digest(live(Bench(rig, seed=5), 17.77, forked)) == digest(once)


def test_a_save_in_the_middle_of_what_was_put_off_keeps_it(rig: Rig, once: Bench, tmp_path: Path) -> None:  # fmt: skip
    """A start relay on its way, a stall check, a ramp and charge being let out, all pending at once."""
    pending: set[str] = set()

    def through_a_file(bench: Bench) -> Bench:
        pending.update(due.method for due in bench._due)
        bench.save(tmp_path / "b.bench")
        return Bench.load(tmp_path / "b.bench")

    bench = Bench(rig, seed=5)
    bench.advance(1.0)
    begin(bench)
    for _ in range(6):
        bench.advance(0.005)
        bench = through_a_file(bench)
    bench.insert_fault("undercharge", 0.1)
    bench.insert_fault("condenser-fouled", 0.5, ramp_s=10.0)
    straight = bench.fork()
    for _ in range(4):
        bench.advance(0.25)
        bench = through_a_file(bench)
    straight.advance(1.0)
    assert {"armature", "stall_check", "charge_step", "fault_step"} <= pending
    assert digest(bench) == digest(straight)


def test_the_seed_changes_displays_and_nothing_else(rig: Rig) -> None:
    one, two = Bench(rig, seed=1), Bench(rig, seed=2)
    for bench in (one, two):
        line_up(bench, "thermostatic")
        bench.advance(60.0)
    a, b = one.readings(), two.readings()
    assert {k for k in a if a[k] != b[k]} == {k for k in a if k.endswith("_shown") and a[k] != b[k]}
    assert any(a[k] != b[k] for k in a)


SCRIPT = """
import sys
from sim import Bench
from sim.readings import READINGS
bench = Bench.load(sys.argv[1])
bench.advance(30.0)
print(repr([bench.readings()[name] for name in sorted(READINGS)]))
"""


def test_another_process_goes_on_alike(running: Bench, tmp_path: Path) -> None:
    running.insert_fault("evaporator-air-low", 0.5)
    running.advance(7.3)
    running.save(tmp_path / "b.bench")
    command = [sys.executable, "-c", SCRIPT, str(tmp_path / "b.bench")]
    said = subprocess.run(command, capture_output=True, text=True, check=True)
    running.advance(30.0)
    from sim.readings import READINGS

    here = running.readings()
    assert said.stdout.strip() == repr([here[name] for name in sorted(READINGS)])
