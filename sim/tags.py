"""Everything on a rig that a hand can move: its tag, what it is, and what it can be set to."""

from __future__ import annotations

from dataclasses import dataclass

from sim.errors import InputError
from sim.parts.hand_expansion_valve import HandExpansionValve
from sim.parts.hand_valve import HandValve
from sim.parts.thermostatic_valve import ThermostaticValve
from sim.rig import PlacedPart, Rig
from sim.switches import (
    MAIN_SWITCH,
    HighPressureTrip,
    LoadBox,
    LowPressureControl,
    Selector,
    Switch,
    Thermostat,
)
from sim.units import on_screen, opening_words
from sim.wiring import Wiring, wiring_of
from sim.wiring.machine import HermeticMotor
from sim.wiring.switchgear import Breaker, Fuse, ResidualCurrentDevice, RestartTimer

Setting = float | str | bool
CONNECTED, LIFTED, NOWHERE = "connected", "lifted", "none"
SPRING_TURNS = 12.0  # guess: quarter turns either way before the stem stops


@dataclass(frozen=True)
class TagInfo:
    """A thing to set: a number from ``low`` to ``high``, or one of ``choices``."""

    tag: str
    kind: str
    what: str
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    value: Setting


def checked_seed(seed: int) -> int:
    """``seed`` as numbers are drawn from it. Raises InputError."""
    if isinstance(seed, int) and seed >= 0:
        return seed
    raise InputError(f"the seed is {seed!r}; give a whole number from 0.")


def checked(info: TagInfo, value: Setting) -> Setting:
    """``value`` as the tag takes it. Raises InputError naming tag, value and what is possible."""
    if info.choices:
        if isinstance(value, str) and value in info.choices:
            return value
        raise InputError(
            f"{info.tag} cannot be set to {value!r}; it can be {', '.join(info.choices)}."
        )
    if isinstance(value, str | bool):
        raise InputError(
            f"{info.tag} takes a number from {info.low:g} to {info.high:g}, not {value!r}."
        )
    number = float(value)
    if info.low is not None and info.high is not None and info.low <= number <= info.high:
        return number
    raise InputError(
        f"{info.tag} cannot be set to {number:g}; it goes from {info.low:g} to {info.high:g}."
    )


def said(info: TagInfo, value: Setting, atmosphere_pa: float) -> str:
    """``receiver outlet: 35 % open``: a setting as the list of events has it, in SI people's units."""
    if isinstance(value, str):
        return f"{info.what}: {value}"
    if info.kind in (HandValve.KIND, HandExpansionValve.KIND):
        return f"{info.what}: {opening_words(value)}"
    if info.kind == "heater":
        return f"{info.what}: {value:.4g} W"
    what = info.what.rpartition(", ")[0]  # without the unit in which it is set
    if info.kind == "set_point":
        key = "set_pa" if info.what.endswith("absolute") else "set_k"
        shown, unit = on_screen(key, value, "si", atmosphere_pa)
        return f"{what}: {shown:.4g} {unit}"
    if info.kind == "off_time":
        return f"{what}: {value:.4g} s"
    return f"{what}: {value:+.4g} quarter turns"


def number(tag: str, kind: str, what: str, low: float, high: float, value: float) -> TagInfo:
    """A tag that takes a number."""
    return TagInfo(tag, kind, what, low, high, (), value)


def choice(tag: str, kind: str, what: str, choices: tuple[str, ...], value: str) -> TagInfo:
    """A tag that takes one of some words."""
    return TagInfo(tag, kind, what, None, None, choices, value)


def tags_of(rig: Rig) -> dict[str, TagInfo]:
    """All tags in their first positions."""
    found: list[TagInfo] = []
    for placed in rig.parts:
        found.extend(part_tags(placed))
    for switch in rig.switches:
        found.extend(switch_tags(switch))
    for instrument in rig.instruments:
        if instrument.reading == "strap_on_temperature_k":
            places = strap_on_places(rig)
            what = instrument.what
            found.append(choice(f"{instrument.tag}.place", "place", f"{what}: where it is strapped on", places, places[0]))  # fmt: skip
            found.append(choice(f"{instrument.tag}.insulated", "choice", f"{what}: under insulation", ("yes", "no"), "yes"))  # fmt: skip
    if rig.wiring:
        found.extend(wiring_tags(wiring_of(rig)))
    return {info.tag: info for info in found}


