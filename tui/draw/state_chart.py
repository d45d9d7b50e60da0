"""The charts of states: pressure over enthalpy, or temperature over entropy, with the plant's own cycle, live.

Dome, isotherms (coloured by their temperature), isentropes and lines of equal quality are drawn once for a size and a fluid. On top: where the corners have been,
a stored cycle to compare with, the cycle of now, a cursor that reads properties.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from sim.units import from_si
from tui.charting import Axes, Charting
from tui.draw.canvas import Canvas
from tui.draw.cycle import (
    closed,
    cycle_of_nodes,
    cycle_seen,
    edge,
    edges,
    middle_of_cycle,
    trail,
    why_no_cycle,
)
from tui.draw.dots import ACROSS, DOWN, Dots
from tui.draw.ink import BOLD, Ink
from tui.draw.scale import Scale, tick_text, ticks
from tui.draw.scene import Scene
from tui.draw.state_lines import (
    BTU_LB,
    Line,
    absolute_unit,
    across_unit,
    background,
    scales_of,
    upward_marks,
)
from tui.fluid_chart import Array, FluidChart, State
from tui.history import History

AXIS_WIDTH = 6
GHOST = 6.0
"""Dots from one dot of a stored cycle to the next: further than a cell, so that it is dotted in every set of characters."""
LARGE_WIDTH, LARGE_HEIGHT = 60, 17
"""From this size in cells a chart has all its lines, their names, the trail and the cursor."""


CORNERS = ("1 suction", "2 discharge", "3 liquid", "4 evap. inlet")


class StateChart:
    """Paints either chart; the background is kept."""

    def __init__(self, cooling_path: Sequence[str], heating_path: Sequence[str]) -> None:
        self.paths = (tuple(cooling_path), tuple(heating_path))
        self._key: tuple[object, ...] = ()
        self._background = Dots(1, 1)
        self._live = Dots(1, 1)
        self._across = Scale(0, 1, 0, 1)
        self._upward = Scale(1, 2, 1, 0)
        self._names: list[tuple[int, int, str, int]] = []

    def paint(self, canvas: Canvas, scene: Scene, history: History | None = None) -> None:
        """Axes, lines, cycle, cursor."""
        width, height = canvas.width - AXIS_WIDTH, canvas.height - 2
        if scene.charted is None or width < 16 or height < 4:
            canvas.text_middle(canvas.height // 2, "the fluid's chart comes with the plant", Ink.FAINT)  # fmt: skip
            return
        axes = scene.charting.axes
        large = width >= LARGE_WIDTH and height >= LARGE_HEIGHT
        key = (width, height, id(scene.charted), axes, scene.units)
        if self._key != key:
            self._key = key
            self._lay_out(width, height, scene, large)
        self._axes(canvas, scene)
        self._live.copy_from(self._background)
        if large and history is not None:
            self._dots_at(trail(scene, history), scene)
        self._path(closed(scene.charting.ghost), scene, (Ink.THIRD, Ink.THIRD), GHOST)
        corners = cycle_seen(scene)
        points = cycle_of_nodes(scene, self.paths[scene.heating]) if scene.instructor else closed(corners)  # fmt: skip
        self._path(points, scene, (Ink.LOW | BOLD, Ink.HIGH | BOLD))
        self._live.lay(canvas, AXIS_WIDTH, 0, scene.glyphs.dotting)
        for x, y, text, ink in self._names:
            canvas.text(x, y, text, ink)
        self._numbers(canvas, corners, scene)
        if large:
            self._cursor(canvas, scene)
        if scene.charting.cursor is None or not large:
            canvas.text(AXIS_WIDTH, 0, why_no_cycle(scene), Ink.FAINT)

    # The background.

    def _lay_out(self, width: int, height: int, scene: Scene, large: bool) -> None:
        fluid, axes = scene.charted, scene.charting.axes
        assert fluid is not None
        self._background, self._live = Dots(width, height), Dots(width, height)
        right, bottom = self._background.across - 1, self._background.down - 1
        self._across, self._upward = scales_of(fluid, axes, (0, right), (bottom, 0))
        self._names = []
        lines = background(fluid, axes, large, scene.units.family == "si")
        for line in lines if height >= 10 else lines[-1:]:
            xs, ys = self._across(line.xs), self._upward(line.ys)
            if line.gap:
                self._spaced(self._background, xs, ys, line.ink, line.gap)
            else:
                self._background.curve(xs, ys, line.ink)
            if large and line.name:
                self._name(xs, ys, line)

    @staticmethod
    def _spaced(dots: Dots, xs: Array, ys: Array, ink: int, gap: float) -> None:
        """Dots at equal distances along a curve."""
        inside = np.isfinite(xs) & np.isfinite(ys)
        xs, ys = xs[inside], ys[inside]
        if xs.size < 2:
            return
        length = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(xs), np.diff(ys)))])
        at = np.arange(0.0, length[-1], gap)
        dots.points(np.interp(at, length, xs), np.interp(at, length, ys), ink)

    def _name(self, xs: Array, ys: Array, line: Line) -> None:
        """Its name where it leaves the chart; none on top of another."""
        inside = np.flatnonzero((xs >= 0) & (xs < self._live.across) & (ys >= DOWN) & (ys < self._live.down))  # fmt: skip
        if not inside.size:
            return
        k = inside[line.named_at]
        x = min(int(xs[k] / ACROSS), self._live.width - len(line.name)) + AXIS_WIDTH
        y = int(ys[k] / DOWN)
        if all(y != other_y or x + len(line.name) < other_x or x > other_x + len(other) for other_x, other_y, other, _ in self._names):  # fmt: skip
            self._names.append((x, y, line.name, Ink.FAINT if line.ink == Ink.GRID else line.ink))  # fmt: skip

    def _axes(self, canvas: Canvas, scene: Scene) -> None:
        for value, name in upward_marks(self._upward, scene.units, max(3, self._live.height // 2)):
            row = int(self._upward.at(value) / DOWN)
            canvas.text_right(AXIS_WIDTH - 1, row, scene.units.figure(name), Ink.FAINT)
            canvas.put(AXIS_WIDTH - 1, row, "┤", Ink.GRID)
        axes = scene.charting.axes
        per, words = across_unit(axes, scene.units)
        for value in ticks(self._across.low / per, self._across.high / per, max(2, self._live.width // 9)):  # fmt: skip
            column = AXIS_WIDTH + int(self._across.at(value * per) / ACROSS)
            canvas.text(column - 1, canvas.height - 2, scene.units.figure(tick_text(round(value, 6))), Ink.FAINT)  # fmt: skip
        unit = absolute_unit(scene.units).symbol
        over = "psia" if unit == "psi" else f"{unit} abs"
        degrees = "°C" if scene.units.family == "si" else "°F"
        over = over if axes is Axes.PRESSURE_ENTHALPY else degrees
        canvas.text(0, canvas.height - 1, f"{over} over {words}", Ink.FAINT)

    # What lives.

    def _place(self, state: State, scene: Scene) -> tuple[float, float]:
        if scene.charting.axes is Axes.PRESSURE_ENTHALPY:
            return self._across.at(state.enthalpy), self._upward.at(state.pressure)
        return self._across.at(state.entropy), self._upward.at(state.temperature)

    def _dots_at(self, states: Sequence[State], scene: Scene) -> None:
        if states:
            xs, ys = zip(*(self._place(state, scene) for state in states), strict=True)
            keep = np.isfinite(xs) & np.isfinite(ys)
            self._live.points(np.array(xs)[keep], np.array(ys)[keep], Ink.FAINT)

    def _path(self, points: Sequence[State], scene: Scene, inks: tuple[int, int], gap: float = 0.0) -> None:  # fmt: skip
        """The edges of a cycle, drawn through or, with a gap, in dots."""
        if len(points) < 2 or scene.charted is None:
            return
        middle = middle_of_cycle(points)
        straight = scene.charting.axes is Axes.PRESSURE_ENTHALPY
        for start, end in edges(points):
            states = [start, end] if straight else edge(scene.charted, start, end)
            xs, ys = zip(*(self._place(state, scene) for state in states), strict=True)
            ink = inks[(start.pressure + end.pressure) / 2 > middle]
            if gap:
                self._spaced(self._live, np.array(xs), np.array(ys), ink, gap)
            else:
                self._live.curve(xs, ys, ink)

    def _numbers(self, canvas: Canvas, corners: Sequence[State], scene: Scene) -> None:
        """Beside their corners; side by side where corners lie on each other. What they are stands on the last line where there is room."""
        taken: set[tuple[int, int]] = set()
        names = []
        for number, corner in enumerate(corners[:4], start=1):
            x, y = self._place(corner, scene)
            if math.isfinite(x) and math.isfinite(y):
                beside = 1 if number in (1, 2) else -1
                cell = AXIS_WIDTH + int(x / ACROSS) + beside, int(y / DOWN)
                while cell in taken:
                    cell = cell[0] + 1, cell[1]
                taken.add(cell)
                names.append(CORNERS[number - 1])
                canvas.text(*cell, str(number), Ink.STRONG | BOLD)
        words, y = "  ".join(names), canvas.height - 1
        if canvas.row_text(y)[-len(words) - 1 :].isspace():
            canvas.text_right(canvas.width, y, words, Ink.FAINT)

    def _cursor(self, canvas: Canvas, scene: Scene) -> None:
        """A cross at the cursor, and its properties in the top line."""
        charting = scene.charting
        if charting.cursor is None:
            canvas.text_right(canvas.width, 0, "arrows: cursor", Ink.FAINT)
            return
        state = self.state_under(charting, scene.charted)
        column = AXIS_WIDTH + round(charting.cursor[0] * (self._live.width - 1))
        row = round((1.0 - charting.cursor[1]) * (self._live.height - 1))
        canvas.put(column, row, "+", Ink.CURSOR)
        text = state_words(state, scene) if state is not None else "outside the fluid's chart"
        canvas.text_right(canvas.width, 0, f" {text}"[-canvas.width :], Ink.STRONG)

    def state_under(self, charting: Charting, fluid: FluidChart | None) -> State | None:
        """The state that the cursor points at."""
        if charting.cursor is None or fluid is None:
            return None
        x, y = (scale.low + share * (scale.high - scale.low) for scale, share in zip((self._across, self._upward), charting.cursor, strict=True))  # fmt: skip
        if charting.axes is Axes.TEMPERATURE_ENTROPY:
            found = fluid.state_at(y, x)
        else:
            logs = math.log(self._upward.low), math.log(self._upward.high)
            found = fluid.state(math.exp(logs[0] + charting.cursor[1] * (logs[1] - logs[0])), x)
        return found if math.isfinite(found.temperature) and math.isfinite(found.enthalpy) else None

    def share_at(self, x: int, y: int) -> tuple[float, float]:
        """Shares of the chart under a cell of its window: where the mouse puts the cursor."""
        across = (x - AXIS_WIDTH) / max(self._live.width - 1, 1)
        return across, 1.0 - y / max(self._live.height - 1, 1)


def state_words(state: State, scene: Scene) -> str:
    """A state's properties in a line."""
    si, unit = scene.units.family == "si", absolute_unit(scene.units)
    symbol = "psia" if unit.symbol == "psi" else f"{unit.symbol} abs"
    pressure = (
        f"{from_si(state.pressure, unit):{'.1f' if unit.symbol == 'psi' else '.4g'}} {symbol}"
    )
    heat = f"h {state.enthalpy / 1000:.1f} kJ/kg" if si else f"h {state.enthalpy / BTU_LB:.1f} Btu/lb"  # fmt: skip
    order = f"s {state.entropy / 1000:.3f} kJ/(kg K)" if si else f"s {state.entropy / BTU_LB / 1.8:.4f} Btu/(lb °F)"  # fmt: skip
    numbers = "  ".join(scene.units.figure(text) for text in (heat, order))
    phase = "" if scene.own_work else f"  {_phase_words(state, scene)}"
    return f"{scene.units.figure(pressure)}  {scene.quantity('temperature_k', state.temperature)}  {numbers}{phase}"  # fmt: skip


def _phase_words(state: State, scene: Scene) -> str:
    """Quality, superheat or subcooling."""
    fluid = scene.charted
    assert fluid is not None
    if 0.0 <= state.quality <= 1.0:
        return scene.units.figure(f"x {state.quality:.2f}")
    if state.quality > 1.0:
        more = state.temperature - fluid.boiling_k(state.pressure)
        return f"superheat {scene.quantity('gauge_superheat_k', more)}"
    less = fluid.bubbling_k(state.pressure) - state.temperature
    return f"subcooling {scene.quantity('gauge_subcooling_k', less)}"
