"""A small SVG writer: lines, texts, rectangles, in millimetres-free user units. Everything that is text is escaped."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from html import escape

from sim.cautions import all_cautions

FONT = "system-ui, 'DejaVu Sans', Arial, sans-serif"
MONO = "'DejaVu Sans Mono', 'Noto Sans Mono', Menlo, Consolas, monospace"


class Svg:
    """Collects shapes; ``text`` is the whole file."""

    def __init__(self, width: float, height: float, title: str, *, ground: str = "#ffffff", font: str = FONT) -> None:  # fmt: skip
        self.width, self.height, self.title = width, height, title
        self.ground, self.font = ground, font
        self._shapes: list[str] = []

    def line(self, points: Iterable[tuple[float, float]], colour: str, width: float = 1.0, dash: str = "") -> None:  # fmt: skip
        """A line through points; a point that is not a number interrupts it."""
        for run in _runs(points):
            path = " ".join(f"{x:.1f},{y:.1f}" for x, y in run)
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            self._shapes.append(f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="{width:g}" stroke-linejoin="round"{dashed}/>')  # fmt: skip

    def write(self, x: float, y: float, text: str, *, colour: str = "#222222", size: float = 12, anchor: str = "start", bold: bool = False, length: float = 0) -> None:  # fmt: skip
        """Text with its baseline at y; ``length`` makes it exactly so wide."""
        weight = ' font-weight="bold"' if bold else ""
        fixed = f' textLength="{length:.1f}" lengthAdjust="spacingAndGlyphs"' if length else ""
        self._shapes.append(f'<text x="{x:.1f}" y="{y:.1f}" fill="{colour}" font-size="{size:g}" text-anchor="{anchor}"{weight}{fixed} xml:space="preserve">{_clean(text)}</text>')  # fmt: skip

    def box(self, x: float, y: float, width: float, height: float, fill: str, stroke: str = "none") -> None:  # fmt: skip
        """A rectangle."""
        self._shapes.append(f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" fill="{fill}" stroke="{stroke}"/>')  # fmt: skip

    def dot(self, x: float, y: float, radius: float, fill: str) -> None:
        """A filled circle."""
        self._shapes.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:g}" fill="{fill}"/>')

    @contextmanager
    def inside(self, x: float, y: float, width: float, height: float) -> Iterator[None]:
        """What is drawn meanwhile ends at the edges of a rectangle; in the same units. An inner picture needs no id, of which a page with several charts must not have two."""
        place = f"{x:.1f} {y:.1f} {width:.1f} {height:.1f}"
        self._shapes.append(f'<svg x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" viewBox="{place}" overflow="hidden">')  # fmt: skip
        yield
        self._shapes.append("</svg>")

    @property
    def text(self) -> str:
        """The file."""
        head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:g} {self.height:g}" width="{self.width:g}" height="{self.height:g}" role="img" font-family="{self.font}">'  # fmt: skip
        ground = f'<rect width="100%" height="100%" fill="{self.ground}"/>'
        caution = f"<desc>{_clean(all_cautions()['general'].line())}</desc>"
        return "\n".join([head, f"<title>{_clean(self.title)}</title>", caution, ground, *self._shapes, "</svg>", ""])  # fmt: skip


def _clean(text: str) -> str:
    """Escaped, without characters that XML does not know."""
    return escape("".join(c if c.isprintable() else " " for c in text))


def _runs(points: Iterable[tuple[float, float]]) -> Iterable[list[tuple[float, float]]]:
    run: list[tuple[float, float]] = []
    for x, y in points:
        if math.isfinite(x) and math.isfinite(y):
            run.append((x, y))
            continue
        if len(run) > 1:
            yield run
        run = []
    if len(run) > 1:
        yield run
