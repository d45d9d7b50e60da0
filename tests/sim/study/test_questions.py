"""What a card proposes to ask is what benches show that somebody runs by hand."""

from __future__ import annotations

import re

import pytest

from sim.bench import Bench
from sim.faults import all_faults
from sim.rig import Rig
from sim.study.card import Card, _watch, as_record
from sim.study.case import case_of
from sim.study.dials import dials_of
from sim.study.questions import Question, questions_for
from sim.study.twins import Look, Twins

Asked = tuple[Card, list[Look], Bench]


def watched(rig: Rig, name: str) -> Asked:
    """A card up to what is seen on the instruments, with its questions."""
    case = case_of(rig, name)
    healthy = case.healthy()
    card = Card(case, 23.0, [])
    looks = _watch(card, Twins(case, healthy.fork()), healthy)
    card.questions = questions_for(card, healthy, looks)
    return card, looks, healthy


@pytest.fixture(scope="module")
def fouled(rig: Rig) -> Asked:
    """Nothing gets through the condenser's fins any more."""
    return watched(rig, "condenser-fouled")


def asked(card: Card, words: str) -> Question:
    (one,) = [one for one in card.questions if words in one.ask]
    return one


def test_who_looks_at_gauges_only_names_an_instrument_that_moves_later(fouled: Asked) -> None:
    question = asked(fouled[0], "move first")
    moves = {move.tag: move.moves_s or 0.0 for move in fouled[0].moves}
    right, wrong = (re.split(r"[ ,]", text)[0] for text in (question.answer, question.wrong))
    assert moves[right] == min(moves.values())
    assert wrong in ("PI-1", "PI-2")
    assert moves[wrong] > moves[right]


def test_a_calculation_is_asked_for_while_no_gauge_is_plain(fouled: Asked) -> None:
    question = asked(fouled[0], "gauges look as always")
    plain = [move.plain_s for move in fouled[0].moves if move.tag in ("PI-1", "PI-2") and move.plain_s]  # fmt: skip
    assert 0.0 < question.at_s < min(plain)


def test_nobody_is_taught_to_reset_before_the_cause_is_found(fouled: Asked) -> None:
    question = asked(fouled[0], "PSHH-1 has stopped")
    assert question.answer.startswith("leave it off and find the cause")
    assert question.wrong.startswith("reset")


def test_what_tells_the_cause_from_its_look_alike_is_what_two_benches_run_by_hand_show(fouled: Asked, rig: Rig) -> None:  # fmt: skip
    # common practice: fouled fins leave the air's rise small, too little air makes it large
    card, looks, healthy = fouled
    question = asked(card, "What is the cause")
    assert question.wrong.startswith(all_faults()["condenser-fouled"].mistaken_for[0])
    sound, own, other = (healthy.fork() for _ in range(3))
    own.insert_fault("condenser-fouled")
    other.insert_fault("condenser-air-low")
    for bench in (sound, own, other):
        bench.advance(looks[-1].time_s)
    (dial,) = [one for one in dials_of(rig) if one.tag == "TI-8"]
    shares = [100.0 * dial.shift(sound.readings(), one.readings()) / dial.span for one in (own, other)]  # fmt: skip
    assert shares[0] < 0.0 < shares[1]
    assert f"TI-8 stands {shares[0]:+.0f} % of its dial" in question.why
    assert f"{shares[1]:+.0f} %" in question.why


@pytest.mark.parametrize(("name", "other"), [("condenser-air-low", "condenser-fouled"), ("gauge-offset-low", "undercharge")])  # fmt: skip
def test_a_look_alike_that_stops_the_machine_is_compared_before_it_does(rig: Rig, name: str, other: str) -> None:  # fmt: skip
    card, looks, healthy = watched(rig, name)
    question = asked(card, "What is the cause")
    bench = healthy.fork()
    bench.insert_fault(other)
    bench.advance(looks[-1].time_s)
    (stop,) = [event.time_s for event in bench.events if event.kind in ("trip", "contact") and event.tag.startswith("PS")][:1]  # fmt: skip
    told = re.search(r"the machine stops after (\d+) s", question.why)
    assert told is not None
    assert float(told[1]) == pytest.approx(stop - healthy.time_s, abs=1.0)
    before = re.search(r" at ([\d.]+) s", question.why)
    assert before is None or float(before[1]) <= float(told[1])
    assert (
        "-53 %" not in question.why
    )  # a flowmeter at rest tells a stop from a run, no fault from another


def test_a_machine_that_starts_by_itself_is_switched_off_first(rig: Rig) -> None:
    card = watched(rig, "expansion-valve-starved")[0]
    question = asked(card, "PSL-1 has stopped")
    assert question.answer.startswith("switch HS-4 off")
    assert "starts by itself" in question.answer


def test_what_a_class_sees_while_hands_move_the_plant_is_told_as_it_is(rig: Rig) -> None:
    """After a stop the gauges move on any plant: a stuck one is then below a sound plant's, and does not go down."""
    card = watched(rig, "gauge-stuck")[0]
    question = asked(card, "differ first from a sound plant's")
    assert re.match(r"PI-1 .*: below a sound plant's after", question.answer)
    assert not any(": down" in one.answer or "does not move" in one.why for one in card.questions)


def test_where_no_display_tells_two_faults_apart_the_card_says_so(rig: Rig) -> None:
    # a thermostat and a contactor's coil that are open both leave a dead compressor and running fans: ohms or volts tell them apart
    card = watched(rig, "thermostat-open")[0]
    assert "no display tells the two apart" in asked(card, "What is the cause").why


def test_questions_stand_in_the_record_in_the_order_of_time(fouled: Asked) -> None:
    found = as_record(fouled[0])["questions"]
    assert len(found) >= 3
    assert [one["at_s"] for one in found] == sorted(one["at_s"] for one in found)
    assert all(one["ask"] and one["answer"] and one["wrong"] and one["why"] for one in found)
