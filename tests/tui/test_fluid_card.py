"""The pressure-temperature card against CoolProp, and what has to stand on it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tui.cli import main
from tui.fluid_card import card_lines, cells, has_glide, rows_of, tables_of
from tui.opening import chart_of

CoolProp = pytest.importorskip("CoolProp.CoolProp")
ATMOSPHERE = 101_325.0  # ISO 2533:1975


@pytest.mark.parametrize("name", ["R134a", "R290", "R32"])
def test_every_row_is_saturation_within_a_hundredth_of_a_bar(name: str) -> None:
    fluid = chart_of(name)
    for row in rows_of(fluid, fluid.dew_k):
        pressure = CoolProp.PropsSI("P", "T", row.temperature_k, "Q", 1, name)
        assert row.pressure_pa == pytest.approx(pressure, rel=1e-3)
        celsius, gauge, absolute, *_ = (float(cell.rstrip("v")) for cell in cells(row))
        assert celsius == pytest.approx(row.temperature_k - 273.15)
        assert absolute - gauge == pytest.approx(ATMOSPHERE / 1e5, abs=0.011)


def test_r134a_at_23_degrees_is_what_a_technician_knows() -> None:
    # R134a at 24 degC: 6.46 bar abs, 79 psig (CoolProp 6.458 bar; trade cards print 79 psig at 75.2 degF, from memory)
    row = next(row for row in tables_of(chart_of("R134a"))[0][1] if row[0] == "24")
    assert row[2] == "6.46"
    assert row[3] == "75.2"
    assert float(row[4]) == pytest.approx(79.0, abs=0.5)


def test_below_the_atmosphere_us_gauges_show_inches_of_mercury() -> None:
    # R134a at -40 degC: 0.512 bar abs (CoolProp), so (101325 - 51200)/3386.389 = 14.8 inHg of vacuum
    row = tables_of(chart_of("R134a"))[0][1][0]
    assert row[0] == "-40"
    assert row[4] == "14.8v"


def test_a_pure_fluid_has_one_table_and_says_its_safety_class() -> None:
    fluid = chart_of("R290")
    assert not has_glide(fluid)
    assert "A3" in card_lines(fluid)[0]
    assert all(len(line) <= 60 for line in card_lines(fluid))


def test_the_command_prints_the_card_and_writes_a_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    assert main(["saturation"]) == 0
    assert "R134a, safety class A1" in capsys.readouterr().out
    page = tmp_path / "card.html"
    assert main(["saturation", "--fluid", "R290", "--format", "html", "--out", str(page)]) == 0
    assert "<h1>R290</h1>" in page.read_text(encoding="utf-8")
    assert main(["saturation", "--fluid", "R999"]) == 2
