"""The bench on its wiring: what a technician finds at a live panel, computed by circuit and plant together."""

from __future__ import annotations

from math import pi
from pathlib import Path

import pytest

from sim import Bench, load_rig
from sim.columns import FEED_MACHINE_A
from sim.electrical import ElectricalFault
from sim.machine import driven, phasor
from sim.probing import Probing
from sim.rig import Rig
from sim.session import line_up

SUPPLY_V = 120.0


def started(rig: Rig, *faults: ElectricalFault, volts: float = SUPPLY_V, wait_s: float = 0.0) -> Bench:  # fmt: skip
    """A bench with these faults, lined up for the thermostatic valve and switched on."""
    bench = Bench(rig)
    bench.set("supply_voltage_v", volts)
    for fault in faults:
        bench.wiring.insert(fault)
    line_up(bench, "thermostatic")
    bench.advance(wait_s)
    return bench


@pytest.fixture(scope="module")
def running_now(rig: Rig) -> Bench:
    return started(rig, wait_s=300.0)


@pytest.fixture
def live(running_now: Bench) -> Bench:
    return running_now.fork()


def speed(bench: Bench) -> float:
    return float(bench.readings()["compressor_speed_rpm"])


def kinds(bench: Bench) -> list[tuple[str, str]]:
    return [(event.tag, event.kind) for event in bench.events]


def when(bench: Bench, tag: str, kind: str) -> float:
    return next(e.time_s for e in bench.events if (e.tag, e.kind) == (tag, kind))


def volts(bench: Bench, a: str, b: str, mode: str = "volts") -> float:
    return bench.measure(Probing(mode=mode, between=(a, b))).value


# --- starting -------------------------------------------------------------------------------


def test_contactor_and_relay_take_their_time_and_the_motor_a_few_tenths(rig: Rig) -> None:
    """common practice: 10 to 25 ms for a small contactor; a sound machine is at speed in well under a second."""
    bench = started(rig)
    bench.advance(0.012)
    assert speed(bench) == 0.0
    assert ("K1", "contact") not in kinds(bench)
    bench.advance(0.5)
    assert 0.010 <= when(bench, "K1", "contact") <= 0.025
    assert speed(bench) > 3400.0
    assert "K2" not in bench.supply.seated


def test_a_start_draws_four_to_six_times_the_running_current(rig: Rig) -> None:
    """common practice: locked-rotor current of small hermetic machines is 4 to 6 times the running one."""
    bench = started(rig)
    bench.advance(0.03)
    inrush = bench.measure(Probing(mode="amps", around=("W56",))).value
    bench.advance(300.0)
    steady = bench.measure(Probing(mode="amps", around=("W56",))).value
    assert 4.0 < inrush / steady < 6.0


def test_the_supply_sags_while_the_motor_starts(rig: Rig) -> None:
    bench = started(rig)
    bench.advance(0.03)
    sagged = float(bench.readings()["voltage_v"])
    bench.advance(2.0)
    assert sagged < float(bench.readings()["voltage_v"]) - 3.0


# --- faults of the motor and what starts it ------------------------------------------------------


@pytest.mark.parametrize(
    "fault",
    [
        ElectricalFault(branch="M1.start", state="open"),
        ElectricalFault(branch="C1", state="open"),
        ElectricalFault(branch="K2.start", state="open"),
    ],
    ids=["start winding", "start capacitor", "start relay"],
)
def test_without_its_start_circuit_the_motor_hums_until_the_overload_opens(rig: Rig, fault: ElectricalFault) -> None:  # fmt: skip
    """common practice: a stalled hermetic motor is cut out in 3 to 20 s, and tries again when the disc has cooled, minutes later."""
    bench = started(rig, fault, wait_s=300.0)
    assert ("M1", "stall") in kinds(bench)
    assert 3.0 < when(bench, "F1", "trip") < 20.0
    assert when(bench, "F1", "contact") > when(bench, "F1", "trip") + 30.0
    assert speed(bench) == 0.0


def test_a_welded_start_relay_burns_the_start_winding(rig: Rig) -> None:
    """The start winding is made for seconds; insulation chars above 250 degC (common practice)."""
    bench = started(rig, ElectricalFault(branch="K2.start", state="stuck-closed"), wait_s=120.0)
    assert ("M1", "damage") in kinds(bench)
    assert when(bench, "M1", "damage") < 60.0
    bench.set("HS-4", "off")
    bench.set("HS-1", "off")
    bench.advance(10.0)
    winding = Probing(mode="ohms", between=("F1.2", "C1.2"))
    assert bench.measure(winding).value > 10e3  # the bleed resistor, through the welded contact
    bench.set("W59", "lifted")  # no path beside the winding any more
    assert bench.measure(winding).shown == "OL"
    bench.wiring.remove("K2.start stuck-closed")
    bench.repair("M1")
    assert bench.measure(winding).value < 20.0


