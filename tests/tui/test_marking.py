"""Own results beside computed ones: three places, and the usual slips."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.working.sheet import Held, Sheet
from tests.tui.fake_bench import fake_chart, steady_bench
from tests.tui.fake_scales import fake_scales
from tui.marking import Place, mark, parsed, wrong_with
from tui.words import UNIT_CHOICES
from tui.working import difference_words, held_of, number_words, si_of, unit_of

AIR = 101325.0


@pytest.fixture
def held() -> Held:
    return held_of(steady_bench().snapshot(), AIR)


@pytest.fixture
def sheet(held: Held) -> Sheet:
    return Sheet(held, fake_scales(), fake_chart())


@pytest.mark.parametrize(("share", "place"), [(0.0, "AGREES"), (0.9, "WITHIN"), (1.1, "OUTSIDE"), (-1.1, "OUTSIDE")])  # fmt: skip
def test_three_places(share: float, place: str, sheet: Sheet) -> None:
    line = sheet.line("compression_ratio")
    assert mark(line, sheet, line.value + share * line.tolerance, 0.0).place is Place[place]


def test_what_was_rounded_agrees_with_what_was_not(sheet: Sheet) -> None:
    line = sheet.line("outlet_gas_j_kg")
    off = line.reading + 400.0
    assert mark(line, sheet, line.value + off, 50.0).place is Place.WITHIN
    assert mark(line, sheet, line.value + off, 500.0).place is Place.AGREES


def test_none_is_right_exactly_where_there_is_none(sheet: Sheet) -> None:
    still = Sheet(replace(sheet.held, running=False), sheet.scales, sheet.fluid)
    assert mark(still.line("taken_up_w"), still, None, 0.0).place is Place.AGREES
    assert mark(still.line("taken_up_w"), still, 430.0, 0.0).place is Place.OUTSIDE
    assert mark(sheet.line("taken_up_w"), sheet, None, 0.0).place is Place.OUTSIDE


@pytest.mark.parametrize(
    ("key", "slip"),
    [
        ("compression_ratio", "gauge pressures"),
        ("evaporating_point_k", "gauge value taken as absolute"),
        ("condensing_point_k", "gauge value taken as absolute"),
        ("suction_absolute_pa", "this is the gauge value"),
        ("superheat_at_compressor_k", "the wrong way round"),
        ("effect_j_kg", "the wrong way round"),
    ],
)
def test_usual_slips_are_named(key: str, slip: str, sheet: Sheet) -> None:
    number, fluid = sheet.number, sheet.fluid
    own = {
        "compression_ratio": number("discharge_gauge_pa") / number("suction_gauge_pa"),
        "evaporating_point_k": fluid.boiling_k(number("suction_gauge_pa")),
        "condensing_point_k": fluid.bubbling_k(number("discharge_gauge_pa")),
        "suction_absolute_pa": number("suction_gauge_pa"),
    }.get(key, -number(key))
    assert slip in mark(sheet.line(key), sheet, own, 0.0).slip


def test_a_number_that_is_merely_wrong_is_no_slip(sheet: Sheet) -> None:
    line = sheet.line("compression_ratio")
    assert mark(line, sheet, 2.0 * line.value + 1.0, 0.0).slip == ""


@pytest.mark.parametrize(("text", "number", "half"), [("6.5", 6.5, 0.05), ("6,50", 6.5, 0.005), (" -7 ", -7.0, 0.5), ("−7,0", -7.0, 0.05), ("None", None, 0.0), ("-", None, 0.0)])  # fmt: skip
def test_a_typed_result_is_read_with_its_last_figure(text: str, number: float | None, half: float) -> None:  # fmt: skip
    found, rounding = parsed(text)
    assert found == number
    assert rounding == pytest.approx(half)


@pytest.mark.parametrize("text", ["", "warm", "nan", "inf", "1e400", "6.5 K", "\0", "1" * 400])
def test_what_is_no_number_is_a_sentence(text: str) -> None:
    assert wrong_with(text).endswith(".")


@pytest.mark.parametrize("units", UNIT_CHOICES)
@pytest.mark.parametrize(("key", "value"), [("superheat_at_outlet_k", 5.0), ("evaporating_point_k", 268.0), ("suction_absolute_pa", 2.3e5), ("effect_j_kg", 150e3), ("taken_up_w", 430.0), ("flow_kg_s", 2.8e-3)])  # fmt: skip
def test_a_result_goes_into_si_as_it_came_out(key: str, value: float, units: object) -> None:
    words = number_words(key, value, units, AIR)  # type: ignore[arg-type]
    number, _, unit = words.partition(" ")
    assert unit == unit_of(key, units)  # type: ignore[arg-type]
    assert si_of(key, float(number), units, AIR) == pytest.approx(value, rel=0.01)  # type: ignore[arg-type]


def test_a_difference_of_temperatures_in_fahrenheit_has_no_32_in_it() -> None:
    assert difference_words("evaporating_point_k", 1.0, UNIT_CHOICES[1]) == "1.8 °F"
    assert difference_words("suction_absolute_pa", 1e4, UNIT_CHOICES[0]) == "0.10 bar"


def test_an_exponent_moves_the_last_figure_along() -> None:
    assert parsed("1.5e3") == (1500.0, 50.0)
    assert parsed("1e3") == (1000.0, 500.0)
    assert parsed("2.30") == (2.3, 0.005)
