"""A copy beside the bench in plain sentences: it lives as a bench would, the bench is not touched by it, and what is said of the two can be checked."""

from __future__ import annotations

import re

import pytest

from tests.tui.plain.conftest import START, Converse, Typist
from tui.assessed import ONE_BENCH, sentence
from tui.cautions import of_events
from tui.plain.aloud import aloud

ON_BOTH = r"([^.:]+ [A-Z]{2}-\d+): ((?:minus )?[\d.]+) [^,]+ on the bench, ((?:minus )?[\d.]+) [^,]+ on the copy, ([\d.]+) [^,]+ (more|less)\."


def in_figures(words: str) -> float:
    return float(words.replace("minus ", "-"))


def test_the_copy_lives_as_a_bench_and_the_bench_as_without_it(converse: Converse) -> None:
    both = converse("copy", "copy set HCV-22 30%", "wait 5 min", "read all", "copy read all", start="steady")  # fmt: skip
    alone = converse("set HCV-22 30%", "wait 5 min", "read all", start="steady").answers
    still = converse("wait 5 min", "read all", start="steady").answers
    on_bench, on_copy = both.answers.rpartition("The compressor runs. ")[2].split(" On the copy: ")
    assert on_bench == still.rpartition("The compressor runs. ")[2].partition(" End of input")[0]
    assert on_copy.partition(" End of")[0] == alone.rpartition("The compressor runs. ")[2].partition(" End of")[0]  # fmt: skip


def test_what_is_said_of_the_two_adds_up(converse: Converse) -> None:
    said = converse("copy", "copy set HCV-22 30%", "wait 5 min", "read PI-1", "copy read PI-1", "compare", start="steady").answers  # fmt: skip
    rows = re.findall(ON_BOTH, said.partition("readings differ. ")[2])
    assert len(rows) > 8
    for name, bench, copy, apart, way in rows:
        sign = 1.0 if way == "more" else -1.0
        assert sign * float(apart) == pytest.approx(in_figures(copy) - in_figures(bench), abs=1e-6), name  # fmt: skip
    one = {name: (bench, copy) for name, bench, copy, _, _ in rows}["Suction gauge PI-1"]
    assert re.findall(r"Suction gauge PI-1: ([\d.]+) bar gauge\.", said) == list(one)


def test_of_one_moment_nothing_differs_and_all_says_every_reading(converse: Converse) -> None:
    said = converse("copy", "compare", "compare all", "compare some", start="steady").answers
    assert said.count(" 0 of 20 readings differ.") == 2
    assert said.count(" on both.") == 20
    assert "Say compare, or compare all" in said


def test_what_happens_on_the_copy_is_told_as_the_copys_and_ends_no_wait(converse: Converse) -> None:
    said = converse(*START, "copy", "copy set HS-4 off", "wait until PI-1 below 3 bar", "copy status", "status")  # fmt: skip
    copy, bench = said.answers.rpartition("On the copy: Fennick bench")[2].split("Fennick bench")
    assert "the compressor stands" in copy
    assert "the compressor runs" in bench
    assert "Reached after" in said.answers
    assert said.code == 0


def test_both_stand_at_the_same_time_after_acts_on_either(converse: Converse) -> None:
    typist = Typist()
    for line in ("copy", "set HS-1 on", "copy set HS-1 on", "copy set HS-2 low", "wait 10", "set HS-2 low"):  # fmt: skip
        typist.types(line)
    other = typist.talk.alongside.partner
    assert other is not None
    assert other.bench.time_s == typist.talk.bench.time_s == 10.5
    assert not other.keeping.holds


@pytest.mark.parametrize("line", ["begin", "back to beginning", "begin capillary"])
def test_another_plant_or_moment_ends_it_and_says_so(line: str) -> None:
    typist = Typist()
    for typed in ("copy", "wait 60", line, "compare"):
        typist.types(typed)
    assert "The copy was of the plant from before, and is gone." in typist.text
    assert typist.text.endswith("There is no copy. Type copy to make one of this moment.")


def test_a_copy_that_cannot_be_computed_ends_and_the_bench_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    typist = Typist()
    typist.types("copy")
    other = typist.talk.alongside.partner
    assert other is not None

    def no_further(seconds: float) -> None:
        raise ArithmeticError("nothing converges")

    monkeypatch.setattr(other.bench, "advance", no_further)
    typist.types("wait 60")
    assert "The copy ends:" in typist.text
    assert "1 minute passed. The bench's clock stands at 1 minute." in typist.text
    assert typist.talk.alongside.partner is None
    assert not typist.talk.failure


@pytest.mark.parametrize("method", ["advance", "snapshot"])
@pytest.mark.parametrize("line", ["copy set HS-1 on", "copy read PI-1", "compare"])
def test_a_copy_that_ends_at_its_own_command_leaves_the_bench_as_it_is(line: str, method: str, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    """Either fails at once, or when time passes next."""
    typist = Typist()
    typist.types("copy")
    other = typist.talk.alongside.partner
    assert other is not None

    def no_further(seconds: float = 0.0) -> None:
        raise ArithmeticError("nothing converges")

    monkeypatch.setattr(other.bench, method, no_further)
    for typed in (line, "wait 60", "set HS-1 on", "compare", "copy"):
        typist.types(typed)
    assert typist.text.count("The copy ends:") == 1
    assert "Type begin" not in typist.text
    assert "1 minute passed. The bench's clock stands at 1 minute." in typist.text
    assert "There is no copy. Type copy to make one of this moment." in typist.text
    assert typist.text.count("A copy is made") == 2


def test_a_lift_on_the_copy_is_told_with_its_cautions_once() -> None:
    typist = Typist()
    typist.types("copy")
    other = typist.talk.alongside.partner
    assert other is not None
    for _ in range(2):
        other.bench.note("PSV-1", "lift", "relief valve lifts")
        typist.types("wait 1")
    lines = of_events(["lift"], safety_class=typist.talk.safety_class)
    assert lines
    assert typist.text.count("On the copy:") == 2
    for line in lines:
        assert typist.text.count(aloud(line, comma=False)) == 1


def test_a_learner_hears_nothing_of_a_fault_on_the_copy(converse: Converse) -> None:
    said = converse("copy", "copy fault condenser-fouled 0.6", "compare", "view learner", "compare", "copy events", "compare all", "copy fault condenser-fouled 0.1", instructor=True, start="steady").answers  # fmt: skip
    told, hidden = said.split("Learner's view: what the instruments show.")
    assert "condenser-fouled" in told
    assert "foul" not in hidden
    assert "Faults belong to the instructor's view" in hidden


def test_what_is_not_for_a_copy_is_refused(converse: Converse) -> None:
    said = converse("copy read PI-1", "compare", "copy end", "copy", "copy wait 60", "copy save x.rime", "copy end", "copy end").text  # fmt: skip
    assert said.count("There is no copy. Type copy to make one of this moment.") == 4
    assert "Wait is not for the copy." in said
    assert "Save is not for the copy." in said
    assert sentence(ONE_BENCH) in converse("copy", assessed=True).text
