"""Every tag that one reads on a drawing can be chosen, by arrows, letters and mouse, and has a card and help; what a jump's letters choose follows them."""

from __future__ import annotations

import re

import numpy as np
import pytest

from tests.screen.stored_screen import Shown, repaint, stored_screen
from tests.screen.test_bench_screen import bench, text_of, until
from tests.tui.fake_bench import DIALS, KINDS
from tests.tui.fake_scales import fake_scales
from tui.desk import Desk, Direction
from tui.draw.drawing import Drawing
from tui.draw.holds import Hold, choices_of
from tui.draw.ink import INK_MASK, Ink
from tui.draw.letters import letter_spots
from tui.part_card import card_of
from tui.report import Report
from tui.screens.dialogs import Ask
from tui.screens.helping import HelpPage

SIZES = [(80, 24), (120, 40), (200, 60)]
STATES = ["cooling", "heating", "off", "tripped"]
WRITTEN = re.compile(r"\b[A-Z]{1,4}-\d+\b|\bM1\b")
"""What reads like a tag (ISA-5.1). The compressor has the only one without a hyphen."""


def plant_text(shown: Shown) -> list[str]:
    """The plant's pane without its frame, row by row: the caption below names what is chosen anyway."""
    pane = next(one for one in shown.board.arrangement.panes if one.kind == "plant")
    x, y, width, height = pane.inside
    return [shown.canvas.row_text(row)[x : x + width] for row in range(y, y + height)]


def drawn(size: tuple[int, int]) -> Drawing:
    drawing = stored_screen("cooling", *size).board.drawing
    assert drawing is not None
    return drawing


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", STATES)
def test_a_click_on_any_tag_that_is_written_chooses_it(size: tuple[int, int], state: str) -> None:
    shown = stored_screen(state, *size)
    pane = next(one for one in shown.board.arrangement.panes if one.kind == "plant")
    found = 0
    for row, text in enumerate(plant_text(shown)):
        for match in WRITTEN.finditer(text):
            for column in range(match.start(), match.end()):
                assert shown.board.hit(pane.inside.x + column, pane.inside.y + row).tag == match.group()  # fmt: skip
            found += 1
    assert found >= 40


@pytest.mark.parametrize("size", SIZES)
def test_arrows_and_letters_reach_every_tag_that_is_written(size: tuple[int, int]) -> None:
    drawing = drawn(size)
    written = {tag for text in plant_text(stored_screen("cooling", *size)) for tag in WRITTEN.findall(text)}  # fmt: skip
    assert {"PI-1", "PI-2", "TI-1", "TI-2", "TI-3", "TI-4", "TI-10", "FI-1", "M1"} <= written
    ways: tuple[Direction, ...] = ("left", "right", "up", "down")
    found, frontier = {"HS-1"}, ["HS-1"]
    while frontier:
        here = frontier.pop()
        new = {Desk(selected=here).neighbour(drawing, way) for way in ways} - found
        found |= new
        frontier += new
    assert written <= found
    assert written <= set(Desk().label_letters(drawing))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("tag", ["PI-1", "TI-4", "TI-5", "TI-8", "COIL-A"])
def test_what_is_chosen_is_seen_on_the_drawing(size: tuple[int, int], tag: str) -> None:
    bare, shown = (stored_screen("cooling", *size, selected=one) for one in ("HV-12", tag))
    pane = next(one for one in shown.board.arrangement.panes if one.kind == "plant")
    x, y, width, height = pane.inside
    here = np.s_[y : y + height, x : x + width]
    marked = (shown.canvas.inks[here] & INK_MASK) == Ink.CURSOR
    assert marked.any()
    assert not (marked & ((bare.canvas.inks[here] & INK_MASK) == Ink.CURSOR)).any()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", ["cooling", "heating"])
def test_everything_on_a_drawing_has_a_card_that_says_what_it_is(size: tuple[int, int], state: str) -> None:  # fmt: skip
    shown = stored_screen(state, *size)
    shown.scene.dials, shown.scene.scales = DIALS, fake_scales()
    about = Report(kinds=KINDS, dials=DIALS)
    for hold in choices_of(drawn(size)):
        card = card_of(hold.tag, shown.scene, shown.board.drawing, about)
        assert card.title.removeprefix(hold.tag).strip(), hold.tag
        if KINDS.get(hold.tag) in ("gauge", "thermometer", "flowmeter"):
            said = " ".join(card.lines)
            assert f"{hold.tag} shows" in said
            assert "Scale:" in said
            assert "class" in said
            assert "A technician would check" in said
            assert card.cautions, hold.tag


