"""Heat and power of the running bench balance, from what its truth readings say of the air, the refrigerant and the panel. Limit 0.5 %.

Air: enthalpies of ``sim.psychrometrics`` (ASHRAE Fundamentals 2017 ch. 1 eq. 30, checked in tests/sim), flow and states of the air readings, plus what the
casing takes from still air. The room's share comes from the ledger: heat from air and room over an hour, less the coils'.
"""

from __future__ import annotations

import pytest

from sim import Bench
from sim import columns as c
from sim.layout import cell_names, coil_tables
from sim.machine import phasor
from sim.measure import View
from sim.parts.coil import Coil
from sim.psychrometrics import deposit_enthalpy_j_kg, enthalpy_j_kg
from sim.rig import Device, Mode
from tests.oracle.bench_side import steady_bench

HOUR_S = 3600.0
PERCENT = 0.5
OTHERS: list[tuple[Device, Mode]] = [
    ("capillary", "cooling"),
    ("hand", "cooling"),
    ("float", "cooling"),
    ("capillary", "heating"),
]


def wall_temperatures(view: View, coil: Coil) -> list[float]:
    lay = view.bench.layout
    return [float(view.y[lay.wall_start + lay.walls[name]]) for name in cell_names(coil)]


def still_air_heat(view: View, coil: Coil, air_k: float) -> float:
    """Heat from still air into a coil's casing, W."""
    walls = wall_temperatures(view, coil)
    return coil.still_conductance_w_k * (air_k - sum(walls) / len(walls))


def air_heat(bench: Bench, role: str) -> float:
    """Heat that the air of evaporator or condenser gives up, W, from its readings; water that settles takes its own enthalpy along."""
    view, r = View(bench), bench.readings()
    evaporator, condenser = view.coil_ends()
    coil = next(k for k in coil_tables(bench.rig) if k.tag == (evaporator if role == "evaporator" else condenser))  # fmt: skip
    t_in, t_out = float(r[f"{role}_air_in_k"]), float(r[f"{role}_air_out_k"])
    w_in = w_out = float(r["evaporator_air_in_humidity_ratio"])
    settled = 0.0
    if role == "evaporator":
        w_out = float(r["evaporator_air_out_humidity_ratio"])
        walls = wall_temperatures(view, coil)
        water = float(r["evaporator_condensate_kg_s"])
        freezing = sum(view.at(name, c.P_FREEZE) for name in cell_names(coil))
        mean = sum(walls) / len(walls)
        settled = water * float(deposit_enthalpy_j_kg(mean, freezing / water))
    change = float(enthalpy_j_kg(t_in, w_in)) - float(enthalpy_j_kg(t_out, w_out))
    return float(r[f"{role}_air_flow_kg_s"]) * change - settled + still_air_heat(view, coil, t_in)


def evaporator_coil_heat(bench: Bench) -> float:
    """Heat that the coil's walls give to the refrigerant, W."""
    view = View(bench)
    coil = next(k for k in coil_tables(bench.rig) if k.tag == view.coil_ends()[0])
    return sum(view.at(name, c.P_HEAT) for name in cell_names(coil))


def assert_the_books_balance(device: Device, mode: Mode = "cooling") -> None:
    bench = steady_bench(device, mode).fork()
    before = bench.ledger()
    cold, warm = air_heat(bench, "evaporator"), -air_heat(bench, "condenser")
    assert cold == pytest.approx(evaporator_coil_heat(bench), rel=PERCENT / 100)
    assert warm == pytest.approx(float(bench.readings()["heat_rejected_w"]), rel=PERCENT / 100)
    panel = float(bench.readings()["power_w"]) - outside_the_shell(bench)
    bench.advance(HOUR_S)
    after = bench.ledger()
    electric = (after["electric_j"] - before["electric_j"]) / HOUR_S
    air = (after["air_heat_j"] - before["air_heat_j"]) / HOUR_S
    assert panel == pytest.approx(electric, rel=PERCENT / 100)
    room = air - (cold - warm)
    print(f"air gives {cold:.1f} W, air takes {warm:.1f} W, motor {panel:.1f} W, room {room:.1f} W")
    assert room == pytest.approx(room_heat(bench), abs=PERCENT / 100 * warm)
    assert cold + panel + room_heat(bench) == pytest.approx(warm, rel=PERCENT / 100)


def outside_the_shell(bench: Bench) -> float:
    """What the panel gives to fans and coils, and to start relay and overload in the motor's line, W."""
    motor = bench.supply.motor
    assert motor is not None
    amps = abs(phasor(bench.plant, c.FEED_OVERLOAD, *bench.watch.current))
    in_line = motor.relay_resistance_ohm + motor.overload_resistance_ohm
    r = bench.readings()
    others = float(r["power_w"]) - float(r["compressor_power_w"])
    return others + float(amps) ** 2 * in_line


def room_heat(bench: Bench) -> float:
    """Heat from the room through the walls of pipes, vessels and shell, W, from their temperatures."""
    view, lay = View(bench), bench.layout
    return sum(
        w.conductance_w_k * (bench.surroundings.room_temperature_k - float(view.y[lay.wall_start + lay.walls[w.node]]))
        for w in bench.rig.walls
    )  # fmt: skip


def test_heat_of_both_airs_power_and_room_balance_on_the_thermostatic_valve() -> None:
    assert_the_books_balance("thermostatic")


@pytest.mark.full
@pytest.mark.parametrize(("device", "mode"), OTHERS)
def test_they_balance_on_the_other_devices_too(device: Device, mode: Mode) -> None:
    assert_the_books_balance(device, mode)
