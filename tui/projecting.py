"""The projector's page: which five readings, as the instruments show them, and whether each rises, falls or stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from math import isfinite, nan

import numpy as np
from numpy.typing import ArrayLike

from sim.working.scales import Scale
from tui.derived import DERIVED
from tui.draw.scene import Scene
from tui.history import History
from tui.seen import NO_FLOW, instrument_label
from tui.words import MISSING

MOST = 5
FIVE = (
    "suction_pressure_pa",
    "discharge_pressure_pa",
    "gauge_superheat_k",
    "gauge_subcooling_k",
    "power_w",
)
"""guess: what is watched from start to steady running."""
FIVE_OWN_WORK = ("suction_pressure_pa", "discharge_pressure_pa", "evaporator_outlet_temperature_k", "liquid_temperature_k", "power_w")  # fmt: skip
"""In assessed work nothing is worked out for the learner."""
WINDOW_S, LEAST_S = 60.0, 10.0
"""Plant seconds over which a movement is judged, and from which on it can be. guess: a minute, in which the stated limits of steady running are given."""
STEADY_K_S = 1.5 / 180.0
"""common practice: superheat that stays within 1.5 K for three minutes is steady."""
NO_SCALE_SHARE = 0.01
"""guess: of the reading in a minute, where nothing is known of its instrument."""


class Moving(Enum):
    """What the eye should find at once."""

    RISING = "rising"
    FALLING = "falling"
    STEADY = "steady"
    UNKNOWN = ""


@dataclass(frozen=True)
class Shown:
    """One of the five."""

    key: str
    name: str
    number: str
    unit: str
    moving: Moving
    tag: str = ""


def chosen(keys: Sequence[str], own_work: bool = False) -> tuple[str, ...]:
    """The five: the person's, filled up with the usual ones."""
    usual = FIVE_OWN_WORK if own_work else FIVE
    kept = [key for key in keys if not (own_work and key in DERIVED)]
    return tuple(dict.fromkeys([*kept, *usual]))[:MOST]


def slope(times: ArrayLike, values: ArrayLike) -> float:
    """Of the straight line through them, a second; nan when there is too little."""
    x, y = np.asarray(times, float), np.asarray(values, float)
    good = np.isfinite(x) & np.isfinite(y)
    x, y = x[good], y[good]
    if x.size < 3 or x[-1] - x[0] < LEAST_S:
        return nan
    x = x - x.mean()
    return float((x * (y - y.mean())).sum() / (x * x).sum())


def moving(history: History, key: str, scale: Scale | None) -> Moving:
    """Whether the display has moved by more than a step of its scale in the last minute."""
    if key not in history.keys:
        return Moving.UNKNOWN
    times, lows, highs = history.window((key,), history.now_s - WINDOW_S, history.now_s, False)
    middle = (lows[0] + highs[0]) / 2.0
    rate = slope(times, middle)
    if not isfinite(rate):
        return Moving.UNKNOWN
    step = (
        scale.step
        if scale is not None and key == "flowmeter"
        else scale.step_si
        if scale is not None
        else 0.0
    )  # the record has litres an hour
    least = step / WINDOW_S if scale is not None else STEADY_K_S if key in DERIVED else NO_SCALE_SHARE * abs(float(np.nanmean(middle))) / WINDOW_S  # fmt: skip
    if abs(rate) <= least:
        return Moving.STEADY
    return Moving.RISING if rate > 0.0 else Moving.FALLING


def five(scene: Scene, history: History, keys: Sequence[str], scales: Mapping[str, Scale]) -> tuple[Shown, ...]:  # fmt: skip
    """The page's five, as instruments show them, whoever looks."""
    seen = replace(scene, instructor=False)
    found = []
    for key in chosen(keys, scene.own_work):
        key = seen.superheat if key == "gauge_superheat_k" else key
        words = seen.words(key)
        number, _, unit = (MISSING, "", words) if words == NO_FLOW else words.partition(" ")
        name = instrument_label(scene.snapshot, key) if scene.snapshot is not None else key
        scale = scales.get(key)
        tag = scale.tag if scale is not None else "worked out" if key in DERIVED else ""
        way = Moving.UNKNOWN if number == MISSING else moving(history, key, scale)
        found.append(Shown(key, name, number, unit, way, tag))
    return tuple(found)
