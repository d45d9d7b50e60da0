"""The chart of states as SVG: over pressure and enthalpy or over temperature and entropy, whichever is up, with all that stands on it on the screen but the cursor."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from tui.assessed import CYCLE, refused
from tui.charting import Axes
from tui.draw.cycle import (
    NO_CYCLE,
    closed,
    cycle_of_nodes,
    cycle_seen,
    edge,
    edges,
    middle_of_cycle,
    trail,
)
from tui.draw.ink import Ink
from tui.draw.lists import clock_words
from tui.draw.scale import tick_text, ticks
from tui.draw.scene import Scene
from tui.draw.state_lines import (
    DASHED,
    Line,
    absolute_unit,
    across_unit,
    background,
    scales_of,
    upward_marks,
)
from tui.fluid_chart import Array, FluidChart, State
from tui.history import History
from tui.session.paper import (
    DOME,
    FAINT,
    HIGH,
    KEPT,
    LEFT,
    LINE,
    LOW,
    RIGHT,
    TOP,
    WIDTH,
    columns,
    frame,
    rungs,
)
from tui.session.svg import Svg

HEIGHT, BOTTOM = 456.0, 392.0
NAME_ROOM = 30.0
"""For the name of a line within the frame's edge."""
KEPT_DASH = "2 4"
Paths = Sequence[Sequence[str]]
"""Nodes on the refrigerant's way, in cooling and in heating."""


def state_chart(scene: Scene, history: History, paths: Paths = ((), ())) -> str:
    """The axes that are up, with the cycle that this person may see, where its corners have been, and a kept cycle; '' while the fluid is not known."""
    fluid = scene.charted
    return "" if fluid is None else _StatePicture(scene, fluid).drawn(history, paths)


