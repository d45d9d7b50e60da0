"""What the meters keep: the largest reading of a surge, nothing of a refusal."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest

from tests.tui.fake_bench import FakeBench, ask_fake, fake_chart, steady_bench
from tests.tui.fake_wiring import FakeMeasured
from tui.meter import Use
from tui.metering import MOST_LOOKS, Metering, larger
from tui.orders import Begin, Measure
from tui.runner import Opened, Runner

SURGE = (3.0, 13.0, 12.0, 4.0, 3.0)
HOLD = Use("volts", ("L.1", "N.1"), holding=True)


@dataclass
class Surging(FakeBench):
    """A plant that keeps the peak of a surge, one value a look."""

    looks: int = 0
    kept: float = 0.0

    def clear_peaks(self) -> None:
        self.kept = 0.0

    def peaks(self) -> dict[str, float]:
        self.looks += 1
        self.kept = max(self.kept, SURGE[min(self.looks, len(SURGE)) - 1])
        return {"current_a": self.kept, "voltage_v": 119.0}


def test_the_panels_peak_is_the_largest_since_the_key_was_pressed() -> None:
    bench = Surging()
    metering = Metering(ask_fake)
    metering.take_up(HOLD)
    peaks = [metering.look(bench).peaks["current_a"] for _ in SURGE]
    assert peaks == [3.0, 13.0, 13.0, 13.0, 13.0]
    metering.take_up(Use())
    metering.take_up(HOLD)
    assert metering.look(bench).peaks["current_a"] == 3.0


def test_without_holding_nothing_is_kept() -> None:
    bench = Surging()
    metering = Metering(ask_fake)
    metering.take_up(Use())
    assert not metering.look(bench).peaks
    assert bench.looks == 0


def test_moving_a_probe_begins_the_hand_meters_peak_anew_and_keeps_the_panels() -> None:
    bench = Surging()
    metering = Metering(ask_fake)
    metering.take_up(HOLD)
    for _ in SURGE:
        metering.look(bench)
    metering.take_up(Use("volts", ("N.1", "PE.1"), holding=True))
    assert metering.now.largest is None
    assert metering.now.peaks["current_a"] == 13.0


def test_while_peaks_are_held_a_step_is_cut_to_a_period_of_the_mains() -> None:
    metering = Metering(None)
    assert metering.pieces(0.05, 0.5) == 1
    assert metering.pieces(3.0, 0.5) == 6
    metering.take_up(HOLD)
    assert metering.pieces(0.02, 0.5) == 1
    assert metering.pieces(0.05, 0.5) == 3
    assert metering.pieces(3.0, 0.5) == MOST_LOOKS
    assert metering.pieces(6.0, 0.5) == 12


@pytest.mark.parametrize(("kept", "new", "largest"), [
    (None, FakeMeasured(2.0, "2 V"), 2.0), (FakeMeasured(5.0, "5 V"), FakeMeasured(2.0, "2 V"), 5.0), (FakeMeasured(5.0, "5 V"), FakeMeasured(-7.0, "-7 V"), -7.0),
    (FakeMeasured(5.0, "5"), FakeMeasured(math.inf, "OL"), 5.0), (FakeMeasured(5.0, "5"), FakeMeasured(math.inf, "LIVE", "LIVE"), 5.0), (FakeMeasured(5.0, "5"), None, 5.0),
])  # fmt: skip
def test_the_larger_of_two_readings(kept: FakeMeasured | None, new: FakeMeasured | None, largest: float) -> None:  # fmt: skip
    found = larger(kept, new)
    assert found is not None
    assert found.value == largest


def test_what_the_bench_will_not_measure_is_told_not_thrown() -> None:
    bench = steady_bench()
    metering = Metering(ask_fake)
    metering.take_up(Use("volts", ("M1.C", "N.1")))
    meters = metering.look(bench)
    assert meters.measured is None
    assert "under their cover" in meters.unread


def test_the_runner_reads_the_meter_in_its_own_thread_and_reports_it() -> None:
    bench = steady_bench()
    runner = Runner(lambda begin, progress: Opened(bench, fake_chart(), ask=ask_fake), Begin())
    runner._open(Begin())
    runner._obey(Measure(number=1, use=Use("volts", ("L.1", "N.1"))))
    assert runner.latest.applied == 1
    assert runner.latest.refused is None
    assert runner.latest.meters.measured is not None
    assert runner.latest.meters.measured.shown == "119.0 V"
