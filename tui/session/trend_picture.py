"""Trends as SVG: every set that is up, over the window that was chosen, one axis a unit.

A curve goes through the first, the lowest, the highest and the last value of every point of the page across, and a solid stroke joins lowest and highest, so that
neither a long session nor a gap of its dashes hides a peak. What happened stands as numbered marks, with its words below.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from tui.draw.lists import clock_words, shortened
from tui.draw.scale import Scale, tick_text, ticks
from tui.draw.scene import Scene
from tui.draw.trend import LEAST_HEIGHTS, Numbers, axis_range, by_unit, converted, is_alarm, thinned
from tui.history import History
from tui.plant import Event
from tui.seen import instrument_label
from tui.session.paper import (
    ALARM,
    CURVES,
    FAINT,
    LEFT,
    LINE,
    RIGHT,
    TOP,
    WIDTH,
    columns,
    frame,
    rungs,
)
from tui.session.svg import Svg
from tui.trending import Trending, TrendSet
from tui.words import label_of

PANEL = 252.0
"""Height of one axis with the names above it and the minutes below."""
FOOT, ROW = 36.0, 15.0
MOST_NAMED = 12
"""Events with their words: alarms first, then the newest; the others have a mark without a number."""
LONGEST = 104
"""Characters of an event's words in a line."""
CLOSE = 14.0
"""From one number to the next, side by side."""
LEAST_BAR = 1.0
"""Closer together lowest and highest are one line anyway."""


class Mark(NamedTuple):
    """An event on the axis; number 0: without words."""

    event: Event
    number: int


def sets_up(trending: Trending) -> list[TrendSet]:
    """What the panes show; a set that both show is there once."""
    return list(dict.fromkeys(trending.shown(pane) for pane in range(len(trending.panes))))


def trends(scene: Scene, history: History, trending: Trending, chosen: Sequence[TrendSet]) -> str:
    """The sets, one below the other, over the window that was chosen."""
    window = trending.window(history.start_s, history.now_s)
    panels = [(unit, keys, CURVES[first:]) for one in chosen for unit, keys, first in _axes(one, scene)]  # fmt: skip
    marks = marked([event for event in scene.events if window[0] <= event.time_s <= window[1]])
    told = [mark for mark in marks if mark.number]
    unnamed = len(marks) - len(told)
    foot = FOOT + ROW * (len(told) + (unnamed > 0)) + (8 if told else 0)
    height = PANEL * len(panels) + foot
    svg = Svg(WIDTH, height, f"Trend: {', '.join(one.title for one in chosen)}")
    for number, (unit, keys, looks) in enumerate(panels):
        _Panel(svg, scene, history, window, PANEL * number).draw(unit, keys, looks, marks)
    y = PANEL * len(panels) + 32
    svg.write(WIDTH - RIGHT, y, "minutes of the plant's time", colour=FAINT, size=12, anchor="end")
    for row, mark in enumerate(told):
        _tell(svg, scene, mark, y + ROW * (row + 1))
    if unnamed:
        svg.write(LEFT, y + ROW * (len(told) + 1), f"and {unnamed} more, marked without a number", colour=FAINT, size=11)  # fmt: skip
    return svg.text


def _axes(chosen: TrendSet, scene: Scene) -> list[tuple[str, list[str], int]]:
    """(unit, readings, how many of the set came before)."""
    found, first = [], 0
    for unit, keys in by_unit(chosen.keys, scene):
        found.append((unit, keys, first))
        first += len(keys)
    return found


def marked(events: Sequence[Event]) -> list[Mark]:
    """All of them in their order; those that are told, numbered."""
    order = sorted(range(len(events)), key=lambda k: (not is_alarm(events[k]), -k))
    told = sorted(order[:MOST_NAMED])
    return [Mark(event, told.index(k) + 1 if k in told else 0) for k, event in enumerate(events)]


def _tell(svg: Svg, scene: Scene, mark: Mark, y: float) -> None:
    event = mark.event
    colour, sign = (ALARM, "!") if is_alarm(event) else (FAINT, "")
    words = f"{mark.number}{sign}  {clock_words(event.time_s)}  {event.tag} {scene.told(event)}"
    svg.write(LEFT, y, shortened(words, LONGEST), colour=colour, size=11, bold=bool(sign))