def wiring_tags(wiring: Wiring) -> list[TagInfo]:
    """What hands do at the wiring: lift leads, lock off, open the terminal cover, clip a jumper, discharge, reset."""
    found = [choice(f"{MAIN_SWITCH}.lock", "lock", "padlock of the main switch", ("free", "locked"), "free")]  # fmt: skip
    for motor in wiring.of_kind(HermeticMotor):
        found.append(choice(f"{motor.tag}.cover", "cover", "cover of the compressor's terminals", ("shut", "open"), "shut"))  # fmt: skip
    for capacitor in wiring.capacitors:
        found.append(number(f"{capacitor.tag}.discharge", "press", f"{capacitor.what}: 1 holds a resistor across it", 0.0, 1.0, 0.0))  # fmt: skip
    for device in wiring.devices:
        if isinstance(device, Fuse | Breaker | ResidualCurrentDevice):
            found.append(number(f"{device.tag}.reset", "press", f"{device.what}: 1 resets or replaces it", 0.0, 1.0, 0.0))  # fmt: skip
    for timer in wiring.of_kind(RestartTimer):
        found.append(number(f"{timer.tag}.off_time", "off_time", f"{timer.what}: off-time, s", timer.least_off_time_s, timer.most_off_time_s, timer.off_time_s))  # fmt: skip
    places = (NOWHERE, *wiring.terminals)
    found += [choice(f"jumper.{k}", "jumper", f"jumper lead, clip {k}", places, NOWHERE) for k in (1, 2)]  # fmt: skip
    found += [choice(wire.tag, "lead", f"lead from {wire.a} to {wire.b}", (CONNECTED, LIFTED), CONNECTED) for wire in wiring.wires]  # fmt: skip
    return found


def part_tags(placed: PlacedPart) -> list[TagInfo]:
    """Handles of a part."""
    what = placed.what or placed.kind.replace("_", " ")
    if isinstance(placed.part, HandValve | HandExpansionValve):
        return [number(placed.tag, placed.kind, what, 0.0, 1.0, 0.0)]
    if isinstance(placed.part, ThermostaticValve):
        return [number(f"{placed.tag}.spring", "spring", f"{what}: spring, quarter turns in", -SPRING_TURNS, SPRING_TURNS, 0.0)]  # fmt: skip
    return []


def switch_tags(switch: Switch) -> list[TagInfo]:
    """What can be moved on a switch or control."""
    found = []
    if isinstance(switch, Selector):
        found.append(choice(switch.tag, switch.KIND, switch.what, switch.choices, switch.initial))
    if isinstance(switch, LoadBox):
        found.append(number(f"{switch.tag}.watts", "heater", f"{switch.what}: heater", 0.0, switch.most_heat_w, 0.0))  # fmt: skip
    if isinstance(switch, HighPressureTrip):
        found.append(number(f"{switch.tag}.reset", "reset", f"{switch.what}: reset button; 1 presses it", 0.0, 1.0, 0.0))  # fmt: skip
    if isinstance(switch, HighPressureTrip | LowPressureControl):
        found.append(number(f"{switch.tag}.set", "set_point", f"{switch.what}: set point, Pa absolute", switch.least_set_pa, switch.most_set_pa, switch.set_pa))  # fmt: skip
    if isinstance(switch, Thermostat):
        found.append(number(f"{switch.tag}.set", "set_point", f"{switch.what}: set point, K", switch.least_set_k, switch.most_set_k, switch.set_k))  # fmt: skip
    return found


def strap_on_places(rig: Rig) -> tuple[str, ...]:
    """Where a strap-on thermometer can go: any pipe or vessel, and the air before and behind every coil."""
    streams = tuple(f"{air.tag} {way}" for air in rig.airs for way in ("in", "out"))
    return tuple(node.name for node in rig.nodes) + streams
