"""Numbers and settings in the words of the trade: the unit always stands beside the number, gauge and absolute are never confused.

Conversions are ``sim.units``'; here is only how many digits a technician wants to read and which short name a reading has on the screen.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from sim.units import STANDARD_ATMOSPHERE_PA, Chosen, Family, System, on_screen, opening_words
from tui.plant import Reading, Setting, TagInfo


class Units(NamedTuple):
    """Which units come first, and whether the others stand beside them."""

    family: Family
    beside: bool
    own: tuple[tuple[str, str], ...] = ()
    """(quantity, unit's symbol) of what this person reads otherwise."""
    comma: bool = False
    """Decimals behind a comma."""

    @property
    def system(self) -> System:
        """For the conversions."""
        return Chosen(self.family, self.own) if self.own else self.family

    @property
    def other(self) -> Family:
        """The family that stands beside."""
        return "us" if self.family == "si" else "si"

    def figure(self, text: str) -> str:
        """A number's text with the decimal sign that this person reads."""
        return text.replace(".", ",") if self.comma else text

    @property
    def words(self) -> str:
        """For the status line."""
        first, second = ("SI", "US") if self.family == "si" else ("US", "SI")
        first += "*" if self.own else ""
        return f"{first} + {second}" if self.beside else first


UNIT_CHOICES = (Units("si", False), Units("us", True), Units("si", True))
"""In the order in which the key goes round them."""

_DIGITS = {
    "bar g": 2, "psi g": 1, "bar": 2, "psi": 1, "inHg g": 1, "°C": 1, "°F": 1, "K": 1, "g/s": 2, "lb/h": 1, "L/h": 1, "gal/h": 2, "W": 0,
    "Btu/h": 0, "kW": 3, "kPa g": 0, "kPa": 0, "kg/h": 2, "lb": 3, "V": 1, "A": 2, "rpm": 0, "g": 0, "oz": 1, "kg": 3, "Hz": 1, "%": 0,
    "kJ/kg": 1, "Btu/lb": 2, "kg/m³": 0, "lb/ft³": 2, "VA": 0, "inHg": 1, "psig": 1, "psia": 1, "bar abs": 2, "kPa abs": 0, "inHg abs": 1, "g/kg": 1, "gr/lb": 0,
}  # fmt: skip
SYMBOL_SHOWN = {"psi g": "psig", "psi": "psia"}
MISSING = "—"

LABELS = {
    "suction_pressure_pa": "suction",
    "discharge_pressure_pa": "discharge",
    "suction_temperature_k": "suction gas",
    "discharge_temperature_k": "discharge gas",
    "suction_superheat_k": "superheat at compressor",
    "evaporator_superheat_k": "superheat at evaporator",
    "condenser_subcooling_k": "subcooling at condenser",
    "liquid_subcooling_k": "subcooling before device",
    "evaporating_temperature_k": "evaporating",
    "condensing_temperature_k": "condensing",
    "liquid_temperature_k": "liquid line",
    "evaporator_air_in_k": "evaporator air in",
    "evaporator_air_out_k": "evaporator air out",
    "condenser_air_in_k": "condenser air in",
    "condenser_air_out_k": "condenser air out",
    "mass_flow_kg_s": "refrigerant flow",
    "liquid_flow_kg_s": "liquid flow",
    "flowmeter": "flowmeter",
    "receiver_level": "receiver level",
    "float_level": "drum level",
    "sight_glass": "sight glass",
    "refrigerating_capacity_w": "capacity",
    "heat_rejected_w": "heat rejected",
    "compressor_power_w": "compressor power",
    "cop": "COP",
    "pressure_ratio": "pressure ratio",
    "shell_temperature_k": "compressor shell",
    "winding_temperature_k": "motor winding",
    "compressor_speed_rpm": "speed",
    "voltage_v": "volts",
    "current_a": "amps",
    "power_w": "watts",
    "power_factor": "power factor",
    "room_temperature_k": "room",
    "charge_kg": "charge",
    "condensing_bubble_temperature_k": "condensing bubble point",
    "evaporator_air_in_humidity_ratio": "humidity, evaporator air in",
    "evaporator_air_out_humidity_ratio": "humidity, evaporator air out",
    "gauge_superheat_k": "superheat",
    "suction_gauge_superheat_k": "superheat at compressor, by gauge",
    "evaporator_outlet_temperature_k": "evaporator outlet",
    "condenser_outlet_temperature_k": "condenser outlet",
    "strap_on_temperature_k": "strap-on thermometer",
    "gauge_subcooling_k": "subcooling",
    "suction_quality": "quality at compressor",
    "evaporator_outlet_quality": "quality at evaporator outlet",
}
PERCENT = frozenset(("receiver_level", "float_level"))
"""Shares that a glass shows in percent."""
ROOMS_AIR = "atmospheric_pressure_pa"
"""Counts from nothing: a gauge in the room would show 0."""
GRAINS_PER_LB = (
    7000.0  # source: NIST SP 811 (2008), appendix B.8: 1 gr = 64.79891 mg, 1 lb = 453.59237 g
)


def label_of(key: str) -> str:
    """A reading's short name."""
    bare = key.removesuffix("_shown")
    if bare in LABELS:
        return LABELS[bare]
    words = bare.replace("_", " ")
    for ending in (" k", " pa", " w", " kg s", " kg", " v", " a"):
        words = words.removesuffix(ending)
    return words


def number_in(key: str, value: float, system: System, atmosphere_pa: float = STANDARD_ATMOSPHERE_PA) -> str:  # fmt: skip
    """One number with its unit: ``1.37 bar g``."""
    if value != value:
        return MISSING
    number, symbol = read_in(key, value, system, atmosphere_pa)
    digits = _DIGITS.get(symbol, 3 if "quality" in key or key.startswith("float_factor") else 2)
    text = f"{number:.{digits}f}"
    if float(text) == 0:
        text = text.removeprefix("-")
    return f"{text} {symbol}".rstrip()


def read_in(key: str, value: float, system: System, atmosphere_pa: float = STANDARD_ATMOSPHERE_PA) -> tuple[float, str]:  # fmt: skip
    """(number, unit as it is written) of a reading, for its words and for the axis of its trend."""
    bare = key.removesuffix("_shown")
    if bare in PERCENT:
        return 100.0 * value, "%"
    if bare.endswith("humidity_ratio"):  # as psychrometric charts have it: common practice
        family = system if isinstance(system, str) else system.family
        return (1e3 * value, "g/kg") if family == "si" else (GRAINS_PER_LB * value, "gr/lb")
    if bare == ROOMS_AIR:
        number, symbol = on_screen("absolute_pa", value, system)
        return number, SYMBOL_SHOWN.get(symbol, f"{symbol} abs")
    if bare == "flowmeter":
        bare, value = "flow_m3_s", value / 3.6e6
    number, symbol = on_screen(bare, value, system, atmosphere_pa)
    return number, SYMBOL_SHOWN.get(symbol, symbol)


def in_words(key: str, value: Reading | None, units: Units, atmosphere_pa: float = STANDARD_ATMOSPHERE_PA, *, short: bool = False) -> str:  # fmt: skip
    """A reading as the person wants to see it; ``short`` leaves out the other units."""
    if value is None:
        return MISSING
    if isinstance(value, str):
        return value
    first = units.figure(number_in(key, float(value), units.system, atmosphere_pa))
    if short or not units.beside or first == MISSING:
        return first
    second = units.figure(number_in(key, float(value), units.other, atmosphere_pa))
    return first if second == first else f"{first} ({second})"


def reading(readings: Mapping[str, Reading], key: str, instructor: bool) -> Reading | None:
    """What a person may see of a reading: the instrument's display, or the truth in the instructor's view."""
    value = readings.get(key)
    if instructor and value is not None:
        return value
    return readings.get(f"{key}_shown", value)


def listed(words: list[str]) -> str:
    """``a, b and c``."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else "".join(words)


def setting_words(info: TagInfo | None, tag: str, value: Setting | None, units: Units) -> str:
    """A setting as a person says it."""
    if value is None:
        return MISSING
    if isinstance(value, bool):
        return "on" if value else "off"
    if isinstance(value, str):
        return value or "ready"
    return _number_words(info, tag, float(value), units)


def end_words(info: TagInfo, value: Setting | None, steps: int, units: Units) -> str:
    """Why a step changes nothing: its travel ends here, or it has none."""
    now = setting_words(info, info.tag, value, units)
    if info.choices and value in info.choices:
        if len(info.choices) <= 2:
            return f"{info.tag} is {now} already"
        return f"{info.tag} is at {now} already: its {'last' if steps > 0 else 'first'} position"
    if info.choices or isinstance(value, str) or value is None:
        return f"{info.tag} has no steps to turn; enter works it"
    if now in (opening_words(1.0), opening_words(0.0)):
        return f"{info.tag} is {'fully ' if steps > 0 else ''}{now} already"
    return f"{info.tag} is at its {'highest' if steps > 0 else 'lowest'} already: {now}"


def _number_words(info: TagInfo | None, tag: str, value: float, units: Units) -> str:
    part = tag.partition(".")[2]
    if part == "spring":
        return f"{value:+.2g} quarter turns" if value else "as delivered"
    if part == "watts":
        return f"{value:.0f} W"
    if part == "off_time":
        return f"{value:.0f} s"
    if part == "reset":
        return "ready"
    if part == "set":
        key = "set_pa" if value > 2000 else "set_k"
        return in_words(key, value, units, short=True)
    if info is not None and (info.low, info.high) == (0.0, 1.0):
        return opening_words(value)
    return f"{value:g}"


def quantity_of(info: TagInfo) -> str:
    """A name whose unit the setting has: set points are pressures or temperatures."""
    if not info.tag.endswith(".set"):
        return ""
    return "set_pa" if (info.high or 0.0) > 2000 else "set_k"
