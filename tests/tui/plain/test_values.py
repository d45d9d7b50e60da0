"""What people type for settings, quantities and times; what could mean two things is refused."""

from __future__ import annotations

import pytest

from sim.errors import UsageError
from sim.tags import TagInfo
from tui.plain.values import quantity_in_si, seconds_of, setting_of

ATMOSPHERE = 101_325.0
VALVE = TagInfo("HCV-22", "hand_expansion_valve", "needle", 0.0, 1.0, (), 0.0)
FAN = TagInfo("HS-2", "selector", "fan", None, None, ("off", "low", "high"), "off")
PLACE = TagInfo("TI-10.place", "place", "where", None, None, ("shell", "b_outlet", "AIR-A in"), "shell")  # fmt: skip
SPRING = TagInfo("TCV-23.spring", "spring", "spring, quarter turns in", -12.0, 12.0, (), 0.0)
RESET = TagInfo("PSHH-1.reset", "reset", "reset button", 0.0, 1.0, (), 0.0)
LOW = TagInfo("PSL-1.set", "set_point", "set point, Pa absolute", 81325.0, 851325.0, (), 131325.0)
COLD = TagInfo("TS-1.set", "set_point", "set point, K", 263.15, 303.15, (), 283.15)


def put(info: TagInfo, typed: str, system: str = "si") -> object:
    return setting_of(info, typed, system, ATMOSPHERE)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("info", "typed", "value"),
    [
        (VALVE, "35%", 0.35),
        (VALVE, "35 percent", 0.35),
        (VALVE, "0.35", 0.35),
        (VALVE, "1", 1.0),
        (VALVE, "100%", 1.0),
        (VALVE, "open", 1.0),
        (VALVE, "Shut", 0.0),
        (VALVE, "half open", 0.5),
        (FAN, "LOW", "low"),
        (PLACE, "b outlet", "b_outlet"),
        (PLACE, "air-a in", "AIR-A in"),
        (SPRING, "3", 3.0),
        (SPRING, "-2 quarter turns", -2.0),
        (RESET, "press", 1.0),
        (COLD, "5 C", 278.15),
        (COLD, "5", 278.15),
    ],
)
def test_a_setting_is_understood(info: TagInfo, typed: str, value: object) -> None:
    assert put(info, typed) == pytest.approx(value) if isinstance(value, float) else put(info, typed) == value  # fmt: skip


# NIST Special Publication 811 (2008), appendix B.8: 1 psi = 6894.757 Pa; 50 °F = 10 °C = 283.15 K
@pytest.mark.parametrize(
    ("info", "typed", "system", "si"),
    [
        (LOW, "10 psi", "si", 10 * 6894.757 + ATMOSPHERE),
        (LOW, "10", "us", 10 * 6894.757 + ATMOSPHERE),
        (LOW, "0.5 bar", "us", 0.5e5 + ATMOSPHERE),
        (LOW, "1.5 bar absolute", "si", 1.5e5),
        (COLD, "50 F", "si", 283.15),
        (COLD, "50", "us", 283.15),
    ],
)
def test_a_set_point_is_taken_in_any_unit_of_its_kind(
    info: TagInfo, typed: str, system: str, si: float
) -> None:
    assert put(info, typed, system) == pytest.approx(si, rel=1e-7)


def test_a_bare_number_above_one_for_an_opening_is_refused_with_both_spellings() -> None:
    with pytest.raises(UsageError) as caught:
        put(VALVE, "35")
    assert "35 could mean" in str(caught.value)
    assert "35% or 0.35" in str(caught.value)


@pytest.mark.parametrize(
    ("info", "typed", "says"),
    [
        (VALVE, "350", "more than wide open"),
        (VALVE, "-5%", "goes from 0%"),
        (VALVE, "35 bar", "percentage"),
        (VALVE, "much", "takes a position, and much is none"),
        (FAN, "loww", "Did you mean low?"),
        (FAN, "1", "no position 1"),
        (SPRING, "3 bar", "no unit of it"),
        (RESET, "0", "pressed once"),
        (LOW, "5 C", "not its unit"),
        (LOW, "5 barn", "no unit known"),
        (COLD, "5 bar", "not its unit"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_a_hint(info: TagInfo, typed: str, says: str) -> None:
    with pytest.raises(UsageError) as caught:
        put(info, typed)
    assert says in str(caught.value)


def test_a_difference_in_fahrenheit_has_no_thirty_two_in_it() -> None:
    # 9 °F of superheat are 5 K (NIST SP 811, section 8.5)
    assert quantity_in_si("gauge_superheat_k", "9 F", "si", ATMOSPHERE) == pytest.approx(5.0)


@pytest.mark.parametrize(("typed", "share"), [("30%", 0.3), ("0.3", 0.3), ("30 percent", 0.3)])
def test_a_level_is_a_share_or_a_percentage(typed: str, share: float) -> None:
    assert quantity_in_si("receiver_level", typed, "si", ATMOSPHERE) == pytest.approx(share)


def test_a_flowmeter_is_read_in_the_unit_of_its_scale() -> None:
    assert quantity_in_si("flowmeter", "8", "us", ATMOSPHERE) == 8.0
    assert quantity_in_si("flowmeter", "8 L/h", "si", ATMOSPHERE) == 8.0
    with pytest.raises(UsageError):
        quantity_in_si("flowmeter", "8 bar", "si", ATMOSPHERE)


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [("60", 60), ("60 s", 60), ("5 min", 300), ("5min", 300), ("1 h 30 min", 5400), ("2 hours", 7200), ("1 minute and 5 seconds", 65), ("0.5", 0.5)],
)  # fmt: skip
def test_a_time_is_understood(typed: str, seconds: float) -> None:
    assert seconds_of(typed) == seconds


@pytest.mark.parametrize("typed", ["", "long", "5 days", "-5", "5 bar"])
def test_what_is_no_time_is_refused(typed: str) -> None:
    with pytest.raises(UsageError):
        seconds_of(typed)