def test_a_scale_is_told_in_the_persons_units() -> None:
    """PI-1 of the default rig: -1 to 10 bar g in steps of 0.05 bar, class 1.6 (EN 837-1: of the span, so 0.176 bar). In psi: 1 bar = 14.5038 psi."""
    about = Report(kinds=KINDS, dials=DIALS)
    said = {}
    for name, us in (("si", False), ("us", True)):
        shown = stored_screen("cooling", 120, 40)
        shown.scene.dials, shown.scene.scales = DIALS, fake_scales()
        shown.scene.units = shown.scene.units._replace(family="us" if us else "si")
        said[name] = " ".join(card_of("PI-1", shown.scene, shown.board.drawing, about).lines)
    for words in ("-1.00 bar g to 10.00 bar g", "steps of 0.05 bar", "0.18 bar off"):
        assert words in said["si"]
    for words in ("-14.5 psig to 145.0 psig", "steps of 0.73 psi", "2.6 psi off"):
        assert words in said["us"]


@pytest.mark.parametrize("size", SIZES)
async def test_help_and_card_of_an_instrument_by_key_and_by_mouse(size: tuple[int, int]) -> None:
    async with bench("steady", size) as (app, pilot):
        await until(lambda: "PI-1 1." in text_of(app).partition("\n")[2])
        rows = [row[: size[0] * 3 // 5 + 32] for row in text_of(app).splitlines()]
        y = next(i for i, row in enumerate(rows) if i > 0 and "PI-1 1." in row)
        x = rows[y].index("PI-1 1.")
        await pilot.click("BoardView", offset=(x + 1, y))
        assert app.bench.desk.selected == "PI-1"
        assert any("PI-1 suction gauge: 1." in row for row in text_of(app).splitlines())
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))
        assert isinstance(app.screen, HelpPage)
        assert "PI-1  suction gauge" in app.screen.heading
        assert any(
            "Its zero shows only when it is open to the room" in line for line in app.screen.lines
        )
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)
        await pilot.click("BoardView", offset=(x + 1, y))
        await until(lambda: isinstance(app.screen, Ask))


# Letters of a jump.


def lettered(size: tuple[int, int], state: str = "cooling") -> tuple[Shown, Shown, dict[str, str]]:
    """The same screen without and with letters."""
    bare, shown = stored_screen(state, *size), stored_screen(state, *size)
    assert shown.board.drawing is not None
    shown.scene.selected = ""
    shown.scene.letters = Desk().label_letters(shown.board.drawing)
    repaint(shown, state)
    return bare, shown, dict(shown.scene.letters)


def at(shown: Shown, hold: Hold) -> str:
    pane = next(one for one in shown.board.arrangement.panes if one.kind == "plant")
    left, top = shown.board._plant_origin(pane)
    assert hold.written is not None
    x, y, width, _ = hold.written
    return shown.canvas.row_text(top + y)[left + x : left + x + width]


def start_of(hold: Hold, size: tuple[int, int]) -> int:
    """How many cells of its own name a hold's letters cover."""
    spot = letter_spots(drawn(size), 2)[hold.tag]
    assert hold.written is not None
    return 2 if spot == (hold.written.x, hold.written.y) else 0


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", ["cooling", "heating"])
def test_letters_cover_nothing_of_a_tag_but_its_own_beginning(size: tuple[int, int], state: str) -> None:  # fmt: skip
    bare, shown, letters = lettered(size, state)
    for hold in choices_of(drawn(size)):
        assert hold.tag in letters
        if hold.written is not None:
            own = start_of(hold, size)
            assert at(shown, hold)[own:] == at(bare, hold)[own:], hold.tag


@pytest.mark.parametrize("size", SIZES)
def test_what_letters_choose_follows_them_and_no_word_stands_before_them(size: tuple[int, int]) -> None:  # fmt: skip
    """Two marked cells, directly before the tag, over its first characters, or on the corner of its box; a row read from left to right leaves no doubt."""
    _, shown, letters = lettered(size)
    pane = next(one for one in shown.board.arrangement.panes if one.kind == "plant")
    left, top = shown.board._plant_origin(pane)
    holds = {hold.tag: hold for hold in choices_of(drawn(size))}
    pairs = {}
    for y in range(shown.canvas.height):
        row = shown.canvas.row_text(y)
        marked = (shown.canvas.inks[y] & INK_MASK) == Ink.CURSOR
        for run in np.flatnonzero(np.diff(np.concatenate(([0], marked.astype(int)))) == 1):
            end = run + int(np.argmin(np.append(marked[run:], False)))
            if end - run == 2:
                assert not row[run - 1].isalnum(), row
                pairs[row[run:end]] = (int(run) - left, y - top)
    for tag, letter in letters.items():
        assert letter in pairs, (tag, letter)
        hold, (x, y) = holds[tag], pairs[letter]
        name = hold.written or hold.body
        corner = (x, y) == (hold.body.x, hold.body.y)
        number = hold.written is None and x == hold.body.x - 1
        assert corner or (y == name.y and (x in (name.x - 2, name.x) or number)), (tag, x, y)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("state", STATES)
def test_no_stroke_of_a_frame_stands_before_a_number_like_a_minus(size: tuple[int, int], state: str) -> None:  # fmt: skip
    for row in plant_text(stored_screen(state, *size)):
        assert not re.search(r"[─━-]\d+[.,]\d", re.sub(r" -\d", " 0", row)), row
