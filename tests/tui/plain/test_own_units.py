"""Units as the settings have them, for readings, events and what is typed. Conversions are checked against NIST Special Publication 811 (2008), appendix B.8: 1 psi = 6894.757 Pa, 1 bar = 100 kPa, t_F = 1.8 t_C + 32."""

from __future__ import annotations

import io
import os
import re
from pathlib import Path

import pytest

from sim.events import Event
from sim.units import SYMBOLS, to_si
from tests.tui.plain.conftest import number
from tui.event_units import in_own_units
from tui.orders import Begin
from tui.plain.aloud import aloud, unit_words
from tui.plain.loop import run
from tui.plain.values import quantity_in_si
from tui.plain.voice import Voice
from tui.session.kept import Kept, opened
from tui.session.settings import choices_of, read_settings
from tui.words import Units

BAR_IN_PSI = 1e5 / 6894.757
ROOM_PA = 101_325.0


def config() -> Path:
    return Path(os.environ["RIMEBENCH_CONFIG"]) / "settings.toml"


def held(*lines: str, settings: str = "") -> str:
    """What is said to a person with these settings."""
    if settings:
        config().parent.mkdir(exist_ok=True)
        config().write_text(settings)
    out = io.StringIO()
    kept: Kept = opened()
    run(Begin(), voice=Voice(io.StringIO("\n".join(lines) + "\n"), out), kept=kept)
    return " ".join(out.getvalue().split())


def test_each_quantity_is_read_as_the_settings_have_it() -> None:
    text = held("read PI-1, TI-1", "units us", "read PI-1, TI-1", "units settings", "read PI-1", settings='[units]\npressure = "kPa g"\ntemperature = "°F"\ndecimal_comma = true\n')  # fmt: skip
    own, us, again = text.partition("Type help")[2].split("Readings are in")
    kpa = number(r"PI-1: ([\d,]+) kilopascals gauge", own)
    assert abs(kpa / 100.0 * BAR_IN_PSI - float(_last(r"PI-1: ([\d,]+) psi gauge", us))) < 0.2
    assert _last(r"TI-1: ([\d,]+) degrees Fahrenheit", own) == _last(r"TI-1: ([\d,]+) degrees Fahrenheit", us)  # fmt: skip
    assert "Decimals stand behind a comma." in us
    assert "Pressure is in kilopascals gauge." in again
    assert "kilopascals gauge" in again.rpartition("PI-1:")[2]


def _last(pattern: str, text: str) -> str:
    import re

    return str(re.findall(pattern, text)[-1]).replace(",", ".")


def test_what_is_typed_is_taken_in_the_settings_units_and_with_a_comma() -> None:
    text = held("set PSL-1.set 7,25", "yes", "set PSL-1.set 50 kPa", "yes", "set HCV-22 0,35", settings='[units]\npressure = "psi g"\ndecimal_comma = true\n')  # fmt: skip
    seven, kpa = re.findall(r"PSL-1\.set, [^.]+: ([\d,]+) psi gauge", text)
    assert float(seven.replace(",", ".")) == pytest.approx(7.25, abs=0.051)
    assert float(kpa.replace(",", ".")) == pytest.approx(0.5 * BAR_IN_PSI, abs=0.051)
    assert "35 percent open" in text


def test_a_comma_that_nobody_has_chosen_is_refused_with_a_remedy() -> None:
    text = held("set HCV-22 0,35", "units comma", "set HCV-22 0,35")
    assert "0,35 has a comma. Write its decimals behind a point, or type units comma" in text
    assert "35 percent open" in text


def test_events_are_told_in_them_and_a_persons_own_note_is_left_as_it_was_written() -> None:
    text = held("set PSL-1.set 0.5 bar", "yes", "note meant 0.5 bar g", "events", "units us", "events", "units comma", "events")  # fmt: skip
    si, us, comma = text.partition("Type help")[2].split("Readings are in")
    assert "PSL-1.set: low-pressure control" in us
    assert "0.5 bar gauge" in si.rpartition("At 0 seconds: meant")[0]
    (said,) = re.findall(r"PSL-1\.set: [^.]+: ([\d.]+) psi gauge", us)
    assert float(said) == pytest.approx(0.5 * BAR_IN_PSI, abs=0.051)
    assert "meant 0.5 bar gauge" in us
    assert f"{said} psi gauge".replace(".", ",") in comma


