"""What a hand, an eye and an ear can tell of a place: records, and the thresholds between one word and the next. Numbers in, words out; no plant here.

Touch: the temperature of bare metal, which is what a hand feels; insulation is taken off where one wants to feel.
Look: a surface below the dew point of the air at it sweats, and carries frost below 0 C. Pipes and vessels keep no account of their water, so they
are white or wet while, and as soon as, they are cold enough. A coil's cells do: there the mass of frost (``sim.frost``) decides.
Listen: a stream that loses pressure is heard by the power that it loses, flow times the integral of v dp; its mean specific volume is half the sum
of before and behind (isenthalpic), right for gas and on the high side for liquid that flashes late.
Range: air from -40 to 60 C, R-number refrigerants, tubes of a bench; a noisy room hears less.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Feel = Literal["biting cold", "cold", "cool", "as the room", "warm", "hot", "too hot to touch"]
Skin = Literal["dry", "sweating", "frosted", "thawing"]
Sense = Literal["look", "listen", "feel"]

ICE_K = 273.15  # ITS-90, zero of the Celsius scale
BURN_K = 333.15  # 60 C. common practice; ISO 13732-1 has 58 to 64 C for bare smooth metal held for 4 s, 65 to 70 C for 1 s (from memory)
HOLD_K = 324.15  # 51 C. ISO 13732-1: burn threshold of any material for a contact of one minute (from memory)
NUMB_K = 280.15  # 7 C. ISO 13732-3 and Geng et al., Ann. Occup. Hyg. 50 (2006) 851: contact temperature at which a fingertip goes numb
BITE_K = 258.15  # -15 C. guess: bare metal freezes a damp finger fast within seconds; ISO 13732-3 has frostbite on metal there after some ten seconds (from memory)
TELL_K = 3.0  # common practice: a palm tells a pipe from the room from 2 to 3 K on
FREEZES_K = ICE_K - 0.5  # guess: a pipe at 0 C is wet; half a kelvin below, its drops turn white
FROST_SEEN_KG_M2 = 0.005  # guess: 0.03 mm of frost (density of ``sim.frost``) whitens a fin
AIR_TELL_K = 2.0  # guess: a wet or dry back of a hand tells moving air apart from the room's sooner than a palm tells metal
STILL_SHARE = 0.1  # guess: a tenth of the rated air is not felt as a draught

HISS_W = 1.0  # guess: a ten-thousandth of it as sound (order of IEC 60534-8-3) is 80 dB inside; tube and distance take 50 dB; fans leave 30 dB to be heard by an ear close by
LOUD_W = 30.0  # guess: fifteen decibels more are heard without bending down
LEAST_HISS_PA = 1e4  # guess: below a tenth of a bar a stream is too slow to hiss
HUM_PER_CYCLE = 2.0  # textbook: magnetic pull goes with the square of the current, so iron hums at twice the mains frequency
HEARD_S = 3.0  # guess: a click is still in the ear after so long
WEAK_SHARE = 0.8  # guess: a fan that moves a fifth less air sounds and looks tired
MISTY, EMPTY = 0.003, 0.97  # void; guess: single bubbles, nothing but vapour in a glass
WET = 0.01  # liquid by mass in flowing gas. common practice: liquid on its way back runs along the glass in streaks. guess for the share: at Zivi's slip (``sim.void``) a film of a micrometre or so in a tube of 10 mm; the eye misses less


@dataclass(frozen=True, slots=True)
class Surface:
    """Bare metal at one node."""

    node: str
    temperature_k: float
    feel: Feel
    skin: Skin
    frost_kg_m2: float = 0.0
    """Per area of fin; 0 where the plant keeps no account of it."""

    @property
    def hurts(self) -> bool:
        """Would a bare hand be harmed before it is drawn back?"""
        return self.feel in ("biting cold", "too hot to touch")


@dataclass(frozen=True, slots=True)
class Sign:
    """One thing that a sense finds: a key of ``SIGNS``, with its value."""

    what: str
    value: float = 0.0

    @property
    def sense(self) -> Sense:
        """Which sense finds it."""
        return SIGNS[self.what][0]


SIGNS: Mapping[str, tuple[Sense, str, str]] = {
    "runs": ("listen", "strokes a second, Hz", "one stroke a turn"),
    "hums": ("listen", "pitch, Hz", "energised, and slower than sim.happenings.STALLED_RAD_S"),
    "knocks": ("listen", "liquid into the cylinder, kg/s", "sim.watching.SLUG_KG_S"),
    "coil hums": ("listen", "pitch, Hz", "armature held in by its coil"),
    "clicks": ("listen", "seconds ago", "HEARD_S"),
    "chatters": ("listen", "", "sim.magnets.CHATTER_MOVES"),
    "liquid rushes": ("listen", "power lost, W", "HISS_W; liquid in front and behind"),
    "flashes": ("listen", "power lost, W", "HISS_W; liquid in front, vapour behind"),
    "gurgles": ("listen", "power lost, W", "HISS_W; vapour comes along with the liquid"),
    "gas hisses": ("listen", "power lost, W", "HISS_W; gas in front"),
    "lifted": ("listen", "power lost, W", "HISS_W through a relief valve"),
    "blows": ("listen", "", "sim.happenings: a burst node"),
    "turns fast": ("look", "share of its rated air", "driven on high"),
    "turns slowly": ("look", "share of its rated air", "driven on low"),
    "turns backwards": ("look", "share of its rated air", "driven, the wrong way round"),
    "turns wearily": ("look", "share of its rated air", "WEAK_SHARE"),
    "stands still": ("look", "", "not driven"),
    "clear": ("look", "", "sim.measure: full of liquid, or of nothing but vapour"),
    "bubbles": ("look", "", "MISTY"),
    "foam": ("look", "", "sim.measure.FOAMY"),
    "wet": ("look", "", "WET; gas that flows"),
    "level": ("look", "share of the volume", ""),
    "float": ("look", "0 down, needle open; 1 up, needle shut", "sim.parts.float_valve.lift"),
    "slide": ("look", "0 cooling, 1 heating", ""),
    "air warmer": ("feel", "leaving minus entering air, K", "AIR_TELL_K"),
    "air cooler": ("feel", "leaving minus entering air, K", "AIR_TELL_K"),
    "air the same": ("feel", "leaving minus entering air, K", "AIR_TELL_K"),
    "no air": ("feel", "share of its rated air", "STILL_SHARE"),
}
"""Sign -> which sense finds it, what its value says, where its threshold comes from."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place that one can stand before: a vessel, a pipe, a coil with its cells, a part."""

    place: str
    """Name of a node, or tag of a coil or part."""
    what: str
    surfaces: tuple[Surface, ...] = ()
    """In the direction of flow in cooling; empty where there is nothing to feel."""
    signs: tuple[Sign, ...] = ()
    tags: frozenset[str] = frozenset()
    """Parts and instruments that sit here."""
    shut_in: bool = False
    """Inside the closed load box, where neither eye nor hand gets."""

    def found(self, *senses: Sense) -> tuple[Sign, ...]:
        """What these senses find."""
        return tuple(sign for sign in self.signs if sign.sense in senses)


