"""A restart timer keeps the compressor off for its time after each stop, through power cuts, saves and copies; welded, the start comes against high pressure.

Three to five minutes between stop and start are common practice.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sim import Bench
from sim.cautions import all_cautions
from sim.probing import Probing

LIVE_V, DEAD_V = 100.0, 5.0
OFF_TIME_S = 180.0
MOVES_S = 0.2  # contactor and timer take some hundredths each


def texts(bench: Bench, tag: str = "K3") -> list[tuple[float, str]]:
    return [(event.time_s, event.text) for event in bench.events if event.tag == tag]


def volts(bench: Bench, terminal: str) -> float:
    """On a meter of low impedance, so that ghosts do not count."""
    return bench.measure(Probing(mode="volts-low-impedance", between=(terminal, "N.1"))).value


def stopped_and_called(bench: Bench, wait_s: float) -> float:
    """Stop it, call it again after a while; when the contactor opened."""
    bench.set("HS-4", "off")
    bench.advance(wait_s)
    bench.set("HS-4", "on")
    return texts(bench, "K1")[-1][0]


def test_a_stopped_machine_is_kept_off_for_the_time_on_the_dial(extended: Callable[[], Bench]) -> None:  # fmt: skip
    bench = extended()
    opened = stopped_and_called(bench, 20.0)
    bench.advance(OFF_TIME_S - 21.0)
    assert not bench.snapshot().running
    assert volts(bench, "K3.1") > LIVE_V
    assert volts(bench, "K3.2") < DEAD_V
    bench.advance(5.0)
    closed, word = texts(bench, "K1")[-1]
    assert word == "Contactor closes."
    assert OFF_TIME_S <= closed - opened < OFF_TIME_S + MOVES_S
    assert [text for _, text in texts(bench)] == [
        "K3 has opened its contact and keeps the compressor off for 180 s.",
        "K3 has closed its contact: the compressor may start again.",
    ]
    assert bench.snapshot().running


def test_pressures_have_drawn_together_by_then_so_that_it_turns(extended: Callable[[], Bench]) -> None:  # fmt: skip
    bench = extended()
    stopped_and_called(bench, 20.0)
    bench.advance(200.0)
    assert float(bench.readings()["compressor_speed_rpm"]) > 3000.0
    assert "M1" not in [event.tag for event in bench.events if event.kind == "stall"]


def test_the_lamp_for_a_call_shines_while_it_is_kept_off(extended: Callable[[], Bench]) -> None:
    """The lamp hangs on the call, not on the coil: so one sees who keeps the machine off."""
    bench = extended()
    stopped_and_called(bench, 20.0)
    assert volts(bench, "P2.1") > LIVE_V
    assert volts(bench, "K1.A1") < DEAD_V


@pytest.mark.parametrize("stop", [("HS-1", "off", "on"), ("HS-0", "pressed", "released")])
def test_a_power_cut_neither_shortens_the_wait_nor_starts_it_anew(extended: Callable[[], Bench], stop: tuple[str, str, str]) -> None:  # fmt: skip
    bench = extended()
    switch, off, on = stop
    bench.set(switch, off)
    bench.advance(100.0)
    opened = texts(bench, "K1")[-1][0]
    bench.set(switch, on)
    bench.set("HS-4", "on")
    bench.advance(100.0)
    assert texts(bench, "K1")[-1][0] - opened == pytest.approx(OFF_TIME_S, abs=MOVES_S)


def test_what_has_stood_for_long_starts_at_once(extended: Callable[[], Bench]) -> None:
    bench = extended()
    assert texts(bench) == []
    stopped_and_called(bench, OFF_TIME_S + 10.0)
    bench.advance(1.0)
    closed, word = texts(bench, "K1")[-1]
    assert word == "Contactor closes."
    assert closed == pytest.approx(bench.time_s - 1.0, abs=MOVES_S)


def test_the_dial_sets_the_time(extended: Callable[[], Bench]) -> None:
    bench = extended()
    bench.set("K3.off_time", 300.0)
    assert bench.events[-1].text == "restart timer of the compressor: off-time: 300 s."
    opened = stopped_and_called(bench, 20.0)
    bench.advance(300.0)
    assert texts(bench, "K1")[-1][0] - opened == pytest.approx(300.0, abs=MOVES_S)


def test_a_low_pressure_control_that_comes_and_goes_is_held_too(extended: Callable[[], Bench]) -> None:  # fmt: skip
    """Liquid shut off: the control opens and closes again by itself; the timer makes few long stops of many short ones."""
    bench = extended()
    bench.set("HS-6", "off")
    bench.advance(1200.0)
    starts = [time_s for time_s, text in texts(bench, "K1") if text == "Contactor closes."][1:]
    stops = [time_s for time_s, text in texts(bench, "K1") if text == "Contactor opens."]
    assert stops
    assert all(start - max(s for s in stops if s < start) >= OFF_TIME_S for start in starts)


def test_save_and_copy_keep_the_time_that_is_left(extended: Callable[[], Bench], tmp_path: Path) -> None:  # fmt: skip
    bench = extended()
    stopped_and_called(bench, 20.0)
    bench.advance(70.0)
    bench.save(tmp_path / "held.bench")
    others = [bench.fork(), Bench.load(tmp_path / "held.bench")]
    for one in (bench, *others):
        one.advance(150.0)
    assert texts(bench)[-1][0] == pytest.approx(texts(bench)[0][0] + OFF_TIME_S)
    assert all(one.events == bench.events for one in others)
    assert all(one.readings() == bench.readings() for one in others)


def test_a_save_remembers_its_wiring(extended: Callable[[], Bench], tmp_path: Path) -> None:
    bench = extended()
    bench.save(tmp_path / "b.bench")
    assert Bench.load(tmp_path / "b.bench").rig.wiring == "120v-extended"


def test_bridged_it_lets_go_at_once_and_that_is_a_violation(extended: Callable[[], Bench]) -> None:
    bench = extended()
    stopped_and_called(bench, 20.0)
    bench.set("jumper.1", "K3.1")
    bench.set("jumper.2", "K3.2")
    bench.advance(1.0)
    assert texts(bench, "K1")[-1][1] == "Contactor closes."
    spoken = [event.text for event in bench.events if event.kind == "violation" and event.tag == "K3"]  # fmt: skip
    assert spoken == [f"K3 is bridged. {all_cautions()['protective'].text}"]


def test_failed_it_lets_the_motor_stall_against_the_head_until_the_overload_opens(extended: Callable[[], Bench]) -> None:  # fmt: skip
    """It restarts against head pressure and the overload trips, in some 5 to 15 s on a locked rotor (common practice)."""
    bench = extended()
    bench.insert_fault("restart-timer-failed")
    opened = stopped_and_called(bench, 5.0)
    bench.advance(2.0)
    assert texts(bench) == []
    assert texts(bench, "K1")[-1][0] - opened == pytest.approx(5.0, abs=MOVES_S)
    before = float(bench.readings()["winding_temperature_k"])
    assert [event.kind for event in bench.events if event.tag == "M1"][-1] == "stall"
    bench.advance(20.0)
    [trip] = [event for event in bench.events if event.tag == "F1"]
    assert 5.0 < trip.time_s - opened - 5.0 < 15.0
    assert float(bench.readings()["winding_temperature_k"]) > before + 10.0


def test_the_time_from_stop_to_start_tells_a_failed_timer_from_a_seized_machine(extended: Callable[[], Bench]) -> None:  # fmt: skip
    """Both stall; after five minutes by hand the one starts and the other does not."""
    speeds = {}
    for name in ("restart-timer-failed", "compressor-seized"):
        bench = extended()
        bench.insert_fault(name)
        stopped_and_called(bench, 300.0)
        bench.advance(3.0)
        speeds[name] = float(bench.readings()["compressor_speed_rpm"])
    assert speeds["restart-timer-failed"] > 3000.0
    assert speeds["compressor-seized"] < 100.0
