"""What happened to the plant stays on record, however often the clock goes back, a bench begins again or another plant is gone on with.

The claim is the project's own (design/cautions: "Rewinding out of a major: the record keeps it"); the plant is the computed one where it matters, else the stand-in.
"""

from __future__ import annotations

from pathlib import Path
from typing import cast

from sim.bench import Bench
from sim.session import open_bench
from tests.tui.fake_bench import FakeBench, fake_chart
from tests.tui.test_runner import wait_for
from tui.beside import Beside
from tui.mishaps import MISHAPS, carry_over, on_record
from tui.orders import Begin, Fork, InsertFault, Rewind, SetTag, Step, obey
from tui.rewind import Keeper
from tui.runner import Opened, Progress, Runner, Stage
from tui.session.report import MOST_EVENTS, told


def recorded(bench: Bench | FakeBench) -> list[str]:
    """What the record says of mishaps, of this course of the plant or an earlier one."""
    return [event.text for event in bench.events if event.kind in (*MISHAPS, "record")]


def driven() -> tuple[Bench, Keeper]:
    """A bench that lives for 40 s; at 20.5 s a live lead is lifted."""
    bench = open_bench("fennick_bench:120v", "off")
    keeper = Keeper(bench)
    _do(bench, keeper, SetTag(tag="HS-1", value="on"))
    _live(bench, keeper, 20.5)
    _do(bench, keeper, SetTag(tag="W26", value="lifted"))
    _live(bench, keeper, 19.5)
    return bench, keeper


def _do(bench: Bench, keeper: Keeper, order: SetTag | InsertFault) -> None:
    assert obey(order, bench) is None
    keeper.note(order, bench)


def _live(bench: Bench, keeper: Keeper, seconds: float) -> None:
    end = bench.time_s + seconds
    while bench.time_s < end - 1e-9:
        bench.advance(min(1.0, end - bench.time_s))
        keeper.look(bench)


def test_a_second_way_back_does_not_wash_the_record() -> None:
    bench, keeper = driven()
    assert [event.time_s for event in bench.events if event.kind == "violation"] == [20.5]
    for to_s in (30.0, 10.0, 5.0, 0.0):
        bench = cast(Bench, keeper.back(bench, to_s))
        _live(bench, keeper, 1.0)
        assert len(recorded(bench)) == 1
        assert "violation at 20.5 s" in recorded(bench)[0] or to_s == 30.0
    assert bench.commands["W26"] != "lifted"


def test_the_record_is_in_a_save_and_in_a_moment_gone_back_to_again(tmp_path: Path) -> None:
    bench, keeper = driven()
    bench = cast(Bench, keeper.back(bench, 10.0))
    _live(bench, keeper, 2.0)
    bench = cast(Bench, keeper.back(bench, 11.0))
    bench.save(tmp_path / "bench.rime")
    assert len(recorded(Bench.load(tmp_path / "bench.rime"))) == 1


def test_what_is_on_record_changes_no_course() -> None:
    bench, keeper = driven()
    bench = cast(Bench, keeper.back(bench, 10.0))
    _do(bench, keeper, InsertFault(name="condenser-air-low", severity=0.5, period_s=3.0))  # fmt: skip
    _live(bench, keeper, 10.0)
    then = [fault.onset for fault in bench.faults.values()]
    again = cast(Bench, keeper.back(bench, 15.0))
    assert [fault.onset for fault in again.faults.values()] == then


def test_what_has_been_put_by_comes_back_with_the_record_of_what_was_done_meanwhile() -> None:
    beside, plant = Beside(), FakeBench()
    beside.obey(plant, Fork(what="keep", name="before"))
    plant.advance(60.0)
    plant.note("M1", "slug", "Liquid has entered the cylinder.")
    found = cast(FakeBench, beside.obey(plant, Fork(what="adopt", name="before")))
    assert [text for text in recorded(found) if "slug at 60.0 s" in text]
    there = cast(FakeBench, beside.obey(found, Fork(what="adopt", name="bench of 60 s")))
    assert len(recorded(there)) == 1  # its own event, and no line beside it that says the same


def test_carrying_over_twice_says_it_once() -> None:
    first, second = FakeBench(), FakeBench()
    first.note("M1", "damage", "The discharge valve leaks.")
    for _ in range(3):
        carry_over(on_record(first.events), second)
    assert len(second.events) == 1
    assert on_record(second.events) == on_record(on_record(first.events))


def test_beginning_again_leaves_the_record_even_where_an_opening_fails() -> None:
    def open_bench(begin: Begin, progress: Progress) -> Opened:
        if begin.load:
            raise OSError("no such file")
        return Opened(FakeBench(), fake_chart())

    runner = Runner(open_bench, Begin(first_pace=0))
    runner.start()
    wait_for(lambda: runner.take().stage is Stage.HELD)
    assert runner._bench is not None
    runner._bench.note("W26", "violation", "Lifted while live.")
    for begin in (Begin(first_pace=0), Begin(load="gone"), Begin(first_pace=0)):
        number = runner.send(begin)
        wait_for(lambda number=number: runner.take().applied >= number)  # type: ignore[misc]
    for order in (Step(seconds=20.0), Rewind(to_s=0.0, pace=0)):
        number = runner.send(order)
        wait_for(lambda number=number: runner.take().applied >= number)  # type: ignore[misc]
    snapshot = runner.take().snapshot
    runner.stop()
    assert snapshot is not None
    [line] = [event for event in snapshot.events if event.kind == "record"]
    assert line.tag == "W26"
    assert "violation" in line.text


def test_a_long_session_does_not_push_a_mishap_out_of_the_report() -> None:
    plant = FakeBench()
    plant.note("M1", "slug", "Liquid has entered the cylinder.")
    for _ in range(MOST_EVENTS + 5):
        plant.note("HS-1", "command", "turned")
    assert [event.kind for event in told(plant.events)] == ["slug", *["command"] * MOST_EVENTS]
