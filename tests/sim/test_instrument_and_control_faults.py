"""Instruments that are off or late, controls that act past their mark, a bulb that sits badly, a contactor that chatters: each as the plant computes it."""

from __future__ import annotations

from collections.abc import Callable
from math import expm1

import pytest

from sim import Bench
from sim.faults import all_faults


@pytest.mark.parametrize(("low", "high"), [("gauge-offset-low", "gauge-offset"), ("thermometer-offset-low", "thermometer-offset")])  # fmt: skip
def test_an_instrument_can_be_off_either_way_and_both_cancel(running: Bench, low: str, high: str) -> None:  # fmt: skip
    key = (
        "suction_pressure_pa_shown" if low.startswith("gauge") else "discharge_temperature_k_shown"
    )
    sound = float(running.readings()[key])
    running.insert_fault(low, 0.6)
    off = float(running.readings()[key])
    running.insert_fault(high, 0.6)
    assert off < sound
    assert float(running.readings()[key]) == pytest.approx(sound, rel=1e-9)


@pytest.mark.parametrize(("name", "key"), [("gauge-slow", "suction_pressure_pa_shown"), ("thermometer-slow", "discharge_temperature_k_shown")])  # fmt: skip
def test_a_slow_instrument_lags_by_its_time_and_then_shows_the_same(another: Callable[[], Bench], name: str, key: str) -> None:  # fmt: skip
    """A first-order filter (x' = (u - x)/lag, in steps of a second) over what the sound instrument shows gives what the slow one does."""
    sound, slow = another(), another()
    slow.insert_fault(name, 1.0)
    lag_s = all_faults()[name].changes[0].value
    filtered = start = float(slow.readings()[key])
    before = start
    for bench in (sound, slow):
        bench.set("HS-4", "off")
    for _ in range(120):
        for bench in (sound, slow):
            bench.advance(1.0)
        now = float(sound.readings()[key])
        filtered += (0.5 * (before + now) - filtered) * -expm1(-1.0 / lag_s)
        before = now
    shown = float(slow.readings()[key])
    assert abs(now - start) > 20.0 * abs(filtered - shown)
    assert shown == pytest.approx(filtered, abs=0.05 * abs(now - start))
    for bench in (sound, slow):
        bench.advance(1800.0)
    assert float(slow.readings()[key]) == pytest.approx(float(sound.readings()[key]), rel=0.01)


@pytest.mark.parametrize(("name", "key"), [("flowmeter-stuck", "flowmeter_shown"), ("gauge-stuck", "suction_pressure_pa_shown")])  # fmt: skip
def test_what_sticks_shows_the_same_whatever_the_plant_does(running: Bench, name: str, key: str) -> None:  # fmt: skip
    before = running.readings()[key]
    running.insert_fault(name, 1.0)
    seen = []
    for tag, to in (("HS-3", "low"), ("HS-4", "off"), ("HV-12", 0.0), ("HS-4", "on")):
        running.set(tag, to)
        for _ in range(8):
            running.advance(15.0)
            seen.append(running.readings()[key])
    assert set(seen) == {seen[0]}
    assert float(seen[0]) == pytest.approx(float(before), rel=0.05)  # the noise of that instant


def bulb_k(bench: Bench) -> float:
    bench.look()
    return float(bench.watch.y[bench.layout.slow["TCV-23.bulb"]])


def test_a_badly_placed_bulb_follows_late_and_feeds_too_much(another: Callable[[], Bench]) -> None:
    """Makers' instructions (common practice): a bulb on a poor contact feels the room as well, so the valve opens too far; and it answers late."""
    sound, bad = another(), another()
    bad.insert_fault("bulb-badly-placed", 1.0)
    for bench in (sound, bad):
        bench.advance(1800.0)
    bulb = [bulb_k(bench) for bench in (sound, bad)]
    assert bulb[1] > bulb[0]
    superheat = [float(bench.readings()["evaporator_superheat_k"]) for bench in (sound, bad)]
    assert superheat[1] < superheat[0] - 1.5


def test_a_contactor_chatters_in_a_start_that_drags_its_own_coil_down(running: Bench) -> None:
    """A locked rotor of some 9 ohm behind a joint of 11.5 ohm leaves less than half of the voltage: the coil drops out (IEC 60947-4-1: at 20 to 75 % of rated)."""
    running.set("HS-4", "off")
    running.advance(300.0)
    running.insert_fault("contactor-chatters", 1.0)
    running.set("HS-4", "on")
    running.advance(2.0)
    assert any("chatters" in event.text for event in running.events)
    assert float(running.readings()["compressor_speed_rpm"]) < 100.0
    running.remove_fault("contactor-chatters")
    running.set("HS-4", "off")
    running.advance(300.0)
    running.set("HS-4", "on")
    running.advance(5.0)
    assert float(running.readings()["compressor_speed_rpm"]) > 3000.0


def test_a_thermostat_set_wrong_calls_too_long_or_not_at_all(another: Callable[[], Bench]) -> None:
    sound, low, high = another(), another(), another()
    low.insert_fault("thermostat-low", 1.0)
    high.insert_fault("thermostat-high", 1.0)
    for bench in (sound, low, high):
        bench.set("HS-7", "closed")
        bench.advance(1800.0)
    opened = [[e for e in bench.events if e.tag == "TS-1" and "opened" in e.text] for bench in (sound, low, high)]  # fmt: skip
    assert opened[0]
    assert not opened[1]
    assert float(high.readings()["compressor_speed_rpm"]) == 0.0


def test_controls_set_past_their_mark_act_too_late(another: Callable[[], Bench]) -> None:
    """The sound trip acts at 16 bar gauge and the relief valve lifts at 20; the sound low-pressure control acts at 0.3 bar gauge (product contract)."""
    high, low = another(), another()
    high.insert_fault("high-pressure-cutout-high", 1.0)
    high.set("HS-3", "off")
    low.insert_fault("low-pressure-control-low", 1.0)
    low.set("HS-6", "off")
    high.advance(300.0)
    low.advance(200.0)
    assert "lift" in {event.kind for event in high.events}
    assert float(low.readings()["suction_pressure_pa"]) < 0.9e5


def test_what_means_changing_leads_is_not_for_everybody() -> None:
    """Electrical work on a motor's leads (EN 50110-1: skilled or instructed persons)."""
    assert all_faults()["fan-turns-backwards"].on_a_real_rig == "trained staff only"