class _Panel:
    """Readings of one unit."""

    def __init__(self, svg: Svg, scene: Scene, history: History, window: tuple[float, float], above: float) -> None:  # fmt: skip
        self.svg, self.scene, self.history, self.window, self.above = svg, scene, history, window, above  # fmt: skip
        self.top, self.bottom = above + TOP, above + PANEL - 18

    def draw(self, unit: str, keys: Sequence[str], looks: Sequence[tuple[str, str]], marks: Sequence[Mark]) -> None:  # fmt: skip
        """Axis, marks of events, curves, their names."""
        svg, scene = self.svg, self.scene
        times, lows, highs = self.history.window(tuple(keys), *self.window, scene.instructor)
        curves = [(converted(key, low, scene), converted(key, high, scene)) for key, low, high in zip(keys, lows, highs, strict=True)]  # fmt: skip
        low, high = axis_range(curves, LEAST_HEIGHTS.get(unit, 0.2))
        across = Scale(self.window[0] / 60, self.window[1] / 60, LEFT, WIDTH - RIGHT)
        upward = Scale(low, high, self.bottom, self.top)
        figure = scene.units.figure
        rungs(svg, [(upward.at(value), figure(tick_text(round(value, 6)))) for value in ticks(low, high, 6)])  # fmt: skip
        columns(svg, [(across.at(minute), figure(tick_text(round(minute, 6)))) for minute in ticks(across.low, across.high, 8) if minute >= 0], self.top, self.bottom)  # fmt: skip
        svg.write(8, self.above + 22, unit, colour=FAINT, size=12)
        self._marks(marks, across)
        with svg.inside(LEFT, self.top, WIDTH - LEFT - RIGHT, self.bottom - self.top):
            for curve, look in zip(curves, looks, strict=False):
                self._curve(across(times / 60), upward(curve[0]), upward(curve[1]), look)
        frame(svg, self.top, self.bottom)
        self._names(keys, looks)

    def _marks(self, marks: Sequence[Mark], across: Scale) -> None:
        """A stroke an event; numbers that would touch stand below each other."""
        last, row = -CLOSE, 0
        for event, number in marks:
            x, alarm = across.at(event.time_s / 60), is_alarm(event)
            top = self.top if number else self.bottom - 8
            self.svg.line([(x, top), (x, self.bottom)], ALARM if alarm else LINE, 1.2 if alarm else 0.8, "" if alarm else "1 2")  # fmt: skip
            if number:
                row = row + 1 if x - last < CLOSE else 0
                last = x
                self.svg.write(x + 2, self.top + 10 + 10 * row, f"{number}{'!' if alarm else ''}", colour=ALARM if alarm else FAINT, size=9, bold=alarm)  # fmt: skip

    def _curve(self, xs: Numbers, tops: Numbers, feet: Numbers, look: tuple[str, str]) -> None:
        """Through every value that a point of the page across has; lowest and highest joined."""
        colour, dash = look
        at, ys = thinned(np.repeat(xs, 2), np.stack([tops, feet], axis=1).ravel(), int(WIDTH))
        self.svg.line(zip(at.tolist(), ys.tolist(), strict=True), colour, 1.8, dash)
        starts = np.flatnonzero(np.r_[True, at[1:] != at[:-1]]) if at.size else np.empty(0, np.intp)
        highest, lowest = (line.reduceat(ys, starts) if at.size else ys for line in (np.minimum, np.maximum))  # fmt: skip
        for x, top, foot in zip(at[starts].tolist(), highest.tolist(), lowest.tolist(), strict=True):  # fmt: skip
            if foot - top > LEAST_BAR:
                self.svg.line([(x, top), (x, foot)], colour, 1.2)

    def _names(self, keys: Sequence[str], looks: Sequence[tuple[str, str]]) -> None:
        scene, x = self.scene, LEFT
        for key, (colour, dash) in zip(keys, looks, strict=False):
            name = label_of(key) if scene.snapshot is None else instrument_label(scene.snapshot, key)  # fmt: skip
            words = f"{name} {scene.words(key)}"
            self.svg.line([(x, self.above + 18), (x + 24, self.above + 18)], colour, 2.4, dash)
            self.svg.write(x + 29, self.above + 22, words, colour=colour, size=12, bold=True)
            x += 50 + 7.4 * len(words)
