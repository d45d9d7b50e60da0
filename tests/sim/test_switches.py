"""Switches and controls as data: positions, scales, set points."""

from __future__ import annotations

import pytest

from sim.switches import (
    KINDS,
    HighPressureTrip,
    LoadBox,
    LowPressureControl,
    Selector,
    Switch,
    Thermostat,
)

SELECTOR: dict[str, object] = {
    "tag": "HS-2",
    "what": "fan",
    "choices": ("off", "low", "high"),
    "initial": "off",
}
TRIP: dict[str, object] = {
    "tag": "PSHH-1", "what": "trip", "tap": "head", "set_pa": 17e5, "reset_below_pa": 13e5, "least_set_pa": 9e5, "most_set_pa": 19e5,
}  # fmt: skip
CONTROL: dict[str, object] = {
    "tag": "PSL-1", "what": "control", "tap": "port", "set_pa": 1.3e5, "difference_pa": 0.5e5, "least_set_pa": 1e5, "most_set_pa": 5e5,
}  # fmt: skip
THERMOSTAT: dict[str, object] = {
    "tag": "TS-1", "what": "room", "air": "AIR-B", "set_k": 283.15, "difference_k": 2.0, "lag_s": 30.0, "least_set_k": 253.15, "most_set_k": 303.15,
}  # fmt: skip
BOX: dict[str, object] = {
    **SELECTOR, "air": "AIR-B", "most_heat_w": 500.0, "wall_conductance_w_k": 2.0, "heat_capacity_j_k": 5e3, "air_kg": 0.1, "leak_kg_s": 1e-4,
}  # fmt: skip
RIGHT: list[tuple[type[Switch], dict[str, object]]] = [
    (Selector, SELECTOR), (HighPressureTrip, TRIP), (LowPressureControl, CONTROL), (Thermostat, THERMOSTAT), (LoadBox, BOX),
]  # fmt: skip


def faults(cls: type[Switch], keys: dict[str, object]) -> list[str]:
    made = cls(**keys)  # type: ignore[arg-type]
    return [field for field, _ in made.check()]  # type: ignore[attr-defined]


@pytest.mark.parametrize(("cls", "keys"), RIGHT)
def test_a_right_switch_has_no_faults(cls: type[Switch], keys: dict[str, object]) -> None:
    assert faults(cls, keys) == []


@pytest.mark.parametrize(
    ("cls", "keys", "change", "field"),
    [
        (Selector, SELECTOR, {"choices": ("on",), "initial": "on"}, "choices"),
        (Selector, SELECTOR, {"choices": ("on", "on"), "initial": "on"}, "choices"),
        (Selector, SELECTOR, {"initial": "middle"}, "initial"),
        (HighPressureTrip, TRIP, {"reset_below_pa": 17e5}, "reset_below_pa"),
        (HighPressureTrip, TRIP, {"set_pa": 20e5}, "set_pa"),
        (LowPressureControl, CONTROL, {"set_pa": 6e5}, "set_pa"),
        (LowPressureControl, CONTROL, {"difference_pa": 0.0}, "difference_pa"),
        (Thermostat, THERMOSTAT, {"set_k": 310.0}, "set_k"),
        (LoadBox, BOX, {"air_kg": 0.0}, "air_kg"),
    ],
)
def test_a_wrong_key_is_named(
    cls: type[Switch], keys: dict[str, object], change: dict[str, object], field: str
) -> None:
    assert field in faults(cls, {**keys, **change})


def test_every_kind_is_in_the_table_once() -> None:
    assert sorted(KINDS) == [
        "high_pressure_trip",
        "load_box",
        "low_pressure_control",
        "selector",
        "thermostat",
    ]
