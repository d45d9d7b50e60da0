"""What the signs on the plant's sheet mean: line styles, what colours say and the signs in a glass where its sheet has room, the valves' handles on the upper edge of its frame at any size."""

from __future__ import annotations

from tui.draw.canvas import Canvas
from tui.draw.drawing import Rect, Sheet
from tui.draw.glyphs import EAST, WEST, Glyphs, Phase
from tui.draw.ink import BOLD, COLDEST_K, HEAT_STEPS, HOTTEST_K, Ink
from tui.draw.pipe_inks import EQUAL, SIDE_INKS, SIDE_WORDS, sided
from tui.draw.scene import Scene
from tui.draw.symbols import whole
from tui.glasses import GLASSES, drawn_glass

LINES = ((Phase.LIQUID, "liquid"), (Phase.MIXTURE, "mixture"), (Phase.VAPOUR, "vapour"))
SEEN_IN_GLASS = [state for state, glass in GLASSES.items() if glass.sign.strip()]
"""A clear glass has no sign to explain."""
LINES_WIDTH = sum(len(words) + 5 for _, words in LINES) - 2
GLASS_WIDTH = sum(len(state) + 4 for state in SEEN_IN_GLASS) - 1
HEAT_WIDTH = HEAT_STEPS + len("-30  194 °F")
"""Of the widest figures that the two systems have for the scale's ends."""
Signs = list[tuple[str, int, str]]
"""(sign, its ink, what it means)."""


def legends(canvas: Canvas, sheet: Sheet, scene: Scene) -> None:
    """Everything that the sheet itself has a place for."""
    for at, paint in ((sheet.legend, _lines), (sheet.heat, _colours), (sheet.glass, _glasses)):
        if at:
            paint(canvas, at[0], at[1], scene)


def legend_rooms(sheet: Sheet) -> list[tuple[str, Rect]]:
    """(what, cells) of the same, as wide as it can get."""
    rooms = (("the line styles", sheet.legend, LINES_WIDTH), ("the temperature scale", sheet.heat, HEAT_WIDTH), ("the signs of a glass", sheet.glass, GLASS_WIDTH))  # fmt: skip
    return [(what, Rect(at[0], at[1], width, 1)) for what, at, width in rooms if at]


def scale_room(sheet: Sheet) -> Rect | None:
    """Cells of what explains the pipes' colours."""
    return Rect(sheet.heat[0], sheet.heat[1], HEAT_WIDTH, 1) if sheet.heat else None


def _colours(canvas: Canvas, x: int, y: int, scene: Scene) -> None:
    """What the pipes' colours say now: temperatures, or sides with the letters that stand in the pipes."""
    if not scene.by_side:
        _heat(canvas, x, y, scene)
    elif not sided(scene):
        canvas.text(x, y, EQUAL, Ink.PART)
    else:
        for side, ink in SIDE_INKS.items():
            stroke = scene.glyphs.lines[Phase.VAPOUR.value][EAST | WEST]
            x = canvas.text(x, y, f"{stroke}{side.value}", ink | BOLD)
            x = canvas.text(x + 1, y, SIDE_WORDS[side], Ink.FAINT) + 2


def _lines(canvas: Canvas, x: int, y: int, scene: Scene) -> None:
    """Line styles."""
    for phase, words in LINES:
        stroke = scene.glyphs.lines[phase.value][EAST | WEST]
        x = canvas.text(x, y, stroke * 2, Ink.STRONG)
        x = canvas.text(x + 1, y, words, Ink.FAINT) + 2


def _heat(canvas: Canvas, x: int, y: int, scene: Scene) -> None:
    """Temperature colours from the coldest to the warmest."""
    coldest = scene.quantity("temperature_k", COLDEST_K).partition(scene.units.figure("."))[0]
    x = canvas.text(x, y, coldest, Ink.FAINT)
    for step in range(HEAT_STEPS):
        x = canvas.text(x + (step == 0), y, scene.glyphs.full, Ink.HEAT_0 + step)
    canvas.text(x + 1, y, whole(scene.quantity("temperature_k", HOTTEST_K)), Ink.FAINT)


def _glasses(canvas: Canvas, x: int, y: int, scene: Scene) -> None:
    """What is seen in a glass, as it is drawn there."""
    for state in SEEN_IN_GLASS:
        x = canvas.text(x, y, drawn_glass(state, scene.glyphs), Ink.PART | BOLD)  # fmt: skip
        x = canvas.text(x, y, GLASSES[state].looks, Ink.FAINT) + 1


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
