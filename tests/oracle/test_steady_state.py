"""The bench's steady state against one that CoolProp and 200 segments a coil give without it (``tests.oracle.steady_plant``).

Shared with the bench are the rig's numbers and the parts' laws; not shared are property tables, coil cells, network, kernel and integrator.
Limits: pressures and mass flow 1 %, coil charge 3 %, at the shipped number of cells. Prints the deviations; see them with -rP.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from sim import load_rig
from sim.rig import Device, Mode
from tests.oracle.bench_side import RIG, deviations, oracle_for, steady_bench
from tests.oracle.steady_plant import Plant

PRESSURE_AND_FLOW_PERCENT = 1.0
CHARGE_PERCENT = 3.0
OTHERS: list[tuple[Device, Mode]] = [
    ("capillary", "cooling"),
    ("hand", "cooling"),
    ("capillary", "heating"),
]
FINER = (12, 16)


ORACLE = ("real_fluid", "marched_coil", "placed_parts", "steady_plant")
NOT_SHARED = (
    "fluid",
    "fluid_kernel",
    "fluid_inverse",
    "cell",
    "network",
    "kernel",
    "jacobian",
    "integrate",
    "course",
    "bench",
    "measure",
)


def imported(module: str) -> set[str]:
    """Names of all modules of ``sim`` that a module of the oracle imports."""
    tree = ast.parse(Path(__file__).with_name(f"{module}.py").read_text())
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
    return {name for name in found if name.startswith("sim")}


@pytest.mark.parametrize("module", ORACLE)
def test_the_oracle_uses_neither_tables_nor_cells_nor_network_nor_integrator(module: str) -> None:
    assert not imported(module) & {f"sim.{name}" for name in NOT_SHARED}


def assert_within_limits(found: dict[str, float]) -> None:
    print({name: round(value, 2) for name, value in found.items()})
    for name, percent in found.items():
        limit = CHARGE_PERCENT if "charge" in name else PRESSURE_AND_FLOW_PERCENT
        assert abs(percent) <= limit, f"{name}: {percent:+.2f} %"


def test_the_thermostatic_cycle_is_that_of_the_marched_coils() -> None:
    bench = steady_bench("thermostatic")
    assert_within_limits(deviations(bench, oracle_for(bench, "thermostatic")))


@pytest.mark.full
@pytest.mark.parametrize(("device", "mode"), OTHERS)
def test_the_other_cycles_are_those_of_the_marched_coils(device: Device, mode: Mode) -> None:
    bench = steady_bench(device, mode)
    assert_within_limits(deviations(bench, oracle_for(bench, device, mode), mode))


@pytest.mark.full
@pytest.mark.parametrize("cells", FINER)
@pytest.mark.parametrize(("device", "mode"), [("thermostatic", "cooling"), *OTHERS])
def test_more_cells_stay_within_the_limits(device: Device, mode: Mode, cells: int) -> None:
    bench = steady_bench(device, mode, cells)
    assert_within_limits(deviations(bench, oracle_for(bench, device, mode), mode))


@pytest.mark.full
def test_the_oracle_itself_has_converged_at_200_segments() -> None:
    """Twice the segments move nothing by a twentieth of the limits."""
    bench = steady_bench("thermostatic")
    coarse, fine = (oracle_for(bench, "thermostatic", segments=n) for n in (200, 400))
    moved = {
        f"p {node}": stream.p / fine.nodes[node].p - 1.0 for node, stream in coarse.nodes.items()
    }
    moved["mass flow"] = coarse.machine.flow / fine.machine.flow - 1.0
    assert max(map(abs, moved.values())) < 5e-4
    assert coarse.condenser.charge_kg == pytest.approx(fine.condenser.charge_kg, rel=1.5e-3)
    assert coarse.evaporator.charge_kg == pytest.approx(fine.evaporator.charge_kg, rel=1.5e-3)


@pytest.mark.full
def test_the_oracle_obeys_the_first_law() -> None:
    """Over the oracle's own circuit: power and heat from both coils' air leave through the walls."""
    plant = Plant(load_rig(RIG), "thermostatic")
    oracle = plant.solve()
    room = sum(plant.room_heat(k, s) for k, s in oracle.nodes.items() if k != "shell")
    shell = plant.walls["shell"].conductance_w_k * (plant.room_t - oracle.machine.shell_wall_t)
    left_over = (
        oracle.machine.power + oracle.evaporator.heat_w + oracle.condenser.heat_w + room + shell
    )
    assert abs(left_over) < 1e-3 * oracle.machine.power
