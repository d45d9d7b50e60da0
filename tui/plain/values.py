"""What a person types for a setting, a quantity or a time, in SI. Everything that could mean two things is refused with both spellings."""

from __future__ import annotations

import re

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.units import SYMBOLS, System, Unit, is_difference, screen_unit, to_si
from tui.plain.aloud import capital, unit_words
from tui.plant import Setting, TagInfo
from tui.words import quantity_of

OPENINGS = {"open": 1.0, "half": 0.5, "half open": 0.5, "shut": 0.0, "closed": 0.0, "close": 0.0}
NOT_A_VALVES = {"on": "open", "off": "shut", "low": "a percentage", "high": "a percentage"}
"""What a person may say of a valve as of a switch -> how a valve has it."""
PRESSED = ("1", "press", "pressed", "reset", "on", "yes")
_NUMBER = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+))\s*(.*)")
_NAMES = {
    "bar g": ("bar", "barg", "bar g", "bar gauge"),
    "psi g": ("psi", "psig", "psi g", "psi gauge"),
    "kPa g": (
        "kpa",
        "kpag",
        "kpa g",
        "kilopascal",
        "kilopascals",
        "kilopascal gauge",
        "kilopascals gauge",
    ),
    "inHg g": (
        "inhg",
        "inhg g",
        "inches of mercury",
        "inch of mercury gauge",
        "inches of mercury gauge",
    ),
    "bar": ("bar abs", "bara", "bar absolute"),
    "°C": ("c", "°c", "celsius", "degrees celsius", "degree celsius", "degrees c"),
    "°F": ("f", "°f", "fahrenheit", "degrees fahrenheit", "degree fahrenheit", "degrees f"),
    "K": ("k", "kelvin", "kelvins"),
    "W": ("w", "watt", "watts"),
    "A": ("a", "amp", "amps", "ampere", "amperes"),
    "V": ("v", "volt", "volts"),
    "%": ("%", "percent"),
    "g": ("g", "gram", "grams"),
    "kg": ("kg", "kilogram", "kilograms"),
    "oz": ("oz", "ounce", "ounces"),
    "lb": ("lb", "lbs", "pound", "pounds"),
    "kW": ("kw", "kilowatt", "kilowatts"),
    "Btu/h": ("btu/h", "btu per hour"),
    "g/s": ("g/s", "grams per second"),
    "kg/h": ("kg/h", "kilograms per hour"),
    "lb/h": ("lb/h", "pounds per hour"),
    "L/h": ("l/h", "litres per hour"),
    "rpm": ("rpm", "turns per minute"),
}
_UNITS = {name: symbol for symbol, names in _NAMES.items() for name in names}
_TURNS = ("quarter turns", "quarter turn", "turns")
_SECONDS = {
    "": 1.0, "s": 1.0, "sec": 1.0, "second": 1.0, "seconds": 1.0, "m": 60.0, "min": 60.0, "minute": 60.0, "minutes": 60.0,
    "h": 3600.0, "hour": 3600.0, "hours": 3600.0,
}  # fmt: skip
_DURATION = re.compile(r"(\d+\.?\d*|\.\d+)\s*([a-z]*)")


def names_of_unit(symbol: str) -> tuple[str, ...]:
    """What a person may type for a unit, in small letters."""
    return (symbol.lower(), *_NAMES.get(symbol, ()))


def setting_of(info: TagInfo, typed: str, system: System, atmosphere_pa: float) -> Setting:
    """What ``typed`` means on a tag. Raises UsageError with what is possible."""
    text = " ".join(typed.lower().split())
    if info.choices:
        return _choice(info, text)
    if info.kind in ("reset", "press"):
        if text in PRESSED:
            return 1.0
        raise UsageError(f"{info.tag} is pressed once. Type press {info.tag}.")
    if (info.low, info.high) == (0.0, 1.0):
        return _opening(info, text)
    quantity = quantity_of(info)
    if quantity:
        return quantity_in_si(quantity, text, system, atmosphere_pa, info.tag)
    number, unit = _number(info.tag, text)
    if unit and unit not in _TURNS and unit not in _NAMES["W"]:
        raise UsageError(f"{info.tag} takes a number from {info.low:g} to {info.high:g}; {unit} is no unit of it.")  # fmt: skip
    return number


