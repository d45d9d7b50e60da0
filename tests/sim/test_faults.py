"""Faults: physical parameters, whatever the order; nothing at severity 0; charge by the gram."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim import Bench
from sim.errors import InputError
from sim.faults import all_faults
from sim.rig import Rig
from sim.saving import MEMORY, PLANT

SOME = settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip
CHARGE = sorted(name for name, fault in all_faults().items() if fault.charge)
OTHERS = sorted(name for name, fault in all_faults().items() if not fault.charge)


def bytes_of(bench: Bench) -> list[bytes]:
    """State and tables, bit for bit."""
    memory = [getattr(bench._memory, name).tobytes() for name in MEMORY]
    return memory + [getattr(bench.plant, name).tobytes() for name in PLANT]


@SOME
@given(
    order=st.permutations(sorted(all_faults())),
    severities=st.lists(
        st.floats(0.0, 0.6), min_size=len(all_faults()), max_size=len(all_faults())
    ),
    ramp_s=st.sampled_from([0.0, 7.0]),
)
def test_the_order_of_insertion_never_matters(extended: Callable[[], Bench], order: list[str], severities: list[float], ramp_s: float) -> None:  # fmt: skip
    one, two = extended(), extended()
    sizes = dict(zip(sorted(all_faults()), severities, strict=True))
    for bench, names in ((one, order), (two, sorted(all_faults()))):
        for name in names:
            bench.insert_fault(name, sizes[name], ramp_s=ramp_s)
        bench.advance(20.0)
    assert bytes_of(one) == bytes_of(two)


def test_a_motor_off_and_on_at_one_instant_was_never_off(running: Bench) -> None:
    """One fault's circuit may cut the motor for no time at all before another's closes it again: only what stays is looked at a second later."""
    touched, left = running.fork(), running.fork()
    touched.set("HS-4", "off")
    touched.set("HS-4", "on")
    left.set("HS-4", "on")
    left.set("HS-4", "on")
    waiting = [sorted(one.method for one in bench._due) for bench in (touched, left)]
    assert waiting[0].count("stall_check") == waiting[1].count("stall_check")


@pytest.mark.parametrize("name", sorted(all_faults()))
def test_severity_zero_changes_nothing(fit_for: Callable[[str], Bench], name: str) -> None:
    with_it, without = fit_for(name), fit_for(name)
    with_it.insert_fault(name, 0.0)
    without.set("HV-42", without.commands["HV-42"])  # a command that changes nothing
    for bench in (with_it, without):
        bench.advance(30.0)
    assert bytes_of(with_it) == bytes_of(without)


@pytest.mark.parametrize("name", OTHERS)
def test_a_fault_that_is_removed_leaves_the_parameters_as_they_were(fit_for: Callable[[str], Bench], name: str) -> None:  # fmt: skip
    running = fit_for(name)
    before = {t: getattr(running.plant, t).copy() for t in ("coil", "wear", "link", "node")}
    running.insert_fault(name, 0.7)
    assert any((getattr(running.plant, t) != values).any() for t, values in before.items())
    running.remove_fault(name)
    # to a thousandth: the fans' air follows the mains, which sag with the motor's present current
    assert all(np.allclose(getattr(running.plant, t), v, rtol=1e-3, atol=0.0) for t, v in before.items())  # fmt: skip


@pytest.mark.parametrize("severity", [0.05, 0.3, 0.6])
def test_undercharge_takes_the_grams_it_says_into_outside(running: Bench, severity: float) -> None:
    running.insert_fault("undercharge", severity)
    running.advance(29.0)
    assert running.lost_mass_kg < severity * running.rig.charge_kg
    running.advance(31.0)
    assert running.lost_mass_kg == pytest.approx(severity * running.rig.charge_kg, abs=2e-6)
    running.remove_fault("undercharge")
    running.advance(60.0)
    assert running.lost_mass_kg == pytest.approx(severity * running.rig.charge_kg, abs=2e-6)


def test_undercharge_takes_as_long_as_it_is_told_but_at_least_half_a_minute(another: Callable[[], Bench]) -> None:  # fmt: skip
    for ramp_s, takes_s in ((0.0, 30.0), (10.0, 30.0), (200.0, 200.0)):
        bench = another()
        bench.insert_fault("undercharge", 0.2, ramp_s=ramp_s)
        bench.advance(takes_s / 2.0)
        assert bench.lost_mass_kg == pytest.approx(0.1 * bench.rig.charge_kg, rel=0.05)


def test_undercharge_takes_liquid_from_where_liquid_is(running: Bench) -> None:
    before = running.ledger()["mass_kg"]
    running.set("HS-1", "off")
    running.insert_fault("undercharge", 0.2)
    running.advance(31.0)
    after = running.ledger()["mass_kg"]
    assert before["receiver"] - after["receiver"] > 0.5 * 0.2 * running.rig.charge_kg


def test_overcharge_puts_in_what_it_says(running: Bench) -> None:
    running.insert_fault("overcharge", 0.5)
    running.advance(60.0)
    more = -all_faults()["overcharge"].charge * 0.5 * running.rig.charge_kg
    assert running.lost_mass_kg == pytest.approx(-more, abs=2e-6)


def test_letting_out_and_putting_in_at_once_each_do_their_part(running: Bench) -> None:
    running.insert_fault("undercharge", 0.3)
    running.insert_fault("overcharge", 0.4)
    running.advance(90.0)
    out = (0.3 + 0.4 * all_faults()["overcharge"].charge) * running.rig.charge_kg
    assert running.lost_mass_kg == pytest.approx(out, abs=4e-6)


def test_a_charge_fault_removed_half_way_stops_there_and_spares_the_other(running: Bench) -> None:
    running.insert_fault("undercharge", 0.4)
    running.insert_fault("overcharge", 0.2)
    running.advance(15.0)
    running.remove_fault("undercharge")
    running.advance(60.0)
    out = (0.2 + 0.2 * all_faults()["overcharge"].charge) * running.rig.charge_kg
    assert running.lost_mass_kg == pytest.approx(out, rel=0.02)


def test_undercharge_is_not_content_with_what_a_burst_part_loses(running: Bench) -> None:
    """The room gets both: what the split lets go and what the fault takes."""
    for tag, value in (("HS-4", "off"), ("HS-6", "off"), ("HV-12", 0.0)):
        running.set(tag, value)
    running.set("room_temperature_c", 50.0)
    while not any(e.kind == "burst" for e in running.events):
        running.advance(5.0)
        assert running.time_s < 3000.0
    twin = running.fork()
    running.insert_fault("undercharge", 0.3)
    for bench in (running, twin):
        bench.advance(40.0)
    took = running.lost_mass_kg - twin.lost_mass_kg
    assert took > 0.9 * 0.3 * running.rig.charge_kg  # a little less leaves by the split for it


def test_letting_more_out_than_there_is_leaves_a_trace_and_no_trouble(running: Bench) -> None:
    """A plant that has lost nearly all is asked for 30 % of its charge; its oil keeps some grams, and gives them up slowly."""
    running.insert_fault("undercharge", 0.995)
    running.advance(120.0)
    running.remove_fault("undercharge")
    running.insert_fault("undercharge", 0.3)
    steps = running.statistics["steps"]
    running.advance(300.0)
    oil = running.ledger()["mass_kg"]["oil"]
    assert 1e-6 < running.total_mass_kg - oil < 5e-3
    assert oil < 0.02
    assert running.statistics["steps"] - steps < 20_000
    assert abs(running.ledger()["mass_closure"]) < 1e-9


def test_a_ramp_sets_in_bit_by_bit(running: Bench) -> None:
    sound = float(running.readings()["condenser_air_flow_kg_s"])
    running.insert_fault("condenser-air-low", 0.5, ramp_s=100.0)
    shares = []
    for _ in range(5):
        running.advance(25.0)
        shares.append(float(running.readings()["condenser_air_flow_kg_s"]) / sound)
    assert shares == sorted(shares, reverse=True)
    assert shares[1] == pytest.approx(0.75, abs=0.02)
    assert shares[-1] == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize("severity", [-0.1, 1.1, math.nan, math.inf])
def test_severities_run_from_nothing_to_the_worst(running: Bench, severity: float) -> None:
    with pytest.raises(InputError, match="pumping-worn"):
        running.insert_fault("pumping-worn", severity)


@pytest.mark.parametrize("ramp_s", [-1.0, math.nan, math.inf])
def test_a_ramp_is_a_time(running: Bench, ramp_s: float) -> None:
    with pytest.raises(InputError, match="ramp_s"):
        running.insert_fault("pumping-worn", 0.5, ramp_s=ramp_s)


def test_what_is_not_known_or_not_there_is_named(running: Bench) -> None:
    with pytest.raises(InputError, match="no fault 'gremlins'"):
        running.insert_fault("gremlins")
    with pytest.raises(InputError, match="not present"):
        running.remove_fault("undercharge")
    with pytest.raises(InputError, match="place"):
        running.insert_fault("pumping-worn", 0.5, place="drum")


def carnot_share(readings: Mapping[str, float | str]) -> float:
    """COP over that of a reversed Carnot cycle between the plant's own evaporating and condensing temperatures."""
    cold, hot = (float(readings[f"{name}_temperature_k"]) for name in ("evaporating", "condensing"))
    return float(readings["cop"]) * (hot - cold) / cold


