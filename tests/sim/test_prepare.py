"""How far compiling has come, and which kernels are removed from the cache."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import numba
import pytest

from sim import prepare
from sim.prepare import (
    ALONE,
    BESIDE,
    DAY_S,
    KEPT_DAYS,
    MOST_SHARE,
    counted,
    remove_old_kernels,
)

ROOT = Path(__file__).parents[2]
NOW_S = 1.8e9
COLD_START = """
import json, os, sys, time
os.cpu_count = lambda: int(sys.argv[1])
from sim.prepare import counted
from tests.speed.pace_lag import COLD, SCENARIOS, STEADY
from tui.opening import open_plant
from tui.orders import Begin
told, late = [], []
open_plant(Begin(), lambda text, share=None: told.append((time.monotonic(), share)))
told.append((time.monotonic(), 1.0))
with counted(lambda text, share: late.append(name)):
    for name, (begin, settings) in SCENARIOS.items():
        bench = open_plant(begin, lambda text, share=None: None).bench
        for tag, value in settings.items():
            bench.set(tag, value)
        for _ in range(30):
            bench.advance(10.0)
            bench.snapshot()
print(json.dumps([told, late]))
"""


def compile_one(module: str) -> None:
    def one(x: float) -> float:
        return x + 1.0

    one.__module__ = module
    numba.njit(one)(1.0)  # type: ignore[type-var]


def test_the_share_grows_with_every_function_of_the_plant() -> None:
    told: list[tuple[str, float]] = []
    with counted(lambda text, share: told.append((text, share or 0.0))):
        compile_one("sim.anything")
        compile_one("numpy.anything")
        compile_one("sim.anything")
    compile_one("sim.anything")
    shares = [share for _, share in told]
    assert len(shares) == 2
    assert 0 < shares[0] < shares[1] < 0.01


def test_what_is_compiled_is_not_yet_ready() -> None:
    told: list[float | None] = []
    with counted(lambda text, share: told.append(share), ((0, 1), (0.0, 1.0))):
        compile_one("sim.anything")
        compile_one("sim.anything")
    assert told == [MOST_SHARE, MOST_SHARE]


@pytest.mark.full
@pytest.mark.parametrize("processors", [1, 2])
def test_a_machine_without_a_cache_compiles_as_many_functions_as_the_share_reckons_with(tmp_path: Path, processors: int) -> None:  # fmt: skip
    if processors > (os.cpu_count() or 1):
        pytest.skip("this machine has one processor")
    environment = {**os.environ, "RIMEBENCH_CACHE": str(tmp_path)}
    done = subprocess.run([sys.executable, "-c", COLD_START, str(processors)], cwd=ROOT, env=environment, capture_output=True, text=True, check=True)  # fmt: skip
    everything, late = json.loads(done.stdout)
    assert late == [], "compiled only when it was needed, which holds up a running plant"
    told = [(at, share) for at, share in everything if share is not None]
    race = (
        5 if processors == 1 else 30
    )  # which of two processes is first with what both need is chance
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert len(told) - 1 == pytest.approx((ALONE, BESIDE)[processors - 1][0][-1], abs=race)
    halfway = next(share for at, share in told if at > (told[0][0] + told[-1][0]) / 2)
    assert halfway == pytest.approx(0.5, abs=0.15 * processors), "the bar runs ahead or lags"
    longest = max(b - a for (a, _), (b, _) in pairwise(told))
    assert longest < 0.2 * (told[-1][0] - told[0][0]), "the bar stands still"


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder with the kernels of this version, of an old one and of a young one, each of a thousand bytes."""
    current = tmp_path / "kernels-00000000000000aa"
    monkeypatch.setattr(prepare, "cache_folder", lambda: current)
    for name, days in ((current.name, 90.0), ("kernels-00000000000000bb", 31.0), ("kernels-00000000000000cc", 29.0)):  # fmt: skip
        filled(tmp_path / name, days)
    return tmp_path


def filled(folder: Path, days: float) -> None:
    inner = folder / "sim_1"
    inner.mkdir(parents=True)
    (inner / "kernel.nbc").write_bytes(bytes(1000))
    at = NOW_S - days * DAY_S
    for path in (inner / "kernel.nbc", inner, folder):
        os.utime(path, (at, at))


def names(folder: Path) -> set[str]:
    return {path.name[-2:] for path in folder.iterdir()}


def test_old_kernels_of_other_versions_go_and_nothing_else(cache: Path) -> None:
    filled(cache / "kernels-mine", 90.0)
    filled(cache / "old-kernels-00000000000000dd", 90.0)
    (cache / "kernels-00000000000000ee").write_text("a file")
    assert remove_old_kernels(NOW_S) == 1000
    assert names(cache) == {"aa", "cc", "ne", "dd", "ee"}
    assert remove_old_kernels(NOW_S) == 0


def test_a_folder_in_which_something_was_written_lately_stays(cache: Path) -> None:
    young = cache / "kernels-00000000000000bb" / "sim_1" / "young.nbc"
    young.write_bytes(b"")
    os.utime(young, (NOW_S - DAY_S, NOW_S - DAY_S))
    assert remove_old_kernels(NOW_S) == 0
    assert young.exists()


def test_links_are_not_followed(cache: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    outside = tmp_path_factory.mktemp("outside")
    filled(outside / "kernels-00000000000000ff", 90.0)
    try:
        (cache / "kernels-00000000000000ff").symlink_to(outside / "kernels-00000000000000ff")
        (cache / "kernels-00000000000000bb" / "link").symlink_to(outside)
    except OSError:
        pytest.skip("no links on this system")
    remove_old_kernels(NOW_S + KEPT_DAYS * DAY_S * 1000)
    assert (outside / "kernels-00000000000000ff" / "sim_1" / "kernel.nbc").exists()
    assert (cache / "kernels-00000000000000ff").is_symlink()


def test_a_cache_that_is_not_there_is_no_mistake(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(prepare, "cache_folder", lambda: Path("/nowhere/at/all/kernels-00000000000000aa"))  # fmt: skip
    assert remove_old_kernels(NOW_S) == 0
