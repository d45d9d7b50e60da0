"""The library of machine code: entered with what it was made for, the same numbers by every way, and no compiler in a program that runs."""

from __future__ import annotations

import ast
import importlib
import os
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim import library
from sim.cache import cache_folder, laws
from sim.compiled import Law
from sim.course import air_through, panel_value
from sim.doors import Door, Number, kind_of, signature_of
from sim.errors import PlantError
from sim.fluid import Fluid
from sim.fluid_columns import N_SAT
from sim.fluid_kernel import energy, saturation
from sim.parts.motor import field_impedance, resistance_ratio
from sim.psychrometrics import dew_point_k

ROOT = Path(__file__).parents[2]
MODULES = sorted([*(ROOT / "sim").rglob("*.py"), *(ROOT / "tui").rglob("*.py")])
BLOCKED = """
import sys
from importlib.machinery import PathFinder
class Blocked:
    def find_spec(self, name, path=None, target=None):
        if name in ("numba", "llvmlite"):
            found = PathFinder.find_spec(name, path)
            found.loader = self
            return found
    def create_module(self, spec):
        raise AssertionError(f"{spec.name} was imported")
    def exec_module(self, module):
        pass
sys.meta_path.insert(0, Blocked())
from tui.cli import main
sys.exit(main(sys.argv[1:]))
"""
TABLES = Fluid.load("R134a").tables


def module_of(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts)


for one in laws():
    importlib.import_module(module_of(one))


def law(function: Any) -> Law:
    assert isinstance(function, Law)
    return function


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (energy, (TABLES, 50.0, 290.0)),
        (resistance_ratio, (350.0, 234.5)),
        (dew_point_k, (0.007, 101325.0)),
    ],
    ids=["energy", "resistance_ratio", "dew_point_k"],
)
def test_a_door_gives_what_plain_python_gives(function: Any, arguments: tuple[Any, ...]) -> None:
    assert function(*arguments) == pytest.approx(law(function).py_func(*arguments), rel=1e-14)


def test_a_door_fills_the_array_that_it_is_given() -> None:
    here, there = np.zeros(N_SAT), np.zeros(N_SAT)
    saturation(TABLES, 5e5, here)
    law(saturation).py_func(TABLES, 5e5, there)
    assert np.count_nonzero(here) == N_SAT
    assert here == pytest.approx(there, rel=1e-14)


def test_complex_numbers_come_back_whole() -> None:
    row = np.arange(1.0, 60.0)
    through = field_impedance(row, 0.05, 1.0, 7.0)
    assert isinstance(through, complex)
    assert through.imag != 0.0
    assert through == pytest.approx(law(field_impedance).py_func(row, 0.05, 1.0, 7.0), rel=1e-13)


@pytest.mark.parametrize(
    "wrong",
    [np.zeros((N_SAT, 1)), np.zeros(N_SAT, dtype=np.float32), np.zeros(2 * N_SAT)[::2], [0.0], None],
    ids=["axes", "dtype", "stride", "list", "nothing"],
)  # fmt: skip
def test_an_array_of_another_kind_is_refused_because_the_code_would_read_beside_it(wrong: Any) -> None:  # fmt: skip
    with pytest.raises(TypeError, match="C-ordered float64 array of 1 axes"):
        saturation(TABLES, 5e5, wrong)


def test_a_tuple_of_another_kind_too_many_arguments_and_names_are_refused() -> None:
    with pytest.raises(TypeError, match="FluidTables expected, not tuple"):
        energy(tuple(TABLES), 50.0, 290.0)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="Plant expected"):
        panel_value(TABLES, 0, 1 + 0j, 1 + 0j)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="longer"):
        energy(TABLES, 50.0, 290.0, 1.0)  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="by position"):
        energy(fl=TABLES, rho=50.0, T=290.0)


def test_words_of_a_bundle_follow_the_tuple_and_not_its_address() -> None:
    for scale in (1.0, 1.1, 1.2):
        tables = TABLES._replace(core=TABLES.core * scale)
        assert energy(tables, 50.0, 290.0) == pytest.approx(law(energy).py_func(tables, 50.0, 290.0))  # fmt: skip
        del tables


