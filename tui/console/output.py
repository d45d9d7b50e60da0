"""Where words go: results to standard output, everything else to standard error; tables, and a bar that only a terminal sees."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap
import time
from collections.abc import Callable, Iterable, Sequence
from itertools import zip_longest
from typing import TextIO

from sim.readings import describe
from sim.units import on_screen, screen_unit
from tui.words import PERCENT, ROOMS_AIR

BAR_CELLS = 30
GAP = "  "
NARROWEST = 10
"""Characters of a column below which breaking its words helps nobody; guess."""
SHOWN = "_shown"
"""End of the name of what an instrument shows."""
SMALLEST_PRINTED = 1e-6
"""Below this a number in a table is rounding dirt; guess: the smallest that matters, condensate in kg/s, is ten times larger."""
BAR_EVERY_S = 0.1  # guess: ten times a second looks smooth and costs nothing


def say(text: str = "") -> None:
    """A result, on standard output."""
    print(text)


def tell(text: str) -> None:
    """Anything that is not the result, on standard error."""
    print(text, file=sys.stderr)


def coloured(stream_is_terminal: bool) -> bool:
    """Colour only on a terminal, and not when NO_COLOR is set to anything (no-color.org)."""
    return stream_is_terminal and not os.environ.get("NO_COLOR")


def screen_width(stream: TextIO | None = None) -> int | None:
    """Columns of the terminal that a stream goes to; None for a file or a pipe, where a row stays one line for other programs."""
    stream = sys.stdout if stream is None else stream
    if not stream.isatty():
        return None
    return shutil.get_terminal_size().columns


def table(head: Sequence[str], rows: Iterable[Sequence[str]], width: int | None = None) -> str:
    """Rows in columns as wide as their widest cell; the last column is never padded. With a ``width`` long cells are broken so that the table fits."""
    lines = [list(head), *(list(row) for row in rows)]
    widths = _widths([max(len(line[i]) for line in lines) for i in range(len(head))], width)
    text = []
    for number, line in enumerate(lines):
        cells = [textwrap.wrap(cell, wide) or [""] for cell, wide in zip(line, widths, strict=True)]
        for parts in zip_longest(*cells, fillvalue=""):
            said = [part.ljust(wide) for part, wide in zip(parts, widths, strict=True)]
            text.append(GAP.join(said).rstrip())
        if number == 0:
            text.append(GAP.join("-" * wide for wide in widths))
    return "\n".join(text)


def _widths(natural: list[int], width: int | None) -> list[int]:
    """Widths of columns: the widest gives way until all fit, or none is wide any more; the first one, a name, is never broken."""
    widths = [max(wide, 1) for wide in natural]
    while width is not None and sum(widths) + len(GAP) * (len(widths) - 1) > width:
        widest = max(range(1, len(widths)), key=widths.__getitem__, default=0)
        if widths[widest] <= NARROWEST:
            break
        widths[widest] -= 1
    return widths


def reading_row(name: str, value: float | str, atmosphere_pa: float) -> tuple[str, str, str]:
    """(name, SI value with unit, the same as a dial shows it) for the tables of ``run`` and ``steady``."""
    try:
        unit = describe(name)[0]
    except KeyError:
        unit = ""
    if isinstance(value, str):
        return name, value, ""
    value = value if abs(value) >= SMALLEST_PRINTED else 0.0
    plain = f"{value:.6g} {unit}".rstrip()
    key = name.removesuffix(SHOWN)
    if key in PERCENT:
        return name, plain, f"{100 * value:.0f} %"
    dial = screen_unit(key, "si")
    if name == ROOMS_AIR:  # a gauge would show nothing but 0
        return name, plain, f"{value / 1e5:.4g} bar abs"
    if dial.symbol in ("", unit):
        return name, plain, ""
    number, symbol = on_screen(key, value, "si", atmosphere_pa)
    return name, plain, f"{number:.4g} {symbol}"


class Progress:
    """A bar on standard error while something runs; silent unless that is a terminal."""

    def __init__(self, title: str, *, quiet: bool = False) -> None:
        self._title = title
        self._stream = sys.stderr
        self._shown = not quiet and self._stream is not None and self._stream.isatty()
        self._last = float("-inf")

    def __call__(self, share: float, note: str = "") -> None:
        """Show that ``share`` (0 to 1) is done."""
        now = time.monotonic()
        if not self._shown or (share < 1.0 and now - self._last < BAR_EVERY_S):
            return
        self._last = now
        full = round(min(max(share, 0.0), 1.0) * BAR_CELLS)
        bar = "#" * full + "." * (BAR_CELLS - full)
        if coloured(True):
            bar = f"\x1b[36m{bar}\x1b[0m"
        self._stream.write(f"\r\x1b[K{self._title} [{bar}] {share:4.0%} {note}".rstrip())
        self._stream.flush()

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        self.clear()

    def clear(self) -> None:
        """Take the bar off the screen."""
        if self._shown:
            self._stream.write("\r\x1b[K")
            self._stream.flush()


def first_start() -> Callable[[str, float | None], None]:
    """A bar for what the very first command on a machine has to compile."""
    bar = Progress("first start")

    def told(what: str, share: float | None) -> None:
        bar(share or 0.0, what)
        if share == 1.0:
            bar.clear()

    return told
