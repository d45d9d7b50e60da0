"""Units: what may stand at the end of a key, on an instrument's face, and on the screen.

Inside ``sim`` every number is SI (absolute pascal, kelvin, kilogram, joule, watt) and its unit is the end of its name (``bore_m``). Other
units exist only here, in data files and on the screen.

A value in a unit becomes SI by ``si = value * factor + offset``; a gauge unit adds the room's pressure on top. A temperature *difference* has the
factor but never the offset: 9 degrees Fahrenheit of superheat are 5 K.

Factors: exact by definition (The International System of Units, 9th edition, BIPM 2019; NIST Special Publication 811, 2008, appendix B).
"""

from __future__ import annotations

from functools import cache
from typing import Literal, NamedTuple

STANDARD_ATMOSPHERE_PA = 101_325.0  # source: ISO 2533:1975, sea level
POUND_KG = 0.453_592_37  # source: NIST SP 811 appendix B.8, exact
INCH_M = 0.0254  # source: NIST SP 811 appendix B.8, exact
FREE_FALL_M_S2 = 9.806_65  # source: NIST SP 811 appendix B.8, exact
PSI_PA = POUND_KG * FREE_FALL_M_S2 / INCH_M**2  # source: pound-force per square inch, as above
BTU_J = 1055.055_852_62  # source: NIST SP 811 appendix B.8, International Table Btu, exact
ICE_POINT_K = 273.15  # source: SI Brochure 9th edition, 2.3.1, exact
INCH_MERCURY_PA = 3386.389  # source: NIST SP 811 appendix B.8, conventional inch of mercury
US_GALLON_M3 = 231.0 * INCH_M**3  # source: NIST SP 811 appendix B.8, 231 cubic inches, exact

Family = Literal["si", "us"]


class Chosen(NamedTuple):
    """A family of units with some quantities in a unit of one's own: (quantity, symbol) pairs."""

    family: Family
    own: tuple[tuple[str, str], ...] = ()


System = Family | Chosen
"""In whose units the screen shows things."""


class Unit(NamedTuple):
    """One unit: ``si = value * factor + offset`` (+ the room's pressure when ``gauge``)."""

    symbol: str
    quantity: str
    factor: float = 1.0
    offset: float = 0.0
    gauge: bool = False


