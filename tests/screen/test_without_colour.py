"""What tells two things apart says so by a glyph or a word too: two states of each meaning are painted and compared with every colour stripped, in every set of characters."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import pytest

from tests.screen.sample import screen
from tests.tui.conftest import scene_of, snapshot_of
from tests.tui.draw.test_palette import MEANINGS
from tests.tui.fake_bench import DIALS, FakeBench, steady_bench
from tui.charting import Charting
from tui.draw.canvas import Canvas
from tui.draw.cycle import cycle_seen
from tui.draw.dial import Dial, standard_dials
from tui.draw.drawing import Symbol
from tui.draw.glyphs import SETS
from tui.draw.ink import INK_MASK, Ink
from tui.draw.palette import PALETTES
from tui.draw.scene import Scene
from tui.draw.state_chart import StateChart
from tui.draw.symbols import PAINTERS

Both = tuple[str, str]


def text(canvas: Canvas) -> str:
    return "\n".join(canvas.row_text(y) for y in range(canvas.height))


def inked(canvas: Canvas, *inks: Ink) -> str:
    """The characters in these inks."""
    return "".join(chars for y in range(canvas.height) for chars, code in canvas.runs(y) if code & INK_MASK in inks)  # fmt: skip


def symbol(scene: Scene, glyphs: str, shape: Literal["valve", "switch"], tag: str) -> str:
    scene.glyphs = SETS[glyphs]
    canvas = Canvas.blank(24, 3)
    PAINTERS[shape](canvas, Symbol(tag=tag, shape=shape, at=(2, 1), size=(20, 1)), scene)
    return text(canvas)


def side(glyphs: str) -> Both:
    shown = text(screen(120, 40, glyphs=glyphs))
    low_name, high_name = (spec.title(Scene(dials=DIALS)) for spec in standard_dials())
    assert low_name in shown
    assert high_name in shown
    plant = screen(120, 40, glyphs=glyphs, by_side=True)
    high, low = (inked(plant.window(1, 2, 78, 24), ink) for ink in (Ink.HIGH, Ink.LOW))
    assert ("H" in high, "L" in high, "H" in low, "L" in low) == (True, False, False, True)
    return low_name, high_name


def valve(glyphs: str) -> Both:
    shut = FakeBench()
    shut.set("HV-12", 0.0)
    return symbol(scene_of(FakeBench()), glyphs, "valve", "HV-12"), symbol(scene_of(shut), glyphs, "valve", "HV-12")  # fmt: skip


def marked(ink: Ink) -> Both:
    """A line below the characters, in every palette."""
    assert all(look.underline == (code in (Ink.CURSOR, Ink.WAITING)) for palette in PALETTES.values() for code, look in palette.looks.items())  # fmt: skip
    return f"underline {PALETTES['rime-mono'].looks[ink].underline}", "underline False"


def alarm(glyphs: str) -> Both:
    quiet, tripped = scene_of(FakeBench()), scene_of(FakeBench())
    snapshot_of(tripped).tripped["PSHH-1"] = True
    return symbol(quiet, glyphs, "switch", "PSHH-1"), symbol(tripped, glyphs, "switch", "PSHH-1")


def stop(glyphs: str) -> Both:
    canvas = screen(80, 24, glyphs=glyphs)
    return inked(canvas, Ink.STOP), inked(canvas, Ink.KEY)


def conductor(glyphs: str) -> Both:
    return text(screen(120, 40, view="wiring", glyphs=glyphs)), text(screen(120, 40, view="wiring", glyphs=glyphs, start="off"))  # fmt: skip


def curve(glyphs: str) -> Both:
    canvas = screen(120, 40, view="trend", glyphs=glyphs).window(8, 3, 110, 15)
    digits = [{char for char in inked(canvas, ink) if char.isdigit()} for ink in (Ink.FIRST, Ink.SECOND)]  # fmt: skip
    assert digits == [{"1"}, {"2"}]
    return "1", "2"


def stored_cycle(glyphs: str) -> Both:
    """The same cycle, once alive and once stored on a bench that stands still."""
    running, still = scene_of(steady_bench()), scene_of(FakeBench())
    still.charting = Charting(ghost=tuple(cycle_seen(running)))
    shown = []
    for scene in (running, still):
        scene.glyphs, canvas = SETS[glyphs], Canvas.blank(90, 24)
        StateChart((), ()).paint(canvas, scene)
        shown.append(inked(canvas, Ink.THIRD, Ink.LOW, Ink.HIGH))
    assert len(shown[1]) < 0.7 * len(shown[0]), "a stored cycle is dotted"
    return shown[0], shown[1]


def trip_on_a_dial(glyphs: str) -> Both:
    shown = []
    for tags in (scene_of(FakeBench()).tags, {}):
        scene = scene_of(FakeBench(), tags=tags, glyphs=SETS[glyphs])
        if not tags:
            del snapshot_of(scene).commands["PSL-1.set"]
        canvas = Canvas.blank(40, 16)
        Dial(standard_dials()[0]).paint(canvas, scene)
        shown.append(text(canvas))
    return shown[0], shown[1]


def frost(glyphs: str) -> Both:
    for view in ("plant", "senses"):
        bare, white = (text(screen(120, 40, view=view, glyphs=glyphs, white=cells)) for cells in (0, 8))  # fmt: skip
        assert bare != white
        assert SETS[glyphs].frost in white or "frost" in white
    return bare, white


def filling(glyphs: str) -> Both:
    canvas = screen(120, 40, view="meters", glyphs=glyphs)
    bar = SETS[glyphs].bar
    return inked(canvas, Ink.LIQUID).strip(bar), inked(canvas, Ink.GRID)


def caution(glyphs: str) -> Both:
    canvas = screen(120, 40, view="fault board", glyphs=glyphs, instructor=True)
    lines = inked(canvas, Ink.CAUTION)
    assert "[!" in lines
    assert "[!" not in inked(canvas, Ink.TEXT, Ink.STRONG, Ink.FAINT)
    return lines, inked(canvas, Ink.TEXT)


DOUBLED: dict[str, Callable[[str], Both]] = {
    "side": side,
    "valve": valve,
    "order on its way": lambda _: marked(Ink.WAITING),
    "cursor": lambda _: marked(Ink.CURSOR),
    "alarm": alarm,
    "stop": stop,
    "conductor": conductor,
    "curve": curve,
    "stored cycle": stored_cycle,
    "trip on a dial": trip_on_a_dial,
    "frost": frost,
    "filling": filling,
    "caution": caution,
}


def test_every_meaning_of_a_colour_is_looked_at() -> None:
    assert set(DOUBLED) == set(MEANINGS)


@pytest.mark.parametrize("glyphs", SETS)
@pytest.mark.parametrize("meaning", DOUBLED)
def test_a_glyph_or_a_word_says_what_the_colour_says(meaning: str, glyphs: str) -> None:
    one, other = DOUBLED[meaning](glyphs)
    assert one != other


def test_the_chosen_fault_and_the_field_in_hand_have_an_arrow() -> None:
    from tui.fault_desk import FaultDesk

    for focus, row in (("fault", "undercharge"), ("severity", "severity"), ("onset", "onset")):
        canvas = screen(120, 40, view="fault board", instructor=True, faults=FaultDesk(chosen="undercharge", focus=focus))  # fmt: skip
        arrows = [line for line in text(canvas).splitlines() if "►" in line]
        assert len(arrows) == 1, focus
        assert row in arrows[0]
