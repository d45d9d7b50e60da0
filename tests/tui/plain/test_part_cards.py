"""``part TAG`` says what the screen's card says, from the same source, and what it says of a gauge is right."""

from __future__ import annotations

import re

import pytest
from CoolProp.CoolProp import PropsSI

from sim.units import STANDARD_ATMOSPHERE_PA
from tests.tui.plain.conftest import Converse, Typist, number
from tui.draw.drawing import load_drawings
from tui.part_card import card_of
from tui.plain.aloud import aloud
from tui.report import Report

STATED = ("XV-1", "XV-2", "LCV-24", "PSV-1", "FO-21", "SP-1", "COIL-A")
"""Parts without handle or dial, whose cards say how they stand."""
PSI_PER_BAR = 14.50377  # source: NIST SP 811 appendix B.8
TAGS = ("PI-1", "PI-2", "TI-3", "FI-1", "FG-1", "FG-2", "LG-1", "II-1", "receiver", "accumulator", "drier", "drum", "TCV-23", "COIL-A", "TI-10", "HV-22", "K1", "XV-1", "XV-2", "LCV-24", "PSV-1", "FO-21", "SP-1")  # fmt: skip


def test_both_discharge_words_agree_with_coolprop_and_with_the_trip_of_the_rig(converse: Converse) -> None:  # fmt: skip
    said = converse("part PI-2", "part PI-1", start="steady")
    for tag, coil, does in (("PI-2", "coil A (COIL-A)", "condenses"), ("PI-1", "coil B (COIL-B)", "boils")):  # fmt: skip
        text = said.answers.partition(f"{tag}: ")[2]
        assert f"{coil}, where refrigerant {does} now" in text
        bar = float(re.findall(rf"{tag}: (minus )?([\d.]+) bar gauge", text)[0][1])
        told = float(re.findall(rf"R134a {does} at ((?:minus )?[\d.]+) degrees", text)[0].replace("minus ", "-"))  # fmt: skip
        # CoolProp's dew line at the gauge's pressure plus 101 325 Pa; the screen's table is drawn in 120 rows
        true = PropsSI("T", "P", bar * 1e5 + STANDARD_ATMOSPHERE_PA, "Q", 1, "R134a") - 273.15
        assert told == pytest.approx(true, abs=0.2)
    dial = number(r"Discharge gauge PI-2: ([\d.]+) bar gauge", said.answers)
    away = number(r"PSHH-1 opens at 16 bar gauge, ([\d.]+) bar above", said.answers)
    assert away == pytest.approx(16.0 - dial, abs=0.051)  # rigs/fennick_bench/rig.toml: 16 bar g


def test_a_vessel_and_the_coil_by_its_work_have_a_part_and_a_spring_its_superheat(converse: Converse) -> None:  # fmt: skip
    said = converse("part receiver", "part liquid receiver", "part COIL-A", "part TCV-23", start="steady")  # fmt: skip
    assert len(re.findall(r"receiver: liquid receiver\. receiver shows \d+ percent\.", said.text)) == 2  # fmt: skip
    assert "COIL-A: coil A, condenser now." in said.text
    assert re.search(
        r"the valve begins to open at [\d.]+ kelvin; a quarter turn in adds", said.text
    )
    assert said.code == 0


def test_in_us_units_the_distance_to_the_trip_is_in_psi(converse: Converse) -> None:
    said = converse("units us", "part PI-2", start="steady")
    dial = number(r"Discharge gauge PI-2: ([\d.]+) psi gauge", said.answers)
    away = number(r"psi gauge, ([\d.]+) psi above what it shows", said.answers)
    assert away == pytest.approx(16.0 * PSI_PER_BAR - dial, abs=0.6)


@pytest.mark.parametrize("own_work", [False, True])
def test_card_and_sentence_agree_for_every_kind_of_part(own_work: bool) -> None:
    typist = Typist(start="steady")
    talk = typist.talk
    talk.scene.own_work = own_work
    assert talk.opened is not None
    one = talk.opened
    drawing = load_drawings(one.bench.rig.folder)["l"]
    about = Report(kinds=one.kinds, dials=one.dials, lines=one.lines, springs=one.springs)
    told = 0
    for tag in TAGS:
        before = len(typist.text)
        typist.types(f"part {tag}")
        text = " ".join(typist.text[before:].split())
        card = card_of(tag, talk.scene, drawing, about, talk.safety_class)
        for line in (*card.told, *card.state, card.check):
            assert " ".join(aloud(line).split()) in text, (tag, line)
        assert text.count("Seen and heard") <= 1, tag
        assert card.state or tag not in STATED, tag
        told += len(card.told)
    assert told > 15