_ROWS: tuple[tuple[str, Unit], ...] = (
    ("m", Unit("m", "length")),
    ("mm", Unit("mm", "length", 1e-3)),
    ("cm", Unit("cm", "length", 1e-2)),
    ("um", Unit("µm", "length", 1e-6)),
    ("in", Unit("in", "length", INCH_M)),
    ("ft", Unit("ft", "length", 12 * INCH_M)),
    ("m2", Unit("m²", "area")),
    ("cm2", Unit("cm²", "area", 1e-4)),
    ("mm2", Unit("mm²", "area", 1e-6)),
    ("m3", Unit("m³", "volume")),
    ("l", Unit("L", "volume", 1e-3)),
    ("ml", Unit("mL", "volume", 1e-6)),
    ("cm3", Unit("cm³", "volume", 1e-6)),
    ("pa", Unit("Pa", "pressure")),
    ("kpa", Unit("kPa", "pressure", 1e3)),
    ("mpa", Unit("MPa", "pressure", 1e6)),
    ("bar", Unit("bar", "pressure", 1e5)),
    ("psi", Unit("psi", "pressure", PSI_PA)),
    ("bar_g", Unit("bar g", "pressure", 1e5, gauge=True)),
    ("kpa_g", Unit("kPa g", "pressure", 1e3, gauge=True)),
    ("psi_g", Unit("psi g", "pressure", PSI_PA, gauge=True)),
    ("in_hg", Unit("inHg", "pressure", INCH_MERCURY_PA)),
    ("in_hg_g", Unit("inHg g", "pressure", INCH_MERCURY_PA, gauge=True)),
    ("k", Unit("K", "temperature")),
    ("c", Unit("°C", "temperature", 1.0, ICE_POINT_K)),
    ("f", Unit("°F", "temperature", 5 / 9, ICE_POINT_K - 32 * 5 / 9)),
    ("kg", Unit("kg", "mass")),
    ("g", Unit("g", "mass", 1e-3)),
    ("lb", Unit("lb", "mass", POUND_KG)),
    ("oz", Unit("oz", "mass", POUND_KG / 16)),
    ("kg_s", Unit("kg/s", "mass flow")),
    ("g_s", Unit("g/s", "mass flow", 1e-3)),
    ("kg_h", Unit("kg/h", "mass flow", 1 / 3600)),
    ("lb_h", Unit("lb/h", "mass flow", POUND_KG / 3600)),
    ("m3_s", Unit("m³/s", "volume flow")),
    ("m3_h", Unit("m³/h", "volume flow", 1 / 3600)),
    ("l_s", Unit("L/s", "volume flow", 1e-3)),
    ("l_h", Unit("L/h", "volume flow", 1e-3 / 3600)),
    ("gal_h", Unit("gal/h", "volume flow", US_GALLON_M3 / 3600)),
    ("kg_m3", Unit("kg/m³", "density")),
    ("g_cm3", Unit("g/cm³", "density", 1e3)),
    ("lb_ft3", Unit("lb/ft³", "density", POUND_KG / (12 * INCH_M) ** 3)),
    ("m_s", Unit("m/s", "speed")),
    ("ft_min", Unit("ft/min", "speed", 12 * INCH_M / 60)),
    ("w", Unit("W", "power")),
    ("kw", Unit("kW", "power", 1e3)),
    ("hp", Unit("hp", "power", 550 * 12 * INCH_M * POUND_KG * FREE_FALL_M_S2)),
    ("btu_h", Unit("Btu/h", "power", BTU_J / 3600)),
    ("w_k", Unit("W/K", "conductance")),
    ("w_m2_k", Unit("W/(m² K)", "film coefficient")),
    ("w_m_k", Unit("W/(m K)", "conductivity")),
    ("j", Unit("J", "energy")),
    ("kj", Unit("kJ", "energy", 1e3)),
    ("kwh", Unit("kWh", "energy", 3.6e6)),
    ("j_k", Unit("J/K", "heat capacity")),
    ("kj_k", Unit("kJ/K", "heat capacity", 1e3)),
    ("j_kg", Unit("J/kg", "specific energy")),
    ("kj_kg", Unit("kJ/kg", "specific energy", 1e3)),
    ("btu_lb", Unit("Btu/lb", "specific energy", BTU_J / POUND_KG)),
    ("j_kg_k", Unit("J/(kg K)", "specific heat")),
    ("kj_kg_k", Unit("kJ/(kg K)", "specific heat", 1e3)),
    ("s", Unit("s", "time")),
    ("ms", Unit("ms", "time", 1e-3)),
    ("min", Unit("min", "time", 60.0)),
    ("h", Unit("h", "time", 3600.0)),
    ("v", Unit("V", "voltage")),
    ("a", Unit("A", "current")),
    ("ma", Unit("mA", "current", 1e-3)),
    ("va", Unit("VA", "apparent power")),
    ("ohm", Unit("Ω", "resistance")),
    ("kohm", Unit("kΩ", "resistance", 1e3)),
    ("farad", Unit("F", "capacitance")),
    ("uf", Unit("µF", "capacitance", 1e-6)),
    ("henry", Unit("H", "inductance")),
    ("mh", Unit("mH", "inductance", 1e-3)),
    ("hz", Unit("Hz", "frequency")),
    ("rpm", Unit("rpm", "rotation")),
    ("rad_s", Unit("rad/s", "angular speed")),
    ("kg_m2", Unit("kg m²", "inertia")),
    ("n", Unit("N", "force")),
    ("n_m", Unit("N m", "torque")),
    ("percent", Unit("%", "percent")),
)  # fmt: skip
SUFFIXES: dict[str, Unit] = dict(_ROWS)
"""Key ending -> unit."""
SYMBOLS: dict[str, Unit] = {unit.symbol: unit for _, unit in _ROWS}
"""What is written on an instrument or in a table -> unit."""

