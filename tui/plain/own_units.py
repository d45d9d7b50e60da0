"""Which units are read: the settings' at the start, others by ``units``, kept in the settings by ``units keep``."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.units import Family
from tui.plain.aloud import unit_words
from tui.plain.talk import Talk
from tui.plain.values import names_of_unit
from tui.session.kept import QUANTITIES
from tui.session.settings import UnitSettings, choices_of
from tui.words import Units, listed

SYSTEMS: dict[str, Family] = {"si": "si", "us": "us"}
HOW = "Say units si, units us, or both in the order that you want, as in: units us si. One quantity: units pressure psi. Decimal sign: units comma, units point. As the settings have it: units settings. For the next start too: units keep."  # fmt: skip
USUAL = ("", "usual", "as usual", "like the others")


def units(talk: Talk, typed: str) -> None:
    """``units``, ``units us si``, ``units pressure psi``, ``units comma``, ``units settings``, ``units keep``."""
    text = " ".join(typed.lower().replace(",", " ").replace(" and ", " ").split())
    first, _, rest = text.partition(" ")
    if first in QUANTITIES:
        chosen = _with_own(talk.scene.units, first, rest)
    elif first in SYSTEMS:
        chosen = _of_systems(talk.scene.units, text.split())
        talk.system_typed = True
    else:
        _other(talk, text)
        return
    _use(talk, chosen)


def _other(talk: Talk, text: str) -> None:
    act = _ACTS.get(text.removeprefix("decimal "))
    if act is None:
        near = did_you_mean(text, [*SYSTEMS, *QUANTITIES, *(name for name in _ACTS if name)], most=0)  # fmt: skip
        raise UsageError(f"{near} {HOW}" if near.startswith("Did") else HOW)
    act(talk)


def _of_systems(now: Units, names: list[str]) -> Units:
    """One system, or two of which the second stands after the first; no quantity goes its own way then."""
    if any(name not in SYSTEMS for name in names) or len(set(names)) != len(names):
        raise UsageError(HOW)
    return Units(SYSTEMS[names[0]], len(names) == 2, (), now.comma)


def _with_own(now: Units, key: str, typed: str) -> Units:
    """One quantity in a unit of its own, or as the system has it. Raises UsageError with what there is."""
    others = tuple(one for one in now.own if one[0] != QUANTITIES[key])
    if typed in USUAL:
        return now._replace(own=others)
    there = [symbol for symbol in choices_of("units", key) if symbol]
    found = next((symbol for symbol in there if typed in names_of_unit(symbol)), None)
    if found is None:
        raise UsageError(f"{typed} is no unit of {QUANTITIES[key]} here. There are {listed([unit_words(one) for one in there])}, as in: units {key} {there[-1]}. units {key} usual: as the other readings.")  # fmt: skip
    return now._replace(own=(*others, (QUANTITIES[key], found)))


def _use(talk: Talk, chosen: Units) -> None:
    talk.use_units(chosen)
    talk.units_typed = True
    _tell(talk)


def _tell(talk: Talk) -> None:
    """All of it in one paragraph."""
    now = talk.scene.units
    beside = f", with {now.other.upper()} units after them" if now.beside else ""
    own = "".join(f" {quantity.capitalize()} is in {unit_words(symbol)}." for quantity, symbol in now.own)  # fmt: skip
    comma = " Decimals stand behind a comma." if now.comma else ""
    talk.voice.say(f"Readings are in {now.family.upper()} units{beside}.{own}{comma}")


def _asked(talk: Talk) -> None:
    """What holds now, whether that is what the settings say, and how it is changed."""
    _tell(talk)
    if talk.scene.units != talk.units_of_settings:
        talk.voice.say("The settings have it otherwise: units settings goes back to them, units keep keeps this for the next start.")  # fmt: skip
    talk.voice.say(HOW)


def _decimals(comma: bool) -> Callable[[Talk], None]:
    return lambda talk: _use(talk, talk.scene.units._replace(comma=comma))


def _from_settings(talk: Talk) -> None:
    talk.units_typed = talk.system_typed = False
    talk.use_units(talk.units_of_settings)
    _tell(talk)


def _keep(talk: Talk) -> None:
    """Write what holds now into the settings file; the system only when it was typed, so that a rig keeps its own."""
    now, kept = talk.scene.units, talk.kept
    own = dict(now.own)
    system: Literal["rig", "si", "us"] = now.family if talk.system_typed else kept.settings.units.system  # fmt: skip
    quantities = {key: own.get(quantity, "") for key, quantity in QUANTITIES.items()}
    table = UnitSettings(system=system, beside=now.beside, decimal_comma=now.comma, **quantities)  # type: ignore[arg-type]
    kept.settings = replace(kept.settings, units=table)
    if kept.file is None:
        raise UsageError("There is no settings file in this session.")
    trouble = kept.file.write(kept.settings)
    if trouble:
        raise UsageError(trouble)
    talk.voice.say(f"Kept in {kept.file.path}, for the screen as well.")


_ACTS: dict[str, Callable[[Talk], None]] = {
    "": _asked,
    "comma": _decimals(True),
    "point": _decimals(False),
    "settings": _from_settings,
    "keep": _keep,
}
