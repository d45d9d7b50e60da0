"""The help page: keys from the commands, and how to read the drawing."""

from __future__ import annotations

from tui.commands import COMMANDS
from tui.draw.glyphs import EAST, WEST, Glyphs, Phase
from tui.draw.ladder import legend
from tui.glasses import drawn_glass

GROUPS = (
    ("plant", "The plant"),
    ("part", "The selected part"),
    ("time", "Time"),
    ("meter", "The wiring and the hand meter (view 7)"),
    ("board", "The fault board (view 8, instructor's)"),
    ("view", "What you see"),
    ("session", "What lasts"),
    ("help", "Help"),
)


def key_lines() -> list[str]:
    """Every command once, by groups."""
    lines: list[str] = []
    for group, title in GROUPS:
        lines.append(title)
        seen = set()
        for command in COMMANDS:
            if command.group == group and command.help not in seen:
                seen.add(command.help)
                lines.append(f"  {command.shown_key:<10} {command.help}")
        lines.append("")
    return lines


def drawing_lines(glyphs: Glyphs) -> list[str]:
    """How to read the drawing."""
    strokes = [glyphs.lines[phase.value][EAST | WEST] * 3 for phase in Phase]
    left, right = tuple(glyphs.valve)
    return [
        "How to read the drawing",
        f"  {strokes[0]} liquid   {strokes[1]} liquid and vapour   {strokes[2]} vapour",
        "  The colour of a pipe is its temperature; the scale stands below the plant. Y, or a click on it: its side, H or L.",
        f"  {left}{glyphs.along[0]}{right} open in a level pipe, {left}{glyphs.along[1]}{right} in an upright one: the handle lies along the pipe",
        f"  {left}{glyphs.athwart[0]}{right} shut in a level pipe, {left}{glyphs.athwart[1]}{right} in an upright one: it lies across   {left}{glyphs.throttled}{right} in between",
        f"  {glyphs.arrows[1]} moves with the flow   {glyphs.bubble} boiling   {glyphs.drop} condensing",
        "  Pressures are gauge pressures unless 'abs' stands beside them.",
        f"  In a sight glass: {'   '.join(f'{drawn_glass(state, glyphs)} {state}' for state in ('bubbles', 'foam', 'wet'))}",
        "  A clear sight glass is full of liquid, or of nothing but vapour.",
        f"  {glyphs.frost * 3} between the passes of a coil: white with frost",
        "",
        "How to read the ladder",
        *(f"  {stroke} {words}" for stroke, words, _ in legend(glyphs)),
        "  Contacts, armatures and lamps stand as they do now.",
        "  A lifted lead has its tag between crosses.",
        "",
    ]


def help_lines(glyphs: Glyphs) -> list[str]:
    """The whole page."""
    return [*drawing_lines(glyphs), *key_lines()]
