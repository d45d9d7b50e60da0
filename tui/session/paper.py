"""What charts on paper have in common: size, inks, the names along an axis. Dark on white; what differs by colour differs by dashes too."""

from __future__ import annotations

from collections.abc import Iterable

from tui.session.svg import Svg

WIDTH = 760.0
LEFT, RIGHT, TOP = 70.0, 20.0, 34.0
GRID, FAINT, LINE, DOME = "#d8dce0", "#5a6470", "#9aa4ae", "#333a42"
HIGH, LOW, KEPT, ALARM = "#b3400e", "#0b5fa5", "#6b3fa0", "#a61b14"
CURVES = (("#0b5fa5", ""), ("#b3400e", "7 3"), ("#2d6a2d", "2 3"), ("#6b3fa0", "9 3 2 3"))
"""Colour and dash; each colour reaches a contrast of 4.5:1 on white (WCAG 2.1, 1.4.3)."""


def rungs(svg: Svg, marks: Iterable[tuple[float, str]]) -> None:
    """Lines across the chart at (y, name)."""
    for y, name in marks:
        svg.line([(LEFT, y), (WIDTH - RIGHT, y)], GRID)
        svg.write(LEFT - 6, y + 4, name, colour=FAINT, size=11, anchor="end")


def columns(svg: Svg, marks: Iterable[tuple[float, str]], top: float, bottom: float) -> None:
    """Lines down the chart at (x, name)."""
    for x, name in marks:
        svg.line([(x, top), (x, bottom)], GRID)
        svg.write(x, bottom + 15, name, colour=FAINT, size=11, anchor="middle")


def frame(svg: Svg, top: float, bottom: float) -> None:
    """The chart's own rectangle."""
    svg.box(LEFT, top, WIDTH - LEFT - RIGHT, bottom - top, "none", FAINT)