def test_an_overload_that_cannot_open_lets_the_winding_burn(rig: Rig) -> None:
    held = ElectricalFault(branch="F1", state="stuck-closed")
    open_start = ElectricalFault(branch="M1.start", state="open")
    bench = started(rig, held, open_start, wait_s=180.0)
    assert ("F1", "trip") not in kinds(bench)
    assert ("M1", "damage") in kinds(bench)


def test_a_restart_against_pressure_stalls_trips_and_succeeds_once_pressures_have_met(live: Bench) -> None:  # fmt: skip
    live.set("HS-4", "off")
    live.advance(3.0)
    live.set("HS-4", "on")
    live.advance(30.0)
    assert ("M1", "stall") in kinds(live)
    assert ("F1", "trip") in kinds(live)
    live.advance(270.0)
    assert ("F1", "contact") in kinds(live)
    assert speed(live) > 3400.0


# --- the supply ----------------------------------------------------------------------------------


def test_below_two_thirds_of_the_voltage_the_contactor_does_not_come_in(rig: Rig) -> None:
    assert "K1" not in started(rig, volts=78.0, wait_s=20.0).supply.seated
    assert "K1" in started(rig, volts=100.0, wait_s=20.0).supply.seated


def test_a_thin_weak_supply_makes_the_contactor_chatter(rig: Rig) -> None:
    """It pulls in, the start drags the voltage below drop-out, it lets go, the voltage recovers: physics, not a limit cycle of the solver."""
    thin = ElectricalFault(branch="W8", state="series", ohm=10.0)
    bench = started(rig, thin, volts=105.0, wait_s=3.0)
    said = [e.text for e in bench.events if e.tag == "K1"]
    assert "chatters" in said[-1]
    assert len(said) < 10
    before = bench.statistics["steps"]
    bench.advance(1.0)
    assert bench.statistics["steps"] - before > 60  # it goes on: some thirty openings a second


def test_an_open_neutral_leaves_line_voltage_on_both_sides_of_every_load(live: Bench) -> None:
    live.wiring.insert(ElectricalFault(branch="W12", state="open"))
    live.advance(1.0)
    assert speed(live) < 3000.0
    assert volts(live, "N.1", "PE.1") > 0.9 * SUPPLY_V
    assert volts(live, "L.1", "N.1") < 0.1 * SUPPLY_V


def test_a_bad_joint_drops_voltage_only_under_load(live: Bench) -> None:
    live.wiring.insert(ElectricalFault(branch="W55", state="series", ohm=2.0))
    live.advance(1.0)
    amps = live.measure(Probing(mode="amps", around=("W55",))).value
    assert volts(live, "K1.2", "F1.1") == pytest.approx(
        amps * 2.006, rel=1e-3
    )  # the wire has 6 mohm of its own
    live.set("HS-4", "off")
    live.advance(1.0)
    assert volts(live, "K1.2", "F1.1") < 0.01


def test_full_voltage_stands_across_the_contact_that_stops_the_plant(live: Bench) -> None:
    live.set("PSL-1.set", 3.0e5)  # above the present suction pressure: the control opens
    live.advance(1.0)
    assert volts(live, "PSL-1.1", "PSL-1.2") > 0.98 * SUPPLY_V
    assert volts(live, "PSHH-1.1", "PSHH-1.2") < 0.01
    assert volts(live, "K1.A1", "K1.A2") < 0.01


def test_a_welded_contactor_keeps_the_compressor_running_with_its_switch_off(live: Bench) -> None:
    live.wiring.insert(ElectricalFault(branch="K1.main", state="stuck-closed"))
    live.set("HS-4", "off")
    live.advance(10.0)
    assert speed(live) > 3400.0
    assert volts(live, "K1.A1", "K1.A2") < 0.01


# --- protection ----------------------------------------------------------------------------------


def test_a_dead_short_melts_the_fuse_within_a_tenth_of_a_second(live: Bench) -> None:
    live.wiring.insert(ElectricalFault(bridge=("L.1", "N.1"), ohm=0.01))
    live.advance(0.2)
    assert ("F2", "trip") in kinds(live)
    assert float(live.readings()["voltage_v"]) < 0.1
    live.wiring.remove("bridge L.1 N.1")
    live.set("F2.reset", 1.0)
    live.advance(0.2)
    assert float(live.readings()["voltage_v"]) > 110.0


def test_a_leak_of_ten_milliamperes_to_earth_opens_the_residual_current_device(live: Bench) -> None:
    """UL 943 class A opens at 4 to 6 mA (from memory); 120 V over 12 kohm are 10 mA."""
    live.wiring.insert(ElectricalFault(bridge=("FAN-B.2", "FAN-B.PE"), ohm=12e3))
    live.advance(0.1)
    assert ("F3", "trip") in kinds(live)