_MOST_TOKENS = max(suffix.count("_") + 1 for suffix in SUFFIXES)
_DIFFERENCE_WORDS = frozenset(
    ("superheat", "subcooling", "difference", "differential", "glide", "split", "rise", "drop")
)


def split_key(key: str) -> tuple[str, str]:
    """``bore_m`` -> ("bore", "m"); the longest known ending wins; no unit gives (key, "")."""
    words = key.split("_")
    for count in range(min(_MOST_TOKENS, len(words) - 1), 0, -1):
        suffix = "_".join(words[-count:])
        if suffix in SUFFIXES:
            return "_".join(words[:-count]), suffix
    return key, ""


def is_difference(key: str) -> bool:
    """True for names such as ``suction_superheat_k``: no offset belongs in their conversion."""
    return not _DIFFERENCE_WORDS.isdisjoint(key.split("_"))


def to_si(
    value: float,
    unit: Unit,
    atmosphere_pa: float = STANDARD_ATMOSPHERE_PA,
    *,
    difference: bool = False,
) -> float:
    """``value`` in ``unit`` as SI; a ``difference`` knows neither offset nor the room's pressure."""
    if difference:
        return value * unit.factor
    return value * unit.factor + unit.offset + (atmosphere_pa if unit.gauge else 0.0)


def from_si(
    value: float,
    unit: Unit,
    atmosphere_pa: float = STANDARD_ATMOSPHERE_PA,
    *,
    difference: bool = False,
) -> float:
    """An SI ``value`` in ``unit``; the exact reverse of ``to_si``."""
    if difference:
        return value / unit.factor
    return (value - unit.offset - (atmosphere_pa if unit.gauge else 0.0)) / unit.factor


# What the screen shows of a quantity: (SI people, US people).
_SCREEN: dict[str, tuple[str, str]] = {
    "pressure": ("bar g", "psi g"),
    "temperature": ("°C", "°F"),
    "mass": ("g", "oz"),
    "mass flow": ("g/s", "lb/h"),
    "volume flow": ("L/h", "gal/h"),
    "power": ("W", "Btu/h"),
    "length": ("mm", "in"),
    "speed": ("m/s", "ft/min"),
    "specific energy": ("kJ/kg", "Btu/lb"),
    "density": ("kg/m³", "lb/ft³"),
}
_ELECTRICAL_WORDS = frozenset(("power", "electrical"))


@cache
def screen_unit(key: str, system: System) -> Unit:
    """The unit in which the screen shows ``key`` (a name with its SI unit at the end).

    Electrical power stays in watts everywhere (common practice); a temperature difference is K or °F without an offset. A name
    without a unit (a quality, a level, a ratio) has the symbol ""; a pressure with "absolute" in its name counts from nothing.
    """
    _, suffix = split_key(key)
    if not suffix:
        return Unit("", "number")
    unit = SUFFIXES[suffix]
    if unit.quantity not in _SCREEN:
        return unit
    if unit.quantity == "power" and not _ELECTRICAL_WORDS.isdisjoint(key.split("_")):
        return unit
    family, own = (system, ()) if isinstance(system, str) else system
    symbol = dict(own).get(unit.quantity) or _SCREEN[unit.quantity][0 if family == "si" else 1]
    if "absolute" in key.split("_"):
        symbol = symbol.removesuffix(" g")
    if unit.quantity == "temperature" and is_difference(key) and symbol != "°F":
        return SUFFIXES["k"]
    return SYMBOLS[symbol]


def on_screen(
    key: str, value: float, system: System, atmosphere_pa: float = STANDARD_ATMOSPHERE_PA
) -> tuple[float, str]:
    """(number, unit symbol) for an SI ``value`` named ``key`` as ``system`` people read it."""
    unit = screen_unit(key, system)
    return from_si(value, unit, atmosphere_pa, difference=is_difference(key)), unit.symbol


def opening_words(share: float) -> str:
    """Position of a valve, 0 shut to 1 open: ``35 % open``."""
    if share <= 0.0:
        return "shut"
    return "open" if share >= 1.0 else f"{100 * share:.3g} % open"
