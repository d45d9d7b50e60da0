"""Sentences that read well aloud: units and times in words, no sign that a speech synthesiser would spell or skip."""

from __future__ import annotations

import re

from tui.plant import Event

_UNITS: dict[str, tuple[str, str]] = {
    "bar g": ("bar gauge", "bar gauge"),
    "psi g": ("psi gauge", "psi gauge"),
    "psig": ("psi gauge", "psi gauge"),
    "inHg g": ("inch of mercury gauge", "inches of mercury gauge"),
    "°C": ("degree Celsius", "degrees Celsius"),
    "°F": ("degree Fahrenheit", "degrees Fahrenheit"),
    "K": ("kelvin", "kelvin"),
    "g/s": ("gram per second", "grams per second"),
    "g/kg": ("gram per kilogram", "grams per kilogram"),
    "gr/lb": ("grain per pound", "grains per pound"),
    "kg/s": ("kilogram per second", "kilograms per second"),
    "lb/h": ("pound per hour", "pounds per hour"),
    "L/h": ("litre per hour", "litres per hour"),
    "gal/h": ("gallon per hour", "gallons per hour"),
    "Btu/h": ("Btu per hour", "Btu per hour"),
    "W": ("watt", "watts"),
    "V": ("volt", "volts"),
    "mV": ("millivolt", "millivolts"),
    "A": ("amp", "amps"),
    "rpm": ("turn per minute", "turns per minute"),
    "g": ("gram", "grams"),
    "kg": ("kilogram", "kilograms"),
    "oz": ("ounce", "ounces"),
    "lb": ("pound", "pounds"),
    "kg/h": ("kilogram per hour", "kilograms per hour"),
    "Hz": ("hertz", "hertz"),
    "%": ("percent", "percent"),
    "Pa": ("pascal", "pascal"),
    "Ω": ("ohm", "ohms"),
    "kΩ": ("kiloohm", "kiloohms"),
    "MΩ": ("megaohm", "megaohms"),
    "F": ("farad", "farads"),
    "µF": ("microfarad", "microfarads"),
    "nF": ("nanofarad", "nanofarads"),
    "pF": ("picofarad", "picofarads"),
    "s": ("second", "seconds"),
    "kJ/kg": ("kilojoule per kilogram", "kilojoules per kilogram"),
    "Btu/lb": ("Btu per pound", "Btu per pound"),
    "kg/m³": ("kilogram per cubic metre", "kilograms per cubic metre"),
    "lb/ft³": ("pound per cubic foot", "pounds per cubic foot"),
    "VA": ("volt-ampere", "volt-amperes"),
    "bar": ("bar", "bar"),
    "bar abs": ("bar absolute", "bar absolute"),
    "psia": ("psi absolute", "psi absolute"),
    "kPa abs": ("kilopascal absolute", "kilopascals absolute"),
    "kPa g": ("kilopascal gauge", "kilopascals gauge"),
    "kW": ("kilowatt", "kilowatts"),
    "L/s": ("litre per second", "litres per second"),
    "mL/s": ("millilitre per second", "millilitres per second"),
}
"""Symbol -> one of it, several of it."""
_SYMBOLS = "|".join(re.escape(symbol) for symbol in sorted(_UNITS, key=len, reverse=True))
_WITH_UNIT = re.compile(rf"(\d+(?:[.,]\d+)*) ({_SYMBOLS})(?![\w/²³])")
_SECONDS = re.compile(r"(?<![\w.])(\d+)\.(\d+)(?= seconds)")
_MINUS = re.compile(r"(?<![\w.\-−)])[-−](?=\d)")
_CAUTION = re.compile(r"^\[[i!]+\] ([A-Z]+):")
_SIGNS = {
    "—": "no reading", "–": "-", ", …": " and more", "…": "...", "→": "to", "×": "times", "≥": "at least", "≤": "at most", "·": ",", "’": "'", "‘": "'",
    "“": '"', "”": '"', "Ω": "ohm", "µ": "micro", "°": " degrees ", "²": " squared", " = ": " equals ", "per kg": "per kilogram", "³": " cubed", "± ": "plus or minus ", "±": "plus or minus ",
}  # fmt: skip
_ALARMS = frozenset(("trip", "lift", "burst", "slug", "damage", "stall", "violation"))
"""Kinds of events that a person has to hear."""


def aloud(text: str, comma: bool = False) -> str:
    """``text`` with units, minus signs and other signs in words: ``-1.20 bar g`` becomes ``minus 1.2 bar gauge``. With ``comma`` a number that has a unit has a decimal comma."""
    text = _CAUTION.sub(lambda found: f"{found[1].capitalize()}:", text)
    text = _MINUS.sub("minus ", text)
    text = _WITH_UNIT.sub(lambda found: _unit_in_words(found, comma), text)
    text = _SECONDS.sub(r"\1,\2", text) if comma else text
    for sign, words in _SIGNS.items():
        text = text.replace(sign, words)
    return text


def _unit_in_words(found: re.Match[str], comma: bool) -> str:
    number = found[1].replace(".", ",") if comma else found[1]
    if "." in number or "," in number:
        number = number.rstrip("0").rstrip(".,")
    one, several = _UNITS[found[2]]
    return f"{number} {one if number == '1' else several}"


_IN_FORMULAS = {
    " − ": " minus ", " · ": " times ", " / ": " divided by ", " + ": " plus ", "√": "the square root of ", "(": "open bracket ", ")": " close bracket",
    "h′": "enthalpy of boiling liquid", "h″": "enthalpy of dry vapour", "Δ": "delta ", "ρ": "rho", "/": " over ",
}  # fmt: skip
"""Signs of a formula in words."""


def formula_words(text: str) -> str:
    """A formula as one reads it out."""
    for sign, words in _IN_FORMULAS.items():
        text = text.replace(sign, words)
    return text


def unit_words(symbol: str) -> str:
    """A unit's name, or its symbol when it has no other."""
    return _UNITS.get(symbol, (symbol, symbol))[1]


def time_words(seconds: float) -> str:
    """A time as one says it: ``1 hour 2 minutes``, ``0.5 seconds``."""
    if seconds != int(seconds) and seconds < 60:
        return f"{seconds:.3g} seconds"
    whole = round(seconds)
    parts = [(whole // 3600, "hour"), (whole // 60 % 60, "minute"), (whole % 60, "second")]
    said = [f"{count} {name}{'' if count == 1 else 's'}" for count, name in parts if count]
    return " ".join(said) or "0 seconds"


def clock_words(seconds: float) -> str:
    """What the bench's clock shows: whole seconds that have passed."""
    return time_words(int(seconds + 1e-6))


def event_words(event: Event, text: str = "") -> str:
    """What happened, with its time: ``At 3 minutes, PSHH-1: ...``; alarms say that they are. ``text`` is the event's own unless said."""
    when = clock_words(event.time_s)
    start = f"Alarm at {when}" if event.kind in _ALARMS else f"At {when}"
    text = text or event.text
    text = text if text.endswith(".") else f"{text}."
    if not event.tag or text.startswith(event.tag):
        return f"{start}: {text}"
    return f"{start}, {event.tag}: {text}"


def capital(text: str) -> str:
    """The first letter large, the rest as it is."""
    return text[:1].upper() + text[1:]
