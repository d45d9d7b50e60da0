"""What is said of a vessel or another part that nobody can move and that has no dial of its own: what it is for, and what the instruments at it show."""

from __future__ import annotations

from tui.draw.drawing import Drawing
from tui.draw.scene import Scene
from tui.glossary import called, glossary
from tui.words import MISSING


def vessel_kind(what: str) -> str:
    """The term of the glossary that a part is called by; '' for none."""
    term = called(what)
    return term.name if term is not None else ""


def vessel_lines(tag: str, kind: str, scene: Scene, drawing: Drawing | None) -> list[str]:
    """What it is for, in the glossary's words, and what shows how it stands."""
    if not kind:
        return []
    return [glossary()[kind].plain, *_shown_at(tag, scene, drawing)]


def _shown_at(tag: str, scene: Scene, drawing: Drawing | None) -> list[str]:
    """Instruments that are said to hang at it."""
    if drawing is None:
        return []
    found = [symbol for symbol in drawing.symbols if symbol.reading and symbol.tag != tag and tag in symbol.what.split()]  # fmt: skip
    shown = [f"{one.tag}, {one.what}, shows {words}." for one in found if (words := scene.words(one.reading, short=False)) != MISSING]  # fmt: skip
    return [line.replace("shows empty", "shows clear") if not scene.instructor else line for line in shown]  # fmt: skip