def test_what_a_door_takes_is_read_from_its_annotations() -> None:
    found = signature_of(law(air_through).py_func)
    assert [type(one).__name__ for one in found.arguments] == ["Axes", "Bundle", "Number"]
    assert found.results == (Number(float, "d"),)
    with pytest.raises(TypeError, match="no door can take"):
        kind_of(list)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_python_calls_a_law_by_a_door_only(path: Path) -> None:
    """A law that is no door would bring the compiler into the running program."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = {
        node.func.id
        for outer in tree.body
        if not (isinstance(outer, ast.FunctionDef) and outer.decorator_list)
        for node in ast.walk(outer)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    if not names or path.name in ("__main__.py", "forge.py"):
        return
    space = vars(importlib.import_module(module_of(path)))
    called = {name for name in names if isinstance(space.get(name), Law)}
    assert {name for name in called if not isinstance(space[name], Door)} == set()


@pytest.mark.parametrize(
    "command",
    [
        ["steady", "fennick_bench", "--device", "thermostatic"],
        ["rehearse", "--fault", "undercharge", "--severity", "0.4"],
        ["survey", "--faults", "undercharge", "--devices", "capillary", "--rooms", "23", "--workers", "1"],
        ["saturation", "fennick_bench"],
        ["list", "readings"],
    ],
    ids=lambda command: command[0],
)  # fmt: skip
def test_a_command_runs_without_the_compiler(command: list[str], tmp_path: Path) -> None:
    library.ready()
    done = subprocess.run([sys.executable, "-c", BLOCKED, *command], cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout


RUN = """
import sys
from sim import library
library.SHARED = sys.argv[1]
from sim import Bench, load_rig
bench = Bench(load_rig("fennick_bench"))
bench.set("HS-1", "on")
bench.advance(20.0)
print("llvmlite" in sys.modules, bench.snapshot().readings)
"""


def test_a_machine_without_a_linker_gets_the_same_numbers_from_the_bare_object() -> None:
    library.ready()
    said = [subprocess.run([sys.executable, "-c", RUN, name], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split(maxsplit=1) for name in ("laws.so", "no.so")]  # fmt: skip
    assert [by_llvmlite for by_llvmlite, _ in said] == ["False", "True"]
    assert said[0][1] == said[1][1]


@pytest.fixture
def unloaded(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A process that has not loaded the library yet, and an empty folder for it."""
    monkeypatch.setattr(library, "_LOADED", [])
    monkeypatch.setattr(library, "cache_folder", lambda: tmp_path / "kernels")
    return tmp_path / "kernels"


def copied(folder: Path, _: library.Progress) -> None:
    """Instead of compiling."""
    for name in (library.SHARED, library.OBJECT):
        if (cache_folder() / name).is_file():
            (folder / name).write_bytes((cache_folder() / name).read_bytes())


def test_a_folder_that_cannot_be_written_only_costs_the_time(unloaded: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setattr(library, "writable", lambda folder: False)
    monkeypatch.setattr(library, "make", copied)
    library.ready()
    assert library._LOADED[0]("sim_fluid_kernel_energy") > 0
    assert not unloaded.exists()


def test_half_a_library_is_made_anew(unloaded: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    unloaded.mkdir()
    (unloaded / library.SHARED).write_bytes(b"\x7fELF and no more")
    monkeypatch.setattr(library, "make", copied)
    library.ready()
    assert library._LOADED[0]("sim_fluid_kernel_energy") > 0


def test_a_compiler_that_fails_is_one_sentence_with_a_remedy(unloaded: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setattr(library, "MODULE", "sim.no_such_module")
    with pytest.raises(PlantError, match=r"cannot be compiled \(.*no_such_module.*\): install numba"):  # fmt: skip
        library.ready()
    assert not any(unloaded.iterdir())


@pytest.mark.full
def test_a_first_start_tells_how_far_it_has_come(unloaded: Path) -> None:
    told = [(time.monotonic(), 0.0)]
    library.ready(lambda what, share: told.append((time.monotonic(), share or 0.0)))
    assert told[-1][1] == 1.0
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    whole = told[-1][0] - told[0][0]
    halfway = next(share for at, share in told if at > told[0][0] + whole / 2)
    assert halfway == pytest.approx(0.5, abs=0.15), "the bar runs ahead or lags"
    assert max(b - a for (a, _), (b, _) in pairwise(told)) < 0.1 * whole, "the bar stands still"
    assert {path.name for path in unloaded.iterdir()} >= {library.OBJECT}
