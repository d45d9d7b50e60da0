"""What the signs on the plant's sheet mean: line styles and temperature colours below the plant where its sheet has room, the valves' handles on the upper edge of its frame at any size."""

from __future__ import annotations

from tui.draw.canvas import Canvas
from tui.draw.glyphs import EAST, WEST, Glyphs, Phase
from tui.draw.ink import BOLD, COLDEST_K, HEAT_STEPS, HOTTEST_K, Ink
from tui.draw.scene import Scene
from tui.draw.symbols import whole

LINES = ((Phase.LIQUID, "liquid"), (Phase.MIXTURE, "mixture"), (Phase.VAPOUR, "vapour"))
Signs = list[tuple[str, int, str]]
"""(sign, its ink, what it means)."""


def legend(canvas: Canvas, x: int, y: int, scene: Scene) -> None:
    """Line styles and temperature colours, in the sheet's own corner."""
    for phase, words in LINES:
        stroke = scene.glyphs.lines[phase.value][EAST | WEST]
        x = canvas.text(x, y, stroke * 2, Ink.STRONG)
        x = canvas.text(x + 1, y, words, Ink.FAINT) + 2
    coldest = scene.quantity("temperature_k", COLDEST_K).partition(scene.units.figure("."))[0]
    x = canvas.text(x, y, coldest, Ink.FAINT)
    for step in range(HEAT_STEPS):
        x = canvas.text(x + (step == 0), y, scene.glyphs.full, Ink.HEAT_0 + step)
    canvas.text(x + 1, y, whole(scene.quantity("temperature_k", HOTTEST_K)), Ink.FAINT)


def edge_signs(glyphs: Glyphs, *, lines: bool) -> Signs:
    """What stands on the frame; ``lines``: the sheet has no room for the line styles."""
    left, right = glyphs.valve[0], glyphs.valve[1]
    along, across = (f"{left}{hands[0]}{right} {left}{hands[1]}{right}" for hands in (glyphs.along, glyphs.athwart))  # fmt: skip
    valves: Signs = [(along, Ink.OPEN, "open"), (across, Ink.SHUT, "shut"), (f"{left}{glyphs.throttled}{right}", Ink.OPEN, "part")]  # fmt: skip
    if lines:
        return [*((glyphs.lines[phase.value][EAST | WEST], int(Ink.STRONG), words) for phase, words in LINES), *valves]  # fmt: skip
    return [*valves, (glyphs.drop, Ink.TEXT | BOLD, "condensing"), (glyphs.bubble, Ink.TEXT | BOLD, "boiling")]  # fmt: skip


def paint_edge(canvas: Canvas, x: int, y: int, right: int, signs: Signs) -> None:
    """As many signs as there is room for up to ``right``, from the right edge back, whole ones only."""
    room = right - x - 1
    while signs and _width(signs) > room:
        signs = signs[:-1]
    x = right - _width(signs)
    for sign, ink, words in signs:
        x = canvas.text(x, y, f" {sign}", ink)
        x = canvas.text(x, y, f" {words} ", Ink.FAINT)


def _width(signs: Signs) -> int:
    return sum(len(sign) + len(words) + 3 for sign, _, words in signs)
