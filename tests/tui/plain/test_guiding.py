"""Tour and lesson: a newcomer who types exactly what is asked for gets to the end, and the bench is then as the lesson says."""

from __future__ import annotations

import re

import pytest

from tests.tui.plain.conftest import Converse, Typist
from tui.assessed import PRACTICE, sentence
from tui.plain.guiding import NONE
from tui.tour import Stage


class Newcomer(Typist):
    """Does what the last sentence asks for, and agrees to every caution."""

    def follow(self, most: int = 60) -> None:
        """Until nothing is asked for any more."""
        while self.talk.tour is not None and self.talk.tour.stage is Stage.UNDER_WAY and most:
            said = self.talk.tour.said()
            assert said is not None
            asked = re.search(r"Type: (.+)$", said.do)
            assert asked is not None, said.do
            self.types(asked[1].partition(", as it was")[0])
            most -= 1
        assert most, self.typed


@pytest.mark.parametrize("start", ["off", "steady"])
def test_who_types_what_the_tour_asks_for_gets_to_its_end(start: str) -> None:
    newcomer = Newcomer(start=start)
    newcomer.types("tour")
    newcomer.follow()
    assert newcomer.talk.wrong == 0, newcomer.text
    assert newcomer.text.count("Done: ") == 6
    assert "Everything stands as it did when the tour began." in newcomer.text
    assert ("stop" in newcomer.typed) is (start == "off")


def test_who_types_what_the_lesson_asks_for_runs_the_plant_and_stops_it() -> None:
    newcomer = Newcomer()
    newcomer.types("lesson")
    newcomer.follow()
    text, bench = newcomer.text, newcomer.talk.bench
    assert newcomer.talk.wrong == 0, text
    assert "Type yes" not in text
    assert text.count("Done: ") == 8
    # README, A first lesson: the start's current, then 1.2 and 8.3 bar gauge, 8 to 9 K of superheat, 240 W
    assert 13.0 < float(re.findall(r"II-1 amps, largest: ([\d.]+) amps", text)[0]) < 14.5
    suction, discharge, superheat, watts = re.findall(r"Suction gauge PI-1: ([\d.]+) bar gauge. Discharge gauge PI-2: ([\d.]+) bar gauge. Superheat, worked out from gauge and thermometer: ([\d.]+) kelvin. Panel wattmeter JI-1: (\d+) watts", text)[0]  # fmt: skip
    assert float(suction) == pytest.approx(1.2, abs=0.1)
    assert float(discharge) == pytest.approx(8.3, abs=0.3)
    assert 8.0 <= float(superheat) <= 9.0
    assert float(watts) == pytest.approx(240, abs=6)
    # less liquid: suction below 1 bar gauge, superheat nearly 20 K
    low, high = re.findall(r"Suction gauge PI-1: ([\d.]+) bar gauge. Superheat, worked out from gauge and thermometer: ([\d.]+) kelvin. Type", text)[0]  # fmt: skip
    assert float(low) < 1.0
    assert 15.0 < float(high) < 22.0
    assert [event.tag for event in bench.events if event.kind == "trip"] == []
    now = bench.snapshot().commands
    assert {now[tag] for tag in ("HS-1", "HS-2", "HS-3", "HS-4", "HS-6")} == {"off"}
    assert (now["HV-12"], now["HV-21"], now["HV-22"]) == (0.0, 1.0, 0.0)


def test_who_follows_the_lesson_in_heating_reverses_the_plant_twice_without_a_mishap() -> None:
    newcomer = Newcomer()
    newcomer.types("lesson heating")
    newcomer.follow()
    text, bench = newcomer.text, newcomer.talk.bench
    assert newcomer.talk.wrong == 0, text
    assert text.count("Done: ") == 5
    assert text.count("Type yes to lift the guard") == 2
    assert text.index("slide on the heating side now") < text.rindex("slide on the cooling side now")  # fmt: skip
    # README, To heat with coil B: about 1.6 and 10.5 bar gauge, 270 W, superheat about 0 K
    low, high, wet, watts = re.findall(r"PI-1: ([\d.]+) bar gauge. Discharge gauge PI-2: ([\d.]+) bar gauge. Superheat at the compressor, for coil B condenses now, worked out from gauge and thermometer: ((?:minus )?[\d.]+) kelvin(?:, wet by these readings)?. Panel wattmeter JI-1: (\d+) watts", text)[0]  # fmt: skip
    assert float(low) == pytest.approx(1.6, abs=0.15)
    assert float(high) == pytest.approx(10.5, abs=0.5)
    assert abs(float(wet.replace("minus ", "-"))) < 1.5
    assert float(watts) == pytest.approx(270, abs=8)
    assert {event.kind for event in bench.events if event.tag != "XV-2"} <= {"command", "contact"}
    assert bench.snapshot().running


def test_the_lesson_goes_on_from_what_has_been_done_already_and_can_be_left() -> None:
    newcomer = Newcomer()
    for line in ("lesson", "status", "read pi 1 and pi 2"):
        newcomer.types(line)
    assert "Lesson, step 2 of 8" in newcomer.text
    for line in ("set HS-2 low", "set HS-1 on"):
        newcomer.types(line)
    assert newcomer.text.endswith("Type: set HS-3 high")
    newcomer.types("lesson")
    assert newcomer.text.count("Lesson, step 2 of 8") == 2, "said again, not begun anew"
    newcomer.types("end")
    newcomer.types("skip")
    assert "There is neither tour nor lesson under way." in newcomer.text


def test_an_assessed_session_neither_shows_round_nor_offers_to(converse: Converse) -> None:
    said = converse("tour", "lesson", "skip", assessed=True)
    assert said.text.count(sentence(PRACTICE)) == 2
    assert NONE in said.text
    assert "shown round" not in said.text
