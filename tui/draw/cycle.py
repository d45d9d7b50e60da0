"""The plant's cycle as points of the charts.

The instructor sees the state of every node; a learner sees the four corners that the instruments give: suction and discharge gas by gauge and thermometer, the liquid by its
thermometer, and the throttled mixture at the liquid's enthalpy. In assessed work nobody sees any: finding them is what is asked.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np

from tui.assessed import CYCLE
from tui.draw.pipe_inks import APART
from tui.draw.scene import Scene
from tui.fluid_chart import FluidChart, State
from tui.history import History

THROTTLED = 0.7
"""A fall of pressure to less than this share between two nodes is a throttle: drawn straight down, since it keeps the enthalpy."""
KEYS = ("suction_pressure_pa", "discharge_pressure_pa", "suction_temperature_k", "discharge_temperature_k", "liquid_temperature_k")  # fmt: skip
"""What the corners are worked out from."""
EDGE_POINTS = 10
"""A straight line of one chart is a curve on the other; so many points make it."""
TRAIL_S, TRAIL_STEP_S = 120.0, 5.0
"""How far back the corners' trail goes, and how far apart its points are; they stand at whole steps of the plant's time."""
MOST_CYCLES = 256
NO_CYCLE = "no cycle: the compressor stands, or both pressures are the same"


@lru_cache(maxsize=MOST_CYCLES)
def corners_of(fluid: FluidChart, values: tuple[float, ...], heating: bool) -> tuple[State, ...]:
    """Corners 1, 2, 3, 4 from the values of ``KEYS``, kept since a trail shows the same ones for two minutes; only 1 and 2 in heating, where no thermometer stands between condenser and metering device."""
    low, high, suction, discharge, liquid = values
    if not high > APART * low:
        return ()
    corners = [fluid.state(low, fluid.vapour_enthalpy(low, suction)), fluid.state(high, fluid.vapour_enthalpy(high, discharge))]  # fmt: skip
    if not heating:
        h3 = min(fluid.liquid_enthalpy(liquid), fluid.enthalpy(high, 0.0))
        corners += [fluid.state(high, h3), fluid.state(low, h3)]
    return tuple(corner for corner in corners if math.isfinite(corner.enthalpy))


def cycle_seen(scene: Scene) -> list[State]:
    """The cycle's corners from readings; empty while the compressor stands, and while suction and discharge are the same."""
    if scene.charted is None or scene.own_work or scene.snapshot is None or not scene.snapshot.running:  # fmt: skip
        return []
    return list(corners_of(scene.charted, tuple(map(scene.number, KEYS)), scene.heating))


def why_no_cycle(scene: Scene) -> str:
    """In few words, on the chart; '' where there is one, or nothing yet."""
    if scene.own_work:
        return CYCLE
    return "stands: no cycle" if scene.snapshot is not None and not scene.snapshot.running else ""  # fmt: skip


def cycle_of_nodes(scene: Scene, path: Iterable[str]) -> list[State]:
    """Every node on the refrigerant's way, as it is."""
    fluid = scene.charted
    points: list[State] = []
    for node in path:
        place = scene.place(node)
        if place is None or fluid is None:
            continue
        enthalpy = fluid.enthalpy(place.pressure_pa, place.quality)
        if points and place.pressure_pa < THROTTLED * points[-1].pressure:
            points.append(fluid.state(place.pressure_pa, points[-1].enthalpy))
        points.append(fluid.state(place.pressure_pa, enthalpy))
    return points


def edge(fluid: FluidChart, start: State, end: State) -> list[State]:
    """Points of a straight line of the p-h chart, ends included."""
    shares = np.linspace(0.0, 1.0, EDGE_POINTS)
    pressures = np.exp(np.interp(shares, [0, 1], np.log([start.pressure, end.pressure])))
    enthalpies = np.interp(shares, [0, 1], [start.enthalpy, end.enthalpy])
    return [fluid.state(float(p), float(h)) for p, h in zip(pressures, enthalpies, strict=True)]


def closed(corners: Sequence[State]) -> list[State]:
    """With the first corner again at the end of a whole cycle."""
    return [*corners, corners[0]] if len(corners) == 4 else list(corners)


def middle_of_cycle(points: Sequence[State]) -> float:
    """What parts the high side from the low one."""
    return math.sqrt(min(p.pressure for p in points) * max(p.pressure for p in points))


def trail(scene: Scene, history: History) -> list[State]:
    """Where corners 1, 2 and 3 have been in the last two minutes."""
    if (
        scene.charted is None
        or scene.own_work
        or scene.heating
        or any(key not in history.keys for key in KEYS)
    ):
        return []
    times, lows, highs = history.window(
        KEYS, history.now_s - TRAIL_S, history.now_s, scene.instructor
    )
    columns = [(low + high) / 2 for low, high in zip(lows, highs, strict=True)]
    _, chosen = np.unique(times // TRAIL_STEP_S, return_index=True)
    return [corner for i in chosen for corner in corners_of(scene.charted, tuple(float(column[i]) for column in columns), False)[:3]]  # fmt: skip


def edges(points: Sequence[State]) -> Iterable[tuple[State, State]]:
    """Neighbours along the way."""
    return pairwise(points)
