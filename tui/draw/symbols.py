"""How each shape on a sheet is painted: valves, vessels, compressor, reversing valve, fans, switches.

A valve is drawn as two wings with its handle between them: the handle lies along the pipe when the valve is open and across it when it is shut, as on a ball
valve. So its position is readable in any theme and without colour.
"""

from __future__ import annotations

from collections.abc import Callable

from sim.switches import EMERGENCY_STOP
from tui.draw.canvas import Canvas
from tui.draw.drawing import Symbol
from tui.draw.ink import BOLD, Ink
from tui.draw.pipe_inks import number_ink, pipe_ink
from tui.draw.scene import Scene
from tui.glasses import drawn_glass
from tui.words import MISSING

STOP_TAG = EMERGENCY_STOP
Painter = Callable[[Canvas, Symbol, Scene], None]


def _chip_ink(symbol: Symbol, scene: Scene, plain: int) -> int:
    """Cursor and waiting come before what the symbol would look like."""
    if symbol.tag == scene.selected:
        return Ink.CURSOR
    return Ink.WAITING if symbol.tag in scene.waiting else plain


def handle(scene: Scene, across: bool, share: float) -> str:
    """The character between a valve's wings."""
    glyphs = scene.glyphs
    if 0.0 < share < 1.0:
        return glyphs.throttled
    handles = glyphs.along if share >= 1.0 else glyphs.athwart
    return handles[0 if across else 1]