@dataclass(frozen=True, slots=True)
class Senses:
    """Everything within reach at one instant, in the order in which the refrigerant comes past."""

    spots: tuple[Spot, ...]
    room_k: float
    dew_point_k: float
    """Of the room's air."""

    def spot(self, name: str) -> Spot | None:
        """The place of this name, or the first at which the part of this tag sits."""
        named = (spot for spot in self.spots if spot.place == name)
        return next(named, next((spot for spot in self.spots if name in spot.tags), None))


def feel_of(temperature_k: float, room_k: float) -> Feel:
    """What a hand says of bare metal."""
    if temperature_k >= BURN_K:
        return "too hot to touch"
    if temperature_k >= HOLD_K:
        return "hot"
    if temperature_k < BITE_K:
        return "biting cold"
    if temperature_k < NUMB_K:
        return "cold"
    if abs(temperature_k - room_k) < TELL_K:
        return "as the room"
    return "warm" if temperature_k > room_k else "cool"


def skin_of_pipe(temperature_k: float, dew_point_k: float) -> Skin:
    """What an eye sees on a pipe or vessel."""
    if temperature_k >= dew_point_k:
        return "dry"
    return "frosted" if temperature_k < FREEZES_K else "sweating"


def skin_of_cell(temperature_k: float, dew_point_k: float, frost_kg_m2: float) -> Skin:
    """The same on a cell of a coil, which keeps account of its frost."""
    if frost_kg_m2 >= FROST_SEEN_KG_M2:
        return "thawing" if temperature_k > ICE_K else "frosted"
    return "sweating" if ICE_K <= temperature_k < dew_point_k else "dry"


def stream_sign(power_w: float, before: float, behind: float) -> Sign | None:
    """What a stream that loses this power sounds like; ``before`` and ``behind``: its void (0 liquid, 1 gas). None: nothing to hear."""
    if power_w < HISS_W:
        return None
    if before >= EMPTY:
        return Sign("gas hisses", power_w)
    if before >= MISTY:
        return Sign("gurgles", power_w)
    return Sign("flashes" if behind >= MISTY else "liquid rushes", power_w)


def air_sign(warmer_k: float, share: float) -> Sign:
    """What a hand in the air behind a coil tells; ``share`` is the air over the coil's rated air."""
    if share < STILL_SHARE:
        return Sign("no air", share)
    if abs(warmer_k) < AIR_TELL_K:
        return Sign("air the same", warmer_k)
    return Sign("air warmer" if warmer_k > 0.0 else "air cooler", warmer_k)


def fan_sign(speed: float, share: float, backwards: bool = False) -> Sign:
    """What one sees of a fan driven at 0 off, 1 low or 2 high, moving this share of that speed's rated air."""
    if speed <= 0.0:
        return Sign("stands still")
    if backwards:
        return Sign("turns backwards", share)
    if share < WEAK_SHARE:
        return Sign("turns wearily", share)
    return Sign("turns fast" if speed > 1.0 else "turns slowly", share)
