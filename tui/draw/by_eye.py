"""The wiring as one sees it without a meter: what an assessed session's ladder shows.

Seen are handles (a switch stands where a hand has put it), what has tripped and says so, armatures that hum, lamps that glow, fans that turn, leads that are lifted. Not seen is whether a
conductor is live, and whether a contact does what its handle or armature says: that takes the meter. A contact of which nothing is seen is drawn as on a new rig.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tui.draw.scene import Scene
from tui.plant import Circuit
from tui.seen import tripped
from tui.wiring_plan import Piece, WiringPlan

HUMS = "coil hums"
CONTACTS = ("make", "break", "plug", "fuse")


@dataclass(frozen=True)
class Seen:
    """As ``Circuit``, without what only a meter tells."""

    volts: Mapping[str, float]
    amps: Mapping[str, float]
    closed: Mapping[str, bool]
    seated: Mapping[str, bool]
    turning: Mapping[str, bool]


def ladder_title(scene: Scene) -> str:
    """What stands on the ladder's frame: the plan, and why nothing on it is live."""
    title = scene.plan.title if scene.plan is not None else "wiring"
    return f"{title}, by eye" if scene.own_work else title


def by_eye(circuit: Circuit, plan: WiringPlan, scene: Scene) -> Seen:
    """What is left of a circuit for somebody who only looks and listens."""
    humming = frozenset(_humming(scene))
    fallen = _fallen(scene)
    closed = {piece.name: _closed(piece, plan, scene, humming, fallen) for piece in plan.pieces if piece.sign in CONTACTS}  # fmt: skip
    lamps = {end: circuit.volts.get(end, 0.0) for piece in plan.pieces if piece.sign == "lamp" for end in (piece.a, piece.b)}  # fmt: skip
    return Seen(lamps, {}, closed, dict.fromkeys(humming, True), circuit.turning)


def _humming(scene: Scene) -> Iterable[str]:
    """Devices whose coil is heard."""
    spots = scene.snapshot.senses.spots if scene.snapshot is not None else ()
    return (spot.place for spot in spots if any(sign.what == HUMS for sign in spot.signs))


def _fallen(scene: Scene) -> frozenset[str]:
    """Protective devices that have tripped, by what the bench has told of them last."""
    last = {event.tag: event.kind for event in scene.events if event.kind in ("trip", "reset")}
    told = {tag for tag, kind in last.items() if kind == "trip"}
    return frozenset(
        told | set(tripped(scene.snapshot, scene.kinds) if scene.snapshot is not None else ())
    )


def _closed(piece: Piece, plan: WiringPlan, scene: Scene, humming: frozenset[str], fallen: frozenset[str]) -> bool:  # fmt: skip
    """Where a contact stands by the look of its device."""
    hand = scene.setting(piece.tag)
    if piece.closes_in:
        return hand in piece.closes_in
    if piece.tag in fallen:
        return False
    magnet = any(other.tag == piece.tag and other.sign == "coil" for other in plan.pieces)
    if magnet and piece.tag in humming:
        return piece.at_rest == "open"
    return piece.at_rest != "open"
