"""The drawn plant: pipes, coils, symbols and texts of one drawing, with the plant's state in them.

What does not change between frames (cells, characters by phase) is worked out once for a drawing and a set of glyphs.
"""

from __future__ import annotations

from collections.abc import Sequence

from tui.draw.canvas import Canvas
from tui.draw.drawing import BOXES, PORTLESS, Coil, Drawing, Rect, Text
from tui.draw.glyphs import Glyphs
from tui.draw.holds import holds_of, title_of
from tui.draw.ink import BOLD, Ink
from tui.draw.letters import letter_spots
from tui.draw.pipe_inks import number_ink
from tui.draw.pipes import lines_of, paint_lines
from tui.draw.plant_legend import legends, scale_room
from tui.draw.scene import Scene
from tui.draw.symbols import PAINTERS
from tui.roles import REJECTS
from tui.seen import against

MOST_LETTERS = 2
"""Letters of a jump."""


class PlantPicture:
    """One drawing, ready to paint."""

    def __init__(self, drawing: Drawing, glyphs: Glyphs) -> None:
        self.drawing = drawing
        self.glyphs = glyphs
        self.lines = lines_of(drawing, glyphs)
        self.fins = {node: room for coil in drawing.coils for node, room in fins_of(coil)}
        self.joints = _joints(drawing)
        self.order = tuple(sorted(drawing.symbols, key=lambda symbol: symbol.shape in PORTLESS))
        flat = {symbol.tag for symbol in drawing.symbols if symbol.shape in PORTLESS}
        self.holds = tuple(sorted(holds_of(drawing), key=lambda hold: hold.tag in flat))

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows."""
        return self.drawing.sheet.width, self.drawing.sheet.height

    def paint(self, canvas: Canvas, scene: Scene) -> None:
        """Paint the plant from the top left corner of ``canvas``, which is at least as large as the sheet."""
        for coil in self.drawing.coils:
            self._frame(canvas, coil, scene)
        paint_lines(canvas, self.lines, scene)
        for node in scene.white.intersection(self.fins):
            frost(canvas.window(*self.fins[node]), scene)
        for text in self.drawing.texts:
            self._text(canvas, text, scene)
        for symbol in self.order:
            PAINTERS[symbol.shape](canvas, symbol, scene)
        for x, y, side in self.joints:
            char = chr(canvas.chars[y, x])
            canvas.chars[y, x] = ord(JOINED.get(char + side, char))
        legends(canvas, self.drawing.sheet, scene)
        self._letters(canvas, scene)

    def explains_colours(self, x: int, y: int) -> bool:
        """Does the legend that says what the pipes' colours mean stand at (x, y)?"""
        room = scale_room(self.drawing.sheet)
        return room is not None and room.holds(x, y)

    def tag_at(self, x: int, y: int) -> str:
        """What one chooses by a click at (x, y), or ''."""
        return next((hold.tag for hold in reversed(self.holds) if any(rect.holds(x, y) for rect in hold.rects)), "")  # fmt: skip

    def _frame(self, canvas: Canvas, coil: Coil, scene: Scene) -> None:
        x, y, width, height = coil.rect
        canvas.box(x, y, width, height, scene.glyphs.frame, Ink.PART)
        canvas.text(
            x + 1, y, f" {f'{coil.what} {function_of(coil.tag, scene)}'.strip()} ", Ink.TITLE
        )
        if coil.tag == scene.selected:
            title = title_of(coil)
            canvas.text(title.x, title.y, coil.what, Ink.CURSOR)

    def _text(self, canvas: Canvas, text: Text, scene: Scene) -> None:
        if text.truth_only and not scene.instructor:
            return
        if text.against:
            warned = against(scene.snapshot, text.against)
            canvas.text(text.at[0], text.at[1], text.words if warned else "", Ink.CAUTION | BOLD)
            return
        x, y, width, _ = text.rect
        chosen = text.tags.index(scene.selected) if scene.selected in text.tags else -1
        end = canvas.text(x, y, text.words[:width], Ink.CURSOR if chosen == 0 else Ink.FAINT)
        if not text.reading:
            return
        number = scene.number(text.reading)
        shown = scene.words(text.reading)
        if text.then:
            shown = f"{shown.partition(' ')[0]} {scene.glyphs.to} {scene.words(text.then)}"
        ink = number_ink(number, scene) if text.reading.endswith("temperature_k") else Ink.STRONG | BOLD  # fmt: skip
        start = end + 1 if text.words else x
        if text.words:
            canvas.text(end, y, " ")  # on a coil's frame a stroke before a number reads as a minus
        canvas.text(start, y, shown[: max(0, x + width - start)], ink)
        if chosen == 1:
            second = shown.rindex(scene.glyphs.to) + 2
            canvas.text(start + second, y, shown[second : max(0, x + width - start)], Ink.CURSOR)

    def _letters(self, canvas: Canvas, scene: Scene) -> None:
        if not scene.letters:
            return
        spots = letter_spots(self.drawing, MOST_LETTERS)
        for tag, letters in scene.letters.items():
            if tag in spots:
                canvas.text(*spots[tag], letters, Ink.CURSOR)


JOINED = dict(zip(("─n", "─s", "│e", "│w", "━n", "━s", "┃e", "┃w"), "┴┬├┤┻┳┣┫", strict=True))
"""What becomes of a piece of a frame where a pipe meets it from the north, south, east or west."""


def _joints(drawing: Drawing) -> list[tuple[int, int, str]]:
    """(x, y, side) of every cell of a box's frame that a pipe ends at."""
    found = []
    for box in (symbol for symbol in drawing.symbols if symbol.shape in BOXES):
        x, y, width, height = box.rect
        for end_x, end_y in drawing.box_ends.intersection(box.ports):
            if x <= end_x < x + width:
                found.append((end_x, y, "n") if end_y < y else (end_x, y + height - 1, "s"))
            else:
                found.append((x, end_y, "w") if end_x < x else (x + width - 1, end_y, "e"))
    return found


def fins_of(coil: Coil) -> list[tuple[str, Rect]]:
    """Node -> the room of its fins inside the coil's frame."""
    x, y, width, height = coil.rect
    return [(node, Rect(x + 1 + left, y + 1, right - left, height - 2)) for node, left, right in _shares(coil.nodes, width - 2)]  # fmt: skip


def _shares(nodes: Sequence[str], width: int) -> list[tuple[str, int, int]]:
    cuts = [round(k * width / len(nodes)) for k in range(len(nodes) + 1)]
    return [(node, cuts[k], cuts[k + 1]) for k, node in enumerate(nodes)]


def frost(fins: Canvas, scene: Scene) -> None:
    """White between the passes; the pipe itself keeps its line."""
    blank = fins.chars == ord(" ")
    fins.chars[blank] = ord(scene.glyphs.frost)
    fins.inks[blank] = Ink.FROST


def function_of(coil: str, scene: Scene) -> str:
    """What a coil does now, by where the reversing valve's slide stands; '' before the plant is there."""
    if scene.snapshot is None:
        return ""
    slide = scene.slide()
    if 0.05 < slide < 0.95:
        return "changing over"
    rejects = (coil in scene.roles.named(REJECTS)) != scene.heating
    return "condenser" if rejects else "evaporator"
