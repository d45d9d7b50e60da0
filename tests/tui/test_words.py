"""Numbers in the words of the trade. Conversions are held to NIST SP 811 (2008), appendix B."""

from __future__ import annotations

import math
import re

import pytest

from tests.tui.fake_bench import FakeBench
from tests.tui.fake_tags import TAGS
from tui.desk import by_tag
from tui.words import UNIT_CHOICES, Units, in_words, label_of, number_in, reading, setting_words
from tui.working import UNMEASURED

SI, US, BOTH = UNIT_CHOICES


def test_what_no_instrument_shows_is_said_in_whole_sentences() -> None:
    for _, said in UNMEASURED:
        assert said.endswith(".")
        assert not re.search(r"[.:] [a-z][^.]*[.] [a-z]", said), said


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("suction_pressure_pa", 101325 + 137e3, "19.9 psig (1.37 bar g)"),  # 1 psi = 6894.757 Pa
        ("discharge_temperature_k", 273.15 + 74, "165.2 °F (74.0 °C)"),
        ("suction_superheat_k", 5.0, "9.0 °F (5.0 K)"),  # a difference: no 32 in it
        ("mass_flow_kg_s", 2.85e-3, "22.6 lb/h (2.85 g/s)"),  # 1 lb = 0.45359237 kg
        ("charge_kg", 0.7, "24.7 oz (700 g)"),
        ("refrigerating_capacity_w", 435.0, "1484 Btu/h (435 W)"),  # 1 Btu(IT)/h = 0.2930711 W
        ("power_w", 198.0, "198 W"),
        ("flowmeter_shown", 8.7, "2.30 gal/h (8.7 L/h)"),  # 1 US gal = 3.785412 L
        ("receiver_level", 0.68, "68 %"),
        ("sight_glass", "bubbles", "bubbles"),
        ("atmospheric_pressure_pa", 101325.0, "14.7 psia (1.01 bar abs)"),
        ("evaporator_air_in_humidity_ratio", 0.0093, "65 gr/lb (9.3 g/kg)"),  # 1 lb = 7000 gr
        ("suction_pressure_pa", None, "—"),
        ("suction_pressure_pa", math.nan, "—"),
    ],
)
def test_us_units_with_si_beside_them(key: str, value: float | str | None, words: str) -> None:
    assert in_words(key, value, US) == words


def test_si_alone_and_si_with_us_beside() -> None:
    assert in_words("suction_pressure_pa", 101325 + 137e3, SI) == "1.37 bar g"
    assert in_words("suction_pressure_pa", 101325 + 137e3, BOTH) == "1.37 bar g (19.9 psig)"


def test_gauge_pressure_is_read_against_the_room_it_hangs_in() -> None:
    high_up = 80e3
    assert in_words("suction_pressure_pa", 180e3, SI, high_up) == "1.00 bar g"


def test_a_pressure_never_stands_without_gauge_or_absolute() -> None:
    for units in UNIT_CHOICES:
        words = in_words("discharge_pressure_pa", 9.5e5, units)
        assert words.count("bar") == words.count("bar g")
        assert "psi " not in words


def test_nothing_is_minus_zero() -> None:
    assert number_in("suction_superheat_k", -0.001, "si") == "0.0 K"


def test_the_learner_sees_the_display_and_the_instructor_the_truth() -> None:
    readings = {"suction_pressure_pa": 2.3e5, "suction_pressure_pa_shown": 2.4e5, "cop": 2.1}
    assert reading(readings, "suction_pressure_pa", False) == 2.4e5
    assert reading(readings, "suction_pressure_pa", True) == 2.3e5


def test_every_reading_of_the_bench_has_a_plain_name() -> None:
    for key in FakeBench().snapshot().readings:
        name = label_of(key)
        assert "_" not in name
        assert name.strip()


@pytest.mark.parametrize(
    ("tag", "value", "words"),
    [
        ("HV-12", 1.0, "open"),
        ("HV-12", 0.0, "shut"),
        ("HCV-22", 0.35, "35 % open"),
        ("HS-2", "low", "low"),
        ("PSHH-1.set", 1701325.0, "16.00 bar g"),
        ("TS-1.set", 283.15, "10.0 °C"),
        ("TCV-23.spring", 2.0, "+2 quarter turns"),
        ("HS-7.watts", 250.0, "250 W"),
    ],
)
def test_settings_are_said_as_a_person_says_them(tag: str, value: float | str, words: str) -> None:
    tags = by_tag(TAGS)
    assert setting_words(tags[tag], tag, value, Units("si", False)) == words