def valve(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """A hand valve: ``►─◄`` open, ``►│◄`` shut (in a pipe that runs across)."""
    x, y = symbol.at[0], symbol.at[1]
    share = scene.share(symbol.tag)
    wings = scene.glyphs.valve
    ink = _chip_ink(symbol, scene, Ink.OPEN if share > 0 else Ink.SHUT)
    canvas.text(x - 1, y, wings[0] + handle(scene, symbol.way == "across", share) + wings[1], ink)
    _label(canvas, symbol, scene)


def solenoid(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """A solenoid valve: its position comes from the plant, not from a hand."""
    x, y = symbol.at[0], symbol.at[1]
    share = 1.0 if _energised(symbol, scene) else 0.0
    ink = _chip_ink(symbol, scene, Ink.OPEN if share > 0 else Ink.SHUT)
    across = symbol.way == "across"
    middle = handle(scene, across, share)
    canvas.text(x - 1, y, f"[{middle}]", ink)
    _label(canvas, symbol, scene)


def _energised(symbol: Symbol, scene: Scene) -> bool:
    positions = scene.snapshot.positions if scene.snapshot is not None else {}
    if symbol.tag in positions:
        return positions[symbol.tag] > 0.5
    return scene.setting(symbol.worked_by) == "on" and not scene.number("voltage_v") < 1.0


def device(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """A metering device: a chip that carries its own tag."""
    x, y, width, _ = symbol.rect
    canvas.text(x, y, symbol.tag[:width].center(width), _chip_ink(symbol, scene, Ink.KEY))
    if symbol.words:
        canvas.text(symbol.at[0] + 2, y + 1, symbol.words, Ink.FAINT)


def _inline(chars: Callable[[Scene, Symbol], tuple[str, int]]) -> Painter:
    def paint(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
        text, ink = chars(scene, symbol)
        canvas.text(symbol.at[0] - 1, symbol.at[1], text, _chip_ink(symbol, scene, ink))
        _label(canvas, symbol, scene)

    return paint


def _drier(scene: Scene, symbol: Symbol) -> tuple[str, int]:
    return "[#]", Ink.PART | BOLD


def _glass(scene: Scene, symbol: Symbol) -> tuple[str, int]:
    """What ``tui.glasses`` has for what is in it; a clear glass may be full of liquid or of nothing but vapour, as on a real plant."""
    seen = scene.reading(symbol.reading or "sight_glass")
    return drawn_glass(str(seen), scene.glyphs), Ink.PART | BOLD


def _flowmeter(scene: Scene, symbol: Symbol) -> tuple[str, int]:
    return f"[{scene.glyphs.arrows[0]}]", Ink.PART | BOLD


def vessel(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """A frame filled to its level, with the level in percent."""
    x, y, width, height = symbol.rect
    canvas.box(x, y, width, height, scene.glyphs.frame, _chip_ink(symbol, scene, Ink.PART))
    level = scene.level(symbol.level or symbol.tag)
    if level is not None:
        _fill(canvas.window(x + 1, y + 1, width - 2, height - 2), level, scene)
    inside = canvas.window(x + 1, y + 1, width - 2, height - 2)
    if symbol.words:
        _over(inside, 0, symbol.words, Ink.TEXT)
    if symbol.reading:
        _over(inside, inside.height - 1, scene.words(symbol.reading), Ink.STRONG | BOLD)
    _label(canvas, symbol, scene)


def _fill(inside: Canvas, level: float, scene: Scene) -> None:
    eighths = round(max(0.0, min(1.0, level)) * inside.height * 8)
    for row in range(inside.height):
        part = max(0, min(8, eighths - 8 * (inside.height - 1 - row)))
        inside.text(0, row, scene.glyphs.eighths[part] * inside.width, Ink.LIQUID)


def _over(inside: Canvas, row: int, text: str, ink: int) -> None:
    """Text over a filling, in the middle; a cell of space at each side keeps it readable."""
    padded = f" {text} " if len(text) + 2 <= inside.width else text
    inside.text_middle(row, padded[: inside.width], ink)


def compressor(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """A frame with tag, a turning mark while it runs, and what it draws."""
    x, y, width, height = symbol.rect
    running = scene.snapshot is not None and scene.snapshot.running
    ink = _chip_ink(symbol, scene, Ink.PART | BOLD if running else Ink.PART)
    strokes = scene.glyphs.heavy_frame if running else scene.glyphs.frame
    canvas.box(x, y, width, height, strokes, ink)
    inside = canvas.window(x + 1, y + 1, width - 2, height - 2)
    spin = scene.glyphs.spinner[int(scene.drift.clock_s * 8) % 4] if running else scene.glyphs.dot
    inside.text_middle(0, f"{symbol.tag} {spin}", _chip_ink(symbol, scene, Ink.STRONG | BOLD))
    inside.text_middle(1, "runs" if running else "stopped", Ink.TEXT)
    shell_k = scene.number("shell_temperature_k")
    if inside.height > 2:
        inside.text_middle(2, fitted(scene.words("shell_temperature_k"), inside.width), number_ink(shell_k, scene))  # fmt: skip


def fitted(words: str, width: int) -> str:
    """A number with its unit, without decimals where there is no room for them; never cut short."""
    number = words.partition(" ")[0]
    if len(words) <= width or not {".", ","} & set(number):
        return words
    return whole(words)


def whole(words: str) -> str:
    """A number with its unit, rounded, whatever its decimal sign."""
    number, _, unit = words.partition(" ")
    return f"{float(number.replace(',', '.')):.0f} {unit}"


def reversing(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """Four ports: above to one coil, below to the other, right to discharge (upper) and suction (lower). Passages run side by side or crossed."""
    x, y, width, height = symbol.rect
    canvas.box(x, y, width, height, scene.glyphs.frame, _chip_ink(symbol, scene, Ink.PART))
    inside = canvas.window(x + 1, y + 1, width - 2, height - 2)
    slide = scene.slide()
    inks = [pipe_ink(scene.place(node), scene) for node in ("discharge", "suction_line")]
    for row, text in enumerate(_passages(slide, scene)):
        inside.text(0, row, text, inks[row // 2] | BOLD)
    at = round(slide * (inside.width - 1)) if 0.02 < slide < 0.98 else -1
    if at >= 0:
        inside.text(0, 1, scene.glyphs.dot * inside.width, Ink.FAINT)
        inside.put(at, 1, scene.glyphs.mark, Ink.CAUTION | BOLD)
    _label(canvas, symbol, scene)


_PLAIN = str.maketrans("─│╭╮╰╯┼", "-|+++++")


def _passages(slide: float, scene: Scene) -> tuple[str, ...]:
    side_by_side = (" ╰───", "     ", "   ╭─")
    crossed = (" │ ╭─", " │ │ ", " ╰─┼─")
    rows = crossed if slide > 0.5 else side_by_side
    return rows if scene.glyphs.name != "ascii" else tuple(row.translate(_PLAIN) for row in rows)


def chip(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """A tag that stands for itself: trip, relief valve, service port."""
    tripped = scene.snapshot is not None and scene.snapshot.tripped.get(symbol.tag, False)
    ink = _chip_ink(symbol, scene, Ink.ALARM if tripped else Ink.KEY)
    canvas.text(symbol.at[0], symbol.at[1], symbol.tag, ink)


def fan(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """Tag, a turning mark and the switch position, on one line."""
    setting = scene.setting_words(symbol.tag)
    turning = setting in ("low", "high", "on") and scene.number("voltage_v") != 0.0
    rate = 4 if setting == "low" else 8
    spin = (
        scene.glyphs.spinner[int(scene.drift.clock_s * rate) % 4] if turning else scene.glyphs.dot
    )
    text = f" {symbol.tag} fan {spin} {setting} "
    canvas.text(symbol.at[0], symbol.at[1], text[: symbol.rect.width], _chip_ink(symbol, scene, Ink.KEY))  # fmt: skip


def switch(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    """A line of the panel: tag, plain name, position."""
    x, y, width, _ = symbol.rect
    tripped = scene.snapshot is not None and scene.snapshot.tripped.get(symbol.tag, False)
    setting = "tripped" if tripped else scene.setting_words(symbol.tag)
    if symbol.reading:
        setting = scene.words(symbol.reading)
    elif setting == MISSING and scene.snapshot is not None:
        setting = ""  # nothing to set here
    setting = fitted(setting, width - len(symbol.tag) - 1)
    if setting in ("pressed", "tripped"):
        ink = int(Ink.ALARM)
    else:
        ink = int(Ink.STRONG | BOLD) if setting in ("on", "heating", "heated") else int(Ink.TEXT)
    canvas.text(x, y, f"{symbol.tag} {symbol.words}".ljust(width)[:width], _chip_ink(symbol, scene, Ink.TEXT))  # fmt: skip
    if symbol.tag == STOP_TAG and symbol.tag != scene.selected:
        canvas.text(x, y, symbol.tag, Ink.STOP)
    canvas.text_right(x + width, y, f" {setting}", _chip_ink(symbol, scene, ink))


def _label(canvas: Canvas, symbol: Symbol, scene: Scene) -> None:
    if symbol.label:
        canvas.text(symbol.label[0], symbol.label[1], symbol.tag, _chip_ink(symbol, scene, Ink.TEXT))  # fmt: skip


PAINTERS: dict[str, Painter] = {
    "valve": valve,
    "solenoid": solenoid,
    "device": device,
    "drier": _inline(_drier),
    "glass": _inline(_glass),
    "flowmeter": _inline(_flowmeter),
    "vessel": vessel,
    "compressor": compressor,
    "reversing": reversing,
    "chip": chip,
    "fan": fan,
    "switch": switch,
}
