"""What stands around the plant: the room, the air at the coils, the supply. Shared by rigs, run sheets and commands.

In files temperatures are in °C (``room_temperature_c``), because that is what a person writes down; inside they are K.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import ClassVar

from sim.errors import InputError
from sim.units import ICE_POINT_K, STANDARD_ATMOSPHERE_PA, SUFFIXES, split_key


@dataclass(frozen=True)
class SurroundingsTable:
    """The ``[surroundings]`` table as written in a file; None is "not said"."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "room_temperature_c": (-20.0, 50.0),
        "relative_humidity": (0.0, 1.0),
        "evaporator_air_in_c": (-40.0, 50.0),
        "condenser_air_in_c": (-20.0, 60.0),
        "supply_voltage_v": (0.0, 300.0),
        "supply_frequency_hz": (40.0, 70.0),
        "atmospheric_pressure_pa": (60_000.0, 108_000.0),
    }

    room_temperature_c: float | None = None
    relative_humidity: float | None = None
    evaporator_air_in_c: float | None = None
    condenser_air_in_c: float | None = None
    supply_voltage_v: float | None = None
    supply_frequency_hz: float | None = None
    atmospheric_pressure_pa: float | None = None

    def given(self) -> dict[str, float]:
        """Only what the file says, by its key."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        return {key: value for key, value in values.items() if value is not None}


@dataclass(frozen=True)
class Surroundings:
    """The surroundings in SI. ``None`` for an air inlet: that coil breathes the room's air."""

    room_temperature_k: float = 296.15  # source: contract of the default rig, 23 °C
    relative_humidity: float = 0.4  # source: contract of the default rig
    evaporator_air_in_k: float | None = None
    condenser_air_in_k: float | None = None
    supply_voltage_v: float = 120.0  # source: contract of the default rig
    supply_frequency_hz: float = 60.0  # source: contract of the default rig
    atmospheric_pressure_pa: float = STANDARD_ATMOSPHERE_PA

    def changed(self, given: Mapping[str, float]) -> Surroundings:
        """These surroundings with the keys of a ``[surroundings]`` table laid over them. Raises InputError for a key that there is not."""
        for key in given:
            if key not in NAMES:
                raise InputError(f"there is no {key} among the surroundings; there are {', '.join(NAMES)}.")  # fmt: skip
        return replace(self, **{inside(key): si(key, value) for key, value in given.items()})


NAMES: tuple[str, ...] = tuple(SurroundingsTable.RANGES)
"""Every key of ``[surroundings]``; any of them may also be set by an action."""


def inside(key: str) -> str:
    """Field of ``Surroundings`` for a file key: ``room_temperature_c`` is ``room_temperature_k``."""
    return f"{key[:-2]}_k" if key.endswith("_c") else key


def name_in_words(key: str) -> str:
    """``room temperature`` of ``room_temperature_c``."""
    return split_key(key)[0].replace("_", " ")


def unit_of(key: str) -> str:
    """Symbol of the unit that a file key is given in; '' for a plain number."""
    suffix = split_key(key)[1]
    return SUFFIXES[suffix].symbol if suffix else ""


def si(key: str, value: float) -> float:
    """Value of a file key in SI."""
    return value + ICE_POINT_K if key.endswith("_c") else value
