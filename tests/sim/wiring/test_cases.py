"""What a technician knows of faults on a panel like this, as claims about the circuit."""

from __future__ import annotations

from math import pi

import pytest

from sim.parts.fan import Fan
from sim.wiring import Circuit, Multimeter, State
from tests.sim.wiring.states import (  # fmt: skip
    NAMES,
    called,
    circuit,
    panel_on,
    running,
    wire,
)

METER = Multimeter(1)


def volts(c: Circuit, state: State, a: str, b: str, *, low: bool = False) -> float:
    """What the meter reads, before its display."""
    return METER.volts(c.solve(state), a, b, low_impedance=low).value


def supply(c: Circuit) -> float:
    """Rated volts."""
    return c.wiring.supply.volts_v


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("contact", ["PSHH-1", "PSL-1", "TS-1"])
def test_full_voltage_stands_across_the_one_open_switch_of_a_chain(name: str, contact: str) -> None:
    c = circuit(name)
    state = called(c)
    state.closed[contact] = False
    c.seat(state, "K1", False)
    for other in ("PSHH-1", "PSL-1", "TS-1"):
        expected = supply(c) if other == contact else 0.0
        found = volts(c, state, f"{other}.1", f"{other}.2")
        assert found == pytest.approx(expected, rel=0.02, abs=0.05)
    assert volts(c, state, "K1.A1", "K1.A2") < 0.1


@pytest.mark.parametrize("name", NAMES)
def test_two_open_switches_share_the_voltage_and_neither_shows_all_of_it(name: str) -> None:
    c = circuit(name)
    state = called(c)
    state.closed["PSHH-1"] = state.closed["TS-1"] = False
    c.seat(state, "K1", False)
    for tag in ("PSHH-1", "TS-1"):
        assert volts(c, state, f"{tag}.1", f"{tag}.2") < 0.9 * supply(c)


@pytest.mark.parametrize("name", NAMES)
def test_with_the_neutral_open_line_stands_on_both_sides_of_every_load(name: str) -> None:
    c = circuit(name)
    state = panel_on(c)
    c.apply_fault(state, wire(c, "HS-1.4", "N.1"), "open")
    assert volts(c, state, "L.1", "N.1") < 1.0
    assert volts(c, state, "N.1", "PE.1") == pytest.approx(supply(c), rel=0.03)
    assert volts(c, state, "HS-1.4", "N.1") == pytest.approx(supply(c), rel=0.03)
    assert abs(c.solve(state).sensed("fan:FAN-A")) < 0.1


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_chafed_through_to_a_fan_pulls_the_contactor_in_by_itself(name: str) -> None:
    c = circuit(name)
    state = panel_on(c)
    assert abs(c.solve(state).sensed("magnet:K1")) < 0.1
    c.apply_bridge(state, "FAN-A.1", "K1.A1", 0.1)
    assert abs(c.solve(state).sensed("magnet:K1")) > c.magnets["K1"].pull_in


@pytest.mark.parametrize("name", NAMES)
def test_a_common_neutral_that_breaks_feeds_back_through_the_other_coil(name: str) -> None:
    """Both valve coils share a neutral; without it the idle coil's own end goes live, and its lamp glows through it."""
    c = circuit(name)
    state = panel_on(c)
    c.turn(state, "HS-6", "on")
    assert volts(c, state, "XV-2.A1", "N.1") < 0.1
    c.apply_fault(state, wire(c, "XV-2.A2", "N.1"), "open")
    assert volts(c, state, "XV-2.A1", "N.1") == pytest.approx(supply(c), rel=0.05)
    assert abs(c.solve(state).amps("P3")) > 0.9 * supply(c) / c.branch("P3").rest.ohm
    assert abs(c.solve(state).sensed("magnet:XV-1")) < 0.1 * supply(c)


@pytest.mark.parametrize("name", NAMES)
def test_a_floating_dead_lead_shows_a_ghost_and_low_impedance_takes_it_away(name: str) -> None:
    c = circuit(name)
    state = called(c)
    state.closed["PSHH-1"] = state.closed["PSL-1"] = False
    assert volts(c, state, "PSL-1.1", "PE.1") > 15.0
    assert volts(c, state, "PSL-1.1", "PE.1", low=True) < 0.1


@pytest.mark.parametrize("name", NAMES)
def test_a_lead_that_a_sound_coil_ties_to_neutral_shows_no_ghost(name: str) -> None:
    c = circuit(name)
    state = called(c)
    state.closed["PSHH-1"] = False
    assert volts(c, state, "K1.A1", "N.1") < 0.005 * supply(c)


@pytest.mark.parametrize("name", NAMES)
def test_a_grounded_winding_leaks_through_the_earth_wire_and_an_open_earth_makes_the_shell_live(name: str) -> None:  # fmt: skip
    c = circuit(name)
    state = running(c)
    c.apply_bridge(state, "M1.C", "M1.PE", 1000.0)
    earth = wire(c, "M1.PE", "PE.1")
    sound = c.solve(state)
    assert abs(sound.amps(earth)) == pytest.approx(supply(c) / 1000.0, rel=0.05)
    residual = c.wiring.device("F3").trip_a  # type: ignore[attr-defined]
    assert abs(sound.sensed("residual:F3")) > residual
    assert volts(c, state, "M1.PE", "PE.1") < 0.01
    c.apply_fault(state, earth, "open")
    assert volts(c, state, "M1.PE", "PE.1") > 0.9 * supply(c)


@pytest.mark.parametrize("name", NAMES)
def test_a_sound_bench_leaks_less_than_half_of_what_trips_it(name: str) -> None:
    c = circuit(name)
    state = running(c)
    c.turn(state, "HS-7", "heated")
    residual = c.wiring.device("F3").trip_a  # type: ignore[attr-defined]
    assert abs(c.solve(state).sensed("residual:F3")) < 0.5 * residual


