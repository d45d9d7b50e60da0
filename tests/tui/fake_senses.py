"""What there is to see, hear and feel at the stand-in bench: its own temperatures through the words of ``sim.senses``, no physics."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from sim.senses import Senses, Sign, Spot, Surface, feel_of, skin_of_cell, skin_of_pipe

ROOM_K, DEW_K = 296.15, 281.8
FROST = 0.05
PIPES = (
    ("head", "discharge muffler, up to HV-42", ("HV-42",)), ("discharge", "discharge line", ("HV-42", "PI-2")), ("COIL-A", "coil A, rejects heat in cooling", ()),
    ("receiver", "receiver", ("HV-11", "LG-1")), ("drier", "filter drier", ("HV-12",)), ("liquid_line", "liquid line up to XV-1", ("HV-12", "XV-1")),
    ("header", "liquid header at the metering devices", ("XV-1", "FG-1")), ("COIL-B", "coil B, takes heat in cooling", ()), ("b_outlet", "outlet pipe of coil B", ()),
    ("suction_line", "suction line", ()), ("suction_port", "suction pipe at the compressor", ("HV-41",)), ("shell", "compressor shell", ("M1",)),
)  # fmt: skip
AFTER = {
    "discharge": ("XV-2", "reversing valve"),
    "COIL-A": ("FAN-A", "fan of coil A"),
    "COIL-B": ("FAN-B", "fan of coil B"),
    "header": ("HCV-22", "hand expansion valve"),
}


class Warm(Protocol):
    @property
    def temperature_k(self) -> float: ...


def senses_of(places: Mapping[str, Warm], running: bool, settings: Mapping[str, object], white: int) -> Senses:  # fmt: skip
    """``white``: so many cells of coil B carry frost."""
    signs = {
        "shell": [Sign("runs", 57.5)] if running else [],
        "HCV-22": [Sign("flashes", 24.0)] if running else [],
        "header": [Sign("clear")],
        "receiver": [Sign("level", 0.66)],
        "XV-2": [Sign("slide", 0.0)],
        "COIL-B": [Sign("air cooler", -8.0)] if running else [],
        "FAN-A": [fan(settings, "HS-3")],
        "FAN-B": [fan(settings, "HS-2")],
    }
    spots = []
    for place, what, tags in PIPES:
        spots.append(Spot(place, what, surfaces(place, places, white), tuple(signs.get(place, ())), frozenset((place, *tags))))  # fmt: skip
        if place in AFTER:
            tag, name = AFTER[place]
            spots.append(Spot(tag, name, (), tuple(signs[tag]), frozenset((tag,))))
    return Senses(tuple(spots), ROOM_K, DEW_K)


def fan(settings: Mapping[str, object], switch: str) -> Sign:
    at = settings[switch] if settings["HS-1"] == "on" else "off"
    return Sign({"off": "stands still", "low": "turns slowly", "high": "turns fast"}[str(at)], 1.0)


def surfaces(place: str, places: Mapping[str, Warm], white: int) -> tuple[Surface, ...]:
    if not place.startswith("COIL"):
        t = places[place].temperature_k
        return (Surface(place, t, feel_of(t, ROOM_K), skin_of_pipe(t, DEW_K)),)
    found = []
    for k in range(1, 9):
        node = f"{place[-1].lower()}{k}"
        t = places[node].temperature_k
        frost = FROST if place == "COIL-B" and k <= white else 0.0
        found.append(Surface(node, t, feel_of(t, ROOM_K), skin_of_cell(t, DEW_K, frost), frost))
    return tuple(found)