@pytest.mark.parametrize(
    ("text", "us"),
    [
        ("thermostat: set point: 10 °C.", "thermostat: set point: 50.0 °F."),
        ("low-pressure control: 0.3 bar g.", "low-pressure control: 4.4 psig."),
        ("suction at -40 °C is outside", "suction at -40.0 °F is outside"),  # where both scales meet
        ("superheat drifts, up 0.5 K a minute", "superheat drifts, up 0.9 °F a minute"),  # times 9/5
        ("volts at L.1: 230.1 V.", "volts at L.1: 230.1 V."),
    ],
)  # fmt: skip
def test_an_event_in_other_units(text: str, us: str) -> None:
    event = Event(1.0, "PSL-1", "command", text)
    assert in_own_units(event, Units("us", False), ROOM_PA) == us
    assert in_own_units(event, Units("si", False), ROOM_PA) == text


def test_a_comma_is_said_only_where_a_number_has_a_unit() -> None:
    assert aloud("HS-2.1 at 230.10 V, 0.5 seconds", comma=True) == "HS-2.1 at 230,1 volts, 0,5 seconds"  # fmt: skip
    assert aloud("1,30 bar g") == "1,3 bar gauge"


def test_keep_writes_the_settings_that_the_next_start_reads_and_leaves_the_rest(tmp_path: Path) -> None:  # fmt: skip
    text = held("units us", "units pressure kPa", "units comma", "units keep", settings='[screen]\ntheme = "rime-light"\n')  # fmt: skip
    assert "Kept in" in text
    kept = read_settings(config())
    assert (kept.units.system, kept.units.pressure, kept.units.decimal_comma) == ("us", "kPa g", True)  # fmt: skip
    assert kept.screen.theme == "rime-light"
    assert "kilopascals gauge" in held("read PI-1").rpartition("PI-1:")[2]


@pytest.mark.parametrize(
    ("lines", "system"),
    [
        (("units comma",), "rig"),
        (("units pressure kPa",), "rig"),
        (("units us", "units comma"), "us"),
        (("units us", "units settings", "units comma"), "rig"),
    ],
)  # fmt: skip
def test_keep_writes_a_system_only_when_one_was_typed(lines: tuple[str, ...], system: str) -> None:
    held(*lines, "units keep")
    assert read_settings(config()).units.system == system


def test_settings_with_a_mistake_are_told_and_not_written_over() -> None:
    wrong = '[units]\npressure = "bars"\n'
    text = held("read PI-1", "units us", "units keep", settings=wrong)
    assert "The settings have mistakes." in text
    assert "settings.toml:2" in text
    assert "Not kept:" in text
    assert config().read_text() == wrong
    assert "bar gauge" in text.rpartition("PI-1:")[2]


def test_what_is_no_unit_of_a_quantity_is_refused_with_what_there_is() -> None:
    text = held("units pressure celsius", "units temperature", "units presure psi", "units")
    assert "Celsius is no unit of pressure here. There are bar gauge, kilopascals gauge" in text
    assert "Did you mean" in text
    assert text.count("Readings are in SI units.") == 2, "a refused line tells no units"


@pytest.mark.parametrize(
    ("key", "reading"),
    [("pressure", "suction_pressure_pa"), ("temperature", "room_temperature_k"), ("mass", "charge_kg"), ("flow", "mass_flow_kg_s"), ("power", "refrigerating_capacity_w")],
)  # fmt: skip
def test_every_unit_of_the_settings_can_be_typed_by_its_sign_and_as_it_is_said(key: str, reading: str) -> None:  # fmt: skip
    for symbol in filter(None, choices_of("units", key)):
        si = to_si(1.0, SYMBOLS[symbol], ROOM_PA)
        for typed in (symbol, unit_words(symbol), symbol.removesuffix(" g")):
            assert quantity_in_si(reading, f"1 {typed}", "si", ROOM_PA) == pytest.approx(si), typed
        assert unit_words(symbol) != symbol or symbol == "Btu/h", "it has a name to be said by"