@pytest.mark.parametrize("name", NAMES)
def test_an_overload_that_opened_hot_leaves_start_to_run_only(name: str) -> None:
    """The overload sits in the common lead: common to run and common to start are open from the panel, start to run is not."""
    c = circuit(name)
    state = c.rest()
    state.closed["F1"] = False
    state.main_k = state.start_k = 390.0
    for pin in ("R", "S"):
        assert METER.ohms(c.solve(state), "F1.1", f"M1.{pin}", 0.0).shown == "OL"
    shown = METER.ohms(c.solve(state), "M1.S", "M1.R", 0.0).value
    motor = c.wiring.motor
    hot = (234.5 + 116.85) / 254.5  # 390 K are 116.85 degC
    copper = (motor.main_resistance_ohm + motor.start_resistance_ohm) * hot
    assert shown == pytest.approx(copper, abs=0.3)


def test_below_about_80_volts_the_contactor_does_not_pull_in() -> None:
    c = circuit("120v")
    state = panel_on(c)
    c.turn(state, "HS-4", "on")
    pulls = {}
    for supply_v in (76.0, 79.0, 82.0, 90.0):
        state.supply_v = supply_v
        pulls[supply_v] = abs(c.solve(state).sensed("magnet:K1")) > c.magnets["K1"].pull_in
    assert pulls == {76.0: False, 79.0: False, 82.0: True, 90.0: True}


def test_a_weak_supply_lets_the_contactor_chatter() -> None:
    """Pulled in, the locked motor drags the voltage below drop-out; dropped out, it recovers above pull-in."""
    c = circuit("120v")
    state = called(c)
    c.apply_fault(state, wire(c, "SUPPLY.L", "X1.1"), "series", 12.0)
    magnet = c.magnets["K1"]
    assert abs(c.solve(state).sensed("magnet:K1")) < magnet.drop_out
    c.seat(state, "K1", False)
    assert abs(c.solve(state).sensed("magnet:K1")) > magnet.pull_in


@pytest.mark.parametrize("name", NAMES)
def test_a_bad_joint_shows_only_under_load(name: str) -> None:
    c = circuit(name)
    joint = wire(c, "F1.2", "M1.C")
    standing, turning = called(c), running(c)
    c.seat(standing, "K1", False)
    for state in (standing, turning):
        c.apply_fault(state, joint, "series", 3.0)
    assert volts(c, standing, "F1.2", "M1.C") < 0.01
    assert volts(c, turning, "F1.2", "M1.C") == pytest.approx(3.0 * abs(c.solve(turning).amps("F1")), rel=0.01)  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_welded_contactor_runs_the_motor_with_a_dead_coil(name: str) -> None:
    c = circuit(name)
    state = running(c)
    state.closed["PSHH-1"] = False
    c.seat(state, "K1", False)
    c.apply_fault(state, "K1.main", "stuck-closed")
    solution = c.solve(state)
    assert abs(solution.sensed("magnet:K1")) < 0.5
    assert abs(solution.amps("F1")) > 1.0


@pytest.mark.parametrize("name", NAMES)
def test_a_coil_that_is_broken_feels_nothing_though_its_terminals_are_live(name: str) -> None:
    c = circuit(name)
    state = called(c)
    c.apply_fault(state, "K1.coil", "open")
    solution = c.solve(state)
    assert abs(solution.volts("K1.A1", "K1.A2")) > 0.9 * supply(c)
    assert abs(solution.sensed("magnet:K1")) < 1e-3


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("position", "watts"), [("high", "power_high_w"), ("low", "power_low_w")])
def test_a_fan_takes_the_watts_that_the_plant_reckons_with(name: str, position: str, watts: str) -> None:  # fmt: skip
    """5 %: the file's ohms are rounded. 230 V: the same fan, wound for its supply."""
    from sim import load_rig

    c = circuit(name)
    for switch, fan in (("HS-2", "FAN-B"), ("HS-3", "FAN-A")):
        part = load_rig("fennick_bench").part(fan).part
        assert isinstance(part, Fan)
        state = c.rest()
        c.turn(state, "HS-1", "on")
        c.turn(state, switch, position)
        state.fan_turning[fan] = True
        solution = c.solve(state)
        taken = (solution.volts("L.1", "N.1") * solution.amps(wire(c, f"{fan}.3", "N.1")).conjugate()).real  # fmt: skip
        assert taken == pytest.approx(getattr(part, watts), rel=0.05)
        felt = abs(solution.sensed(f"fan:{fan}"))
        assert felt > c.wiring.device(fan).start_v  # type: ignore[attr-defined]


def test_four_microfarads_on_230_volts_50_hertz_draw_0_289_amperes() -> None:
    """Circuit theory, I = 2 pi f C V: the capacitor check by ammeter. The bench's own 20 uF, brought to 4 and put across the panel."""
    c = circuit("230v")
    state = panel_on(c)
    c.apply_factor(state, "C1.farad", 0.2)
    c.apply_fault(state, "C1.bleed", "open")
    c.apply_bridge(state, "L.1", "C1.1", 0.01)
    c.apply_bridge(state, "C1.2", "N.1", 0.01)
    solution = c.solve(state)
    amps = abs(solution.amps("C1")) * 230.0 / abs(solution.volts("C1.1", "C1.2"))
    assert amps == pytest.approx(0.289, rel=0.005)
    assert amps == pytest.approx(2.0 * pi * 50.0 * 4e-6 * 230.0, rel=1e-3)