class _StatePicture:
    """One chart on its way to paper."""

    def __init__(self, scene: Scene, fluid: FluidChart) -> None:
        self.scene, self.fluid, self.axes = scene, fluid, scene.charting.axes
        self.svg = Svg(WIDTH, HEIGHT, f"{self.axes.value} chart of {fluid.name}{'' if scene.own_work else ' with the cycle'}")  # fmt: skip
        self._named: list[tuple[float, float]] = []
        self.across, self.upward = scales_of(fluid, self.axes, (LEFT, WIDTH - RIGHT), (BOTTOM, TOP))

    def drawn(self, history: History, paths: Paths) -> str:
        """The whole file."""
        self._edges()
        with self.svg.inside(LEFT, TOP, WIDTH - LEFT - RIGHT, BOTTOM - TOP):
            for line in background(self.fluid, self.axes, True, self.scene.units.family == "si"):
                self._line(line)
            said = self._cycles(history, paths)
        frame(self.svg, TOP, BOTTOM)
        for row, words in enumerate(said):
            self.svg.write(LEFT, BOTTOM + 36 + 16 * row, words, colour=FAINT, size=11)
        return self.svg.text

    def _edges(self) -> None:
        svg, units, axes = self.svg, self.scene.units, self.axes
        rungs(svg, [(self.upward.at(value), units.figure(name)) for value, name in upward_marks(self.upward, units, 12)])  # fmt: skip
        per, words = across_unit(axes, units)
        marks = ticks(self.across.low / per, self.across.high / per, 10)
        columns(svg, [(self.across.at(mark * per), units.figure(tick_text(round(mark, 6)))) for mark in marks], TOP, BOTTOM)  # fmt: skip
        pressure = f"pressure in {absolute_unit(units).symbol} (absolute), log"
        over = pressure if axes is Axes.PRESSURE_ENTHALPY else f"temperature in {'°C' if units.family == 'si' else '°F'}"  # fmt: skip
        svg.write(LEFT, 22, f"{self.fluid.name}: {over}", size=13, bold=True)
        at = "" if self.scene.snapshot is None else f", {clock_words(self.scene.snapshot.time_s)}"
        who = "every node, as it is" if self.scene.instructor else "from the instruments"
        svg.write(WIDTH - RIGHT, 22, f"{who}{at}", colour=FAINT, size=12, anchor="end")
        svg.write(WIDTH - RIGHT, BOTTOM + 36, f"specific {words}", size=12, anchor="end")

    def _line(self, line: Line) -> None:
        """A line of the background, and its name where it leaves the chart."""
        xs, ys = self.across(line.xs), self.upward(line.ys)
        points = zip(xs.tolist(), ys.tolist(), strict=True)
        if line.ink == Ink.DOME:
            self.svg.line(points, DOME, 1.8)
        elif line.gap == DASHED:
            self.svg.line(points, LINE, 0.8, "3 3")
        else:
            self.svg.line(points, LINE, 0.7, "1 4")
        if line.name:
            self._name(xs, ys, line)

    def _name(self, xs: Array, ys: Array, line: Line) -> None:
        """None on top of another."""
        inside = np.flatnonzero((xs >= LEFT) & (xs < WIDTH - RIGHT - NAME_ROOM) & (ys > TOP + 9) & (ys < BOTTOM))  # fmt: skip
        if not inside.size:
            return
        k = inside[line.named_at]
        x, y = float(xs[k]) + 2, float(ys[k]) - 3
        if all(abs(x - left) > NAME_ROOM or abs(y - foot) > 9 for left, foot in self._named):
            self._named.append((x, y))
            self.svg.write(x, y, line.name, colour=FAINT, size=9)

    # What lives.

    def _place(self, state: State) -> tuple[float, float]:
        if self.axes is Axes.PRESSURE_ENTHALPY:
            return self.across.at(state.enthalpy), self.upward.at(state.pressure)
        return self.across.at(state.entropy), self.upward.at(state.temperature)

    def _cycles(self, history: History, paths: Paths) -> list[str]:
        """Trail, kept cycle, the cycle of now. Returns what has to be said of them."""
        scene, kept = self.scene, self.scene.charting.ghost
        if scene.own_work:
            return [refused(CYCLE)]
        passed = [place for state in trail(scene, history) if all(map(math.isfinite, place := self._place(state)))]  # fmt: skip
        for x, y in passed:
            self.svg.dot(x, y, 1.4, LINE)
        self._path(closed(kept), KEPT_DASH)
        corners = cycle_seen(scene)
        nodes = cycle_of_nodes(scene, paths[scene.heating]) if scene.instructor else []
        self._path(nodes if len(nodes) > 1 else closed(corners), "")
        self._numbers(corners)
        said = ["1 suction  2 discharge  3 liquid  4 after the metering device" if corners else NO_CYCLE]  # fmt: skip
        more = [f"dotted: the cycle kept at {clock_words(scene.charting.ghost_at_s)}"] if kept else []  # fmt: skip
        more += ["dots: the corners in the last two minutes"] if passed else []
        return [*said, ", ".join(more)]

    def _path(self, points: Sequence[State], dash: str) -> None:
        """The edges of a cycle: the low side dashed, a kept cycle dotted."""
        if len(points) < 2:
            return
        middle = middle_of_cycle(points)
        for start, end in edges(points):
            states = [start, end] if self.axes is Axes.PRESSURE_ENTHALPY else edge(self.fluid, start, end)  # fmt: skip
            low = (start.pressure + end.pressure) / 2 < middle
            places = [self._place(state) for state in states]
            if dash:
                self.svg.line(places, KEPT, 1.8, dash)
            else:
                self.svg.line(places, LOW if low else HIGH, 2.4, "6 3" if low else "")

    def _numbers(self, corners: Sequence[State]) -> None:
        for number, corner in enumerate(corners[:4], start=1):
            x, y = self._place(corner)
            if math.isfinite(x) and math.isfinite(y):
                side = 9 if number in (1, 2) else -9
                self.svg.write(x + side, y - 6, str(number), size=14, bold=True, anchor="middle")