def _choice(info: TagInfo, text: str) -> str:
    names = {choice.lower().replace("_", " "): choice for choice in info.choices}
    found = names.get(text.replace("_", " "))
    if found is None:
        raise UsageError(f"{info.tag} has no position {text}. {did_you_mean(text, info.choices)}")
    return found


def _opening(info: TagInfo, text: str) -> float:
    """A valve's position as a share; a bare number above 1 could be meant as percent, and is not guessed."""
    if text in OPENINGS:
        return OPENINGS[text]
    if text in NOT_A_VALVES:
        raise UsageError(f"{info.tag} is a valve: it is open, shut or somewhere between, not {text}. Here that would be {NOT_A_VALVES[text]}.")  # fmt: skip
    number, unit = _number(info.tag, text, "a position")
    if unit in _NAMES["%"]:
        number /= 100.0
    elif unit:
        raise UsageError(f"{info.tag} takes open, shut, half, a percentage or a share from 0 to 1.")
    elif number > 1.0:
        if number <= 100.0:
            raise UsageError(f"{number:g} could mean {number:g} percent or a share, and a share goes from 0 to 1 only. Write {number:g}% or {number / 100.0:g}.")  # fmt: skip
        raise UsageError(f"{number:g} is more than wide open. Write 0% to 100%, or a share from 0 to 1.")  # fmt: skip
    if not 0.0 <= number <= 1.0:
        raise UsageError(f"{info.tag} goes from 0% (shut) to 100% (open).")
    return number


def _number(what: str, text: str, kind: str = "a number") -> tuple[float, str]:
    """A number and what stands behind it. Raises UsageError."""
    found = _NUMBER.fullmatch(text)
    if found is None:
        raise UsageError(f"{what} takes {kind}, and {text or 'nothing'} is none.")
    if re.match(r",\d", found[2]):
        raise UsageError(f"{text} has a comma. Write its decimals behind a point, or type units comma first.")  # fmt: skip
    return float(found[1]), found[2].strip()


def quantity_in_si(key: str, typed: str, system: System, atmosphere_pa: float, name_of: str = "it") -> float:  # fmt: skip
    """``typed`` as a value of reading ``key``, in SI; without a unit in the one that ``system`` people read. ``name_of`` stands in a refusal. Raises UsageError."""
    own = Unit("L/h", "scale") if key == "flowmeter" else screen_unit(key, system)
    kind = f"a number in {unit_words(own.symbol)}" if own.symbol else "a number"
    number, name = _number(capital(name_of), typed.lower().strip(), kind)
    unit = _unit(name, own)
    if own.quantity == "number":
        return number / 100.0 if name else number
    if own.quantity == "scale":
        return number
    return to_si(number, unit, atmosphere_pa, difference=is_difference(key))


def _unit(name: str, own: Unit) -> Unit:
    """The unit of that name, which has to measure what ``own`` measures. Raises UsageError."""
    if not name:
        return own
    symbol = _UNITS.get(name)
    if symbol is None:
        raise UsageError(f"{name} is no unit known here. {did_you_mean(name, _UNITS)}")
    if own.quantity in ("number", "scale"):
        if symbol == ("%" if own.quantity == "number" else own.symbol):
            return own
    elif SYMBOLS[symbol].quantity == own.quantity:
        return SYMBOLS[symbol]
    raise UsageError(f"{name} is not its unit; it is read in {unit_words(own.symbol) or 'percent or as a share'}.")  # fmt: skip


def seconds_of(typed: str) -> float:
    """A time: ``60``, ``5 min``, ``1 h 30 min``. Raises UsageError."""
    text = typed.lower().replace(" and ", " ").strip()
    found = _DURATION.findall(text)
    left = _DURATION.sub("", text).strip()
    if not found or left or any(unit not in _SECONDS for _, unit in found):
        raise UsageError(f"{typed or 'nothing'} is no time. Write seconds, or 5 min, or 1 h 30 min.")  # fmt: skip
    return sum(float(number) * _SECONDS[unit] for number, unit in found)
