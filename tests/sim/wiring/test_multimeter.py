"""The meter: what it reads, what it refuses and why, and that its own errors stay on its face."""

from __future__ import annotations

from math import inf

import pytest

from sim.cautions import all_cautions
from sim.errors import InputError
from sim.wiring import Circuit, Multimeter, State
from sim.wiring.direct import contacts_moved
from sim.wiring.display import FUNCTIONS, Display
from sim.wiring.multimeter import PeakHold, Reading
from tests.sim.wiring.states import NAMES, called, circuit, locked, running, wire

METER = Multimeter(1)


def charged(c: Circuit) -> State:
    """Just switched off and unplugged after a start that was broken off."""
    state = locked(c)
    before = c.solve(state)
    for switch, position in (("HS-4", "off"), ("HS-1", "off")):
        c.turn(state, switch, position)
    for pole in ("line", "neutral", "earth"):
        state.closed[f"X1.{pole}"] = False
    for coil in ("K1", "XV-1", "K2"):
        c.seat(state, coil, False)
    contacts_moved(c, before, state, 100.0)
    return state


@pytest.mark.parametrize("name", NAMES)
def test_line_and_neutral_together_in_the_clamp_read_nothing(name: str) -> None:
    c = circuit(name)
    solution = c.solve(running(c))
    line, neutral = wire(c, "SUPPLY.L", "X1.1"), wire(c, "SUPPLY.N", "X1.3")
    assert METER.amps(solution, [line]).value > 1.0
    assert METER.amps(solution, [line, neutral]).value < 1e-3
    both = METER.amps(solution, [line, f"-{neutral}"]).value
    assert both == pytest.approx(2.0 * METER.amps(solution, [line]).value, rel=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_the_clamp_adds_currents_as_phasors(name: str) -> None:
    """Run and start current of a locked rotor are far out of phase: the common lead carries less than their sum."""
    c = circuit(name)
    solution = c.solve(locked(c))
    run, start = wire(c, "M1.R", "K2.M"), wire(c, "C1.2", "M1.S")
    common = METER.amps(solution, [wire(c, "F1.2", "M1.C")]).value
    parts = [METER.amps(solution, [lead]).value for lead in (run, start)]
    assert common < 0.95 * sum(parts)
    assert METER.amps(solution, [run, f"-{start}"]).value == pytest.approx(common, rel=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_volts_times_amperes_times_power_factor_are_watts(name: str) -> None:
    c = circuit(name)
    solution = c.solve(running(c))
    lead = [wire(c, "JI-1.2", "L.1")]
    watts = METER.watts(solution, "L.1", "N.1", lead).value
    product = METER.volts(solution, "L.1", "N.1").value * METER.amps(solution, lead).value
    assert watts == pytest.approx(product * METER.power_factor(solution, "L.1", "N.1", lead).value)
    assert METER.watts(solution, "N.1", "L.1", lead).value == pytest.approx(-watts)


@pytest.mark.parametrize("name", NAMES)
def test_the_panel_wattmeter_agrees_with_clamp_and_probes(name: str) -> None:
    c = circuit(name)
    solution = c.solve(running(c))
    panel = (solution.volts("JI-1.3", "JI-1.4") * solution.amps("JI-1.current").conjugate()).real
    by_hand = METER.watts(solution, "L.1", "N.1", [wire(c, "II-1.2", "JI-1.1")]).value
    assert by_hand == pytest.approx(panel, rel=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_ohms_across_a_part_with_voltage_on_it_is_refused(name: str) -> None:
    c = circuit(name)
    made = METER.ohms(c.solve(running(c)), "K1.A1", "K1.A2", 0.0)
    assert (made.refusal, made.value, made.shown) == ("LIVE", inf, "LIVE")
    assert made.cautions == ("isolate",)
    assert "real meter" in made.would_have
    assert "person" in made.would_have


@pytest.mark.parametrize("name", NAMES)
def test_ohms_across_a_closed_live_switch_is_refused_though_no_voltage_is_between_the_probes(name: str) -> None:  # fmt: skip
    c = circuit(name)
    solution = c.solve(running(c))
    assert METER.volts(solution, "HS-4.1", "HS-4.2").value < 0.1
    for made in (
        METER.ohms(solution, "HS-4.1", "HS-4.2", 0.0),
        METER.continuity(solution, "HS-4.1", "HS-4.2", 0.0),
        METER.farads(solution, "HS-4.1", "HS-4.2", 0.0),
    ):
        assert made.refusal == "LIVE common-mode"
        assert made.cautions == ("isolate",)


@pytest.mark.parametrize("name", NAMES)
def test_a_capacitor_with_a_charge_is_refused_until_it_has_bled_away(name: str) -> None:
    c = circuit(name)
    solution = c.solve(charged(c))
    first = METER.ohms(solution, "C1.1", "C1.2", 100.0)
    assert first.refusal == "CHARGED"
    assert first.cautions == ("capacitor", "isolate")
    assert METER.dc_volts(solution, "C1.1", "C1.2", 100.0).value > 120.0
    later = METER.ohms(solution, "C1.1", "C1.2", 120.0)
    assert later.refusal == ""
    assert later.value == pytest.approx(15000.0, rel=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_a_charge_elsewhere_does_not_stop_a_measurement_that_it_cannot_reach(name: str) -> None:
    c = circuit(name)
    made = METER.ohms(c.solve(charged(c)), "K1.A1", "K1.A2", 100.0)
    assert made.refusal == ""


def test_every_refusal_carries_cautions_that_exist() -> None:
    c = circuit("120v")
    refused = [
        METER.ohms(c.solve(running(c)), "L.1", "N.1", 0.0),
        METER.ohms(c.solve(running(c)), "HS-4.1", "HS-4.2", 0.0),
        METER.ohms(c.solve(charged(c)), "C1.1", "C1.2", 100.0),
    ]
    assert {made.refusal for made in refused} == {"LIVE", "LIVE common-mode", "CHARGED"}
    for made in refused:
        assert made.cautions
        assert set(made.cautions) <= set(all_cautions())


@pytest.mark.parametrize("name", NAMES)
def test_a_capacitor_reads_its_farads_and_a_coil_reads_none(name: str) -> None:
    c = circuit(name)
    state = c.rest()
    solution = c.solve(state)
    rated = c.wiring.motor.start_capacitor_farad
    assert METER.farads(solution, "C1.1", "C1.2", 0.0).value == pytest.approx(rated, rel=0.01)
    assert METER.farads(solution, "K1.A1", "K1.A2", 0.0).shown == "OL"
    assert METER.farads(solution, "X1.3", "X1.3", 0.0).shown == "OL"  # both leads at one terminal
    c.apply_factor(state, "C1.farad", 0.3)
    weak = METER.farads(c.solve(state), "C1.1", "C1.2", 0.0).value
    assert weak == pytest.approx(0.3 * rated, rel=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_windings_read_ol_to_the_shell_until_one_is_grounded(name: str) -> None:
    c = circuit(name)
    state = c.rest()
    for pin in ("C", "R", "S"):
        assert METER.ohms(c.solve(state), f"M1.{pin}", "M1.PE", 0.0).shown == "OL"
    c.apply_bridge(state, "M1.S", "M1.PE", 4000.0)
    assert METER.ohms(c.solve(state), "M1.C", "M1.PE", 0.0).value == pytest.approx(4000.0, rel=0.02)


def test_a_parallel_path_fools_ohms_until_the_lead_is_lifted() -> None:
    """The chain with an open trip reads the panel's other loads instead of open, until one end is off."""
    c = circuit("120v")
    state = c.rest()
    state.closed["PSHH-1"] = False
    c.turn(state, "HS-4", "on")
    assert METER.ohms(c.solve(state), "PSHH-1.1", "PSHH-1.2", 0.0).shown != "OL"
    c.apply_fault(state, wire(c, "PSHH-1.2", "PSL-1.1"), "open")
    assert METER.ohms(c.solve(state), "PSHH-1.1", "PSHH-1.2", 0.0).shown == "OL"


def test_leads_add_a_tenth_or_two_of_an_ohm_until_they_are_zeroed() -> None:
    c = circuit("120v")
    solution = c.solve(c.rest())
    meter = Multimeter(5)
    raw = meter.ohms(solution, "N.1", "N.1", 0.0).value
    assert 0.1 <= raw <= 0.2
    meter.zero_leads()
    assert meter.ohms(solution, "N.1", "N.1", 0.0).value == 0.0
    assert meter.ohms(solution, "M1.C", "M1.R", 0.0).value == pytest.approx(2.55, abs=0.02)


def test_continuity_beeps_on_a_closed_contact_and_not_on_a_coil() -> None:
    c = circuit("120v")
    solution = c.solve(c.rest())
    assert METER.continuity(solution, "PSL-1.1", "PSL-1.2", 0.0).shown.endswith("beep")
    assert "beep" not in METER.continuity(solution, "K1.A1", "K1.A2", 0.0).shown


def test_direct_volts_of_a_live_panel_are_none() -> None:
    c = circuit("120v")
    assert METER.dc_volts(c.solve(running(c)), "L.1", "N.1", 0.0).value == 0.0


@pytest.mark.parametrize("mode", FUNCTIONS)
def test_every_mode_can_be_asked_for_by_its_name(mode: str) -> None:
    c = circuit("120v")
    solution, lead = c.solve(charged(c)), [wire(c, "JI-1.2", "L.1")]
    made = METER.measure(mode, solution, ("K1.A1", "K1.A2"), lead, 100.0)
    assert made.mode == mode
    direct = {"ohms": METER.ohms, "continuity": METER.continuity, "farads": METER.farads, "dc-volts": METER.dc_volts}  # fmt: skip
    if mode in direct:
        assert made == direct[mode](solution, "K1.A1", "K1.A2", 100.0)


def test_a_measurement_without_its_probes_or_its_clamp_is_refused() -> None:
    c = circuit("120v")
    solution = c.solve(c.rest())
    for mode, between, around in (("volts", ("L.1",), ()), ("watts", ("L.1", "N.1"), ()), ("amps", (), ()), ("lumens", ("L.1", "N.1"), ())):  # fmt: skip
        with pytest.raises(InputError):
            METER.measure(mode, solution, between, around)


def test_peak_hold_keeps_the_inrush() -> None:
    c = circuit("120v")
    hold, lead = PeakHold(), [wire(c, "F1.2", "M1.C")]
    for state in (called(c), running(c, 0.5), running(c)):
        hold.take(METER.amps(c.solve(state), lead))
    assert hold.value == METER.amps(c.solve(called(c)), lead).value
    assert hold.take(Reading("ohms", inf, "OL")) == hold.value


@pytest.mark.parametrize("mode", FUNCTIONS)
@pytest.mark.parametrize("seed_of_meter", range(20))
def test_every_meter_stays_within_its_class_and_one_count(mode: str, seed_of_meter: int) -> None:
    function = FUNCTIONS[mode]
    display = Display(seed_of_meter)
    for share in (0.03, 0.4, 0.9):
        for full in function.ranges:
            value = share * full
            shown = display.number(mode, value)
            count = full / 6000.0
            assert abs(shown - value) <= value * function.class_percent / 100.0 + count


def test_the_same_seed_is_the_same_meter_and_another_is_another() -> None:
    texts = [Display(seed).text("volts", 118.94) for seed in (1, 1, 2, 3, 4)]
    assert texts[0] == texts[1]
    assert len(set(texts)) > 1


def test_a_meters_own_error_is_on_its_face_and_nowhere_else() -> None:
    c = circuit("120v")
    solution = c.solve(running(c))
    readings = [Multimeter(seed).volts(solution, "L.1", "N.1") for seed in range(8)]
    assert len({made.value for made in readings}) == 1
    assert len({made.shown for made in readings}) > 1


@pytest.mark.parametrize(
    ("mode", "value", "unit"),
    [("volts", 118.9, "V"), ("ohms", 15000.0, "kΩ"), ("ohms", 2.7, "Ω"), ("ohms", 2.2e6, "MΩ"), ("farads", 8e-5, "µF"), ("ohms", 1e9, "OL"), ("power-factor", 0.65, "")],
)  # fmt: skip
def test_the_face_shows_a_number_with_its_unit(mode: str, value: float, unit: str) -> None:
    text = Display(3).text(mode, value)
    assert text.endswith(unit)
    if unit != "OL":
        scale = {"kΩ": 1e3, "MΩ": 1e6, "µF": 1e-6}.get(unit, 1.0)
        assert float(text.split()[0]) * scale == pytest.approx(value, rel=0.02)