def test_a_worn_machine_is_not_a_more_efficient_one(another: Callable[[], Bench]) -> None:
    """Less flow, and a smaller share of the Carnot COP: with less flow the lift shrinks, so COP alone hardly tells (common practice)."""
    sound = another()
    sound.advance(1800.0)
    good = sound.readings()
    for name in ("discharge-valve-leak", "pumping-worn"):
        bench = another()
        bench.insert_fault(name, 0.5)
        bench.advance(1800.0)
        bad = bench.readings()
        assert float(bad["mass_flow_kg_s"]) < float(good["mass_flow_kg_s"])
        assert carnot_share(bad) < 0.97 * carnot_share(good)


def test_charge_put_in_goes_round_a_receiver_that_is_shut_in(rig: Rig) -> None:
    """With both valves of the receiver shut what is filled in comes behind them, so that the plant that runs has it; with them open it ends up in the vessel."""
    for shut in (True, False):
        bench = Bench(rig)
        for tag in ("HV-11", "HV-12"):
            bench.set(tag, 0.0 if shut else 1.0)
        bench.set("HV-13", 1.0)
        before = bench.ledger()["mass_kg"]["receiver"]
        bench.insert_fault("overcharge", 0.2)
        bench.advance(40.0)
        gained = (bench.ledger()["mass_kg"]["receiver"] - before) / (0.1 * rig.charge_kg)
        assert abs(gained) < 0.1 if shut else gained > 0.9