def test_a_leak_of_two_milliamperes_does_not(live: Bench) -> None:
    live.wiring.insert(ElectricalFault(bridge=("FAN-B.2", "FAN-B.PE"), ohm=60e3))
    live.advance(5.0)
    assert ("F3", "trip") not in kinds(live)


# --- power and books -------------------------------------------------------------------------------------


def test_panel_watts_are_shaft_power_losses_and_everything_else_by_its_own_current(live: Bench) -> None:  # fmt: skip
    """Shaft, windings, rotor and iron of the motor; start relay, overload, wires; fans; coils; meters: each from its own current and resistance."""
    solution = live.supply.solution(live.motor_state())  # type: ignore[attr-defined]
    circuit = solution.circuit
    behind = [b for b in circuit.branches if not b.name.startswith(("SUPPLY", "X1", "F2", "F3"))]
    before_panel = {f"W{k}" for k in (*range(1, 8), 9, 10, 11, 12, 13, 14)}
    joule = 0.0
    for branch in behind:
        if branch.name in before_panel or branch.name.startswith(("HS-0", "HS-1.", "II-1")):
            continue
        across = solution.volts(branch.a, branch.b)
        joule += (across * solution.amps(branch.name).conjugate()).real
    joule += solution.motor_va.real
    panel = float(live.readings()["power_w"])
    assert joule == pytest.approx(panel, rel=2e-3)  # the wattmeter's own paths and strays


def test_the_motors_watts_are_torque_times_speed_and_heat(live: Bench) -> None:
    w, main_k, start_k = live.motor_state()
    torque, main, start, main_w, start_w = driven(live.plant, w, main_k, start_k)
    amps = abs(phasor(live.plant, FEED_MACHINE_A, main, start))
    m = live.supply.motor
    assert m is not None
    in_line = amps**2 * (m.relay_resistance_ohm + m.overload_resistance_ohm + 4 * 0.006 + 0.005)
    power = float(live.readings()["compressor_power_w"])
    assert torque * w + main_w + start_w + in_line == pytest.approx(power, rel=1e-3)
    slip = 1.0 - w / (4.0 * pi * 60.0 / 2)
    assert 0.01 < slip < 0.06  # a loaded two-pole machine


def test_the_books_close_through_every_electrical_mishap(live: Bench) -> None:
    mishaps = (
        ElectricalFault(branch="M1.start", state="open"),
        ElectricalFault(branch="W55", state="series", ohm=3.0),
        ElectricalFault(branch="FAN-A", state="open"),
    )
    for fault in mishaps:
        live.wiring.insert(fault)
        live.advance(60.0)
        live.set("HS-4", "off")
        live.advance(30.0)
        live.set("HS-4", "on")
        live.advance(60.0)
    ledger = live.ledger()
    assert abs(ledger["energy_closure"]) < 1e-6
    assert abs(ledger["mass_closure"]) < 1e-9


def test_fifty_hertz_pumps_a_sixth_less(rig: Rig) -> None:
    """Speed follows the frequency; at the same pressures so does the flow, give or take the clearance."""
    other = load_rig("fennick_bench:230v")
    bench = Bench(other)
    line_up(bench, "thermostatic")
    bench.advance(300.0)
    sixty = started(rig, wait_s=300.0)
    assert speed(bench) / speed(sixty) == pytest.approx(50.0 / 60.0, rel=0.02)
    assert float(bench.readings()["refrigerating_capacity_w"]) < float(
        sixty.readings()["refrigerating_capacity_w"]
    )


def test_a_save_keeps_faults_leads_and_what_has_opened(live: Bench, tmp_path: Path) -> None:
    live.wiring.insert(ElectricalFault(bridge=("FAN-B.2", "FAN-B.PE"), ohm=5e3))
    live.advance(1.0)
    live.set("W56", "lifted")
    live.save(tmp_path / "one.bench")
    again = Bench.load(tmp_path / "one.bench")
    assert again.wiring.supply.opened == {"F3"}
    for bench in (live, again):
        bench.wiring.remove("bridge FAN-B.2 FAN-B.PE")
        bench.set("F3.reset", 1.0)
        bench.advance(30.0)
    assert live.readings() == again.readings()
    assert not again.supply.motor_on()


def test_a_peak_is_kept_whatever_the_pace(rig: Rig) -> None:
    """The surge of a start, over before anybody looks."""
    slow, fast = Bench(rig), Bench(rig)
    for bench in (slow, fast):
        line_up(bench, "thermostatic")
        bench.clear_peaks()
    surge = 0.0
    for _ in range(300):
        slow.advance(0.005)
        surge = max(surge, float(slow.readings()["current_a"]))
    fast.advance(60.0)
    assert fast.peaks()["current_a"] == pytest.approx(surge, rel=0.01)
    fast.clear_peaks()
    fast.advance(60.0)
    assert fast.peaks()["current_a"] < 0.4 * surge
