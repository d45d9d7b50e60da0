"""A bare hand laid on the plant, and what may come of it: burns, frozen skin, shock, fingers in a fan.

Nothing is forbidden that a person could do; a hand that would be harmed is drawn back, and that is an event of kind ``violation`` with its caution.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.acts import LIVE_V
from sim.cautions import all_cautions
from sim.errors import InputError
from sim.parts.fan import Fan
from sim.record import did_you_mean
from sim.senses import Spot
from sim.wiring.machine import HermeticMotor

if TYPE_CHECKING:
    from sim.bench import Bench


def touched(bench: Bench, place: str) -> Spot:
    """What the hand found. Raises InputError where there is nothing to feel."""
    senses = bench.senses()
    spot = senses.spot(place)
    if spot is None:
        near = did_you_mean(place, [one.place for one in senses.spots])
        raise InputError(f"there is no place called {place!r} to touch. {near}")
    if spot.shut_in:
        raise InputError(f"{spot.place} is inside the closed load box; open it first.")
    fan = any(p.tag == spot.place and isinstance(p.part, Fan) for p in bench.rig.parts)
    if not spot.surfaces and not fan:
        raise InputError(f"at {spot.place} there is nothing to feel; its pipes are places of their own.")  # fmt: skip
    kind, text = judged(bench, spot)
    bench.note(spot.place, kind, text)
    return spot


def judged(bench: Bench, spot: Spot) -> tuple[str, str]:
    """(kind of event, what is put on record)."""
    volts = frame_volts(bench) if spot.surfaces else 0.0
    feels = {surface.feel for surface in spot.surfaces}
    if volts > LIVE_V:
        return _violation("isolate", f"{spot.what}: the metal is live with {volts:.0f} V. A shock: with bad luck the hand cannot let go.")  # fmt: skip
    if "too hot to touch" in feels:
        return _violation("hot/cold", f"{spot.what}: too hot to touch. The hand is drawn back; a longer hold burns.")  # fmt: skip
    if "biting cold" in feels:
        return _violation("hot/cold", f"{spot.what}: so cold that skin sticks to it. The hand is drawn back.")  # fmt: skip
    if any(sign.what.startswith("turns") for sign in spot.signs):
        return _violation("restart", f"{spot.what}: a hand at a turning fan is hit by its blades.")
    return "note", f"{spot.what}: {felt(spot)}."


def felt(spot: Spot) -> str:
    """``cold``; along a coil ``hot, then warm``; of a fan that it stands."""
    feels = [surface.feel for surface in spot.surfaces]
    changes = [feel for k, feel in enumerate(feels) if k == 0 or feel != feels[k - 1]]
    return ", then ".join(changes) or "stands still"


def frame_volts(bench: Bench) -> float:
    """rms volts to earth of the compressor's frame, and so of all pipes: they are one piece of metal."""
    wired = bench.happenings.wired
    if wired is None:
        return 0.0
    machine = wired.supply.wiring.of_kind(HermeticMotor)[0]
    return wired.acts.volts(machine.at(machine.FRAME))


def _violation(caution: str, text: str) -> tuple[str, str]:
    return "violation", f"{text} {all_cautions()[caution].text}"
