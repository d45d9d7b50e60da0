"""A rig that nobody has drawn: everything on it is listed with what it shows, can be chosen, and has card and help, as on a drawing."""

from __future__ import annotations

import pytest

from sim.rig import load_rig
from tests.screen.test_bench_screen import bench, text_of, until
from tests.tui.conftest import RIGS
from tests.tui.fake_bench import DIALS, open_fake
from tests.tui.fake_tags import TAGS
from tui.draw.drawing import Drawing, load_drawing
from tui.draw.holds import choices_of
from tui.draw.lint import faults
from tui.draw.listed import listed
from tui.glossary import glossary
from tui.orders import Begin
from tui.pieces import DRIERS, pieces_of
from tui.report import Opened, Progress
from tui.screens.dialogs import Ask
from tui.screens.helping import HelpPage

SIZES = [(80, 24), (120, 40), (200, 60)]
PIECES = pieces_of(load_rig("fennick_bench"))
"""Of the default rig, as if nobody had drawn it."""


def open_undrawn(begin: Begin, progress: Progress) -> Opened:
    return open_fake(begin, progress)._replace(pieces=PIECES)


def sheets() -> dict[str, Drawing]:
    return listed(TAGS, PIECES)


@pytest.mark.parametrize("size", ["s", "m", "l"])
def test_what_can_be_chosen_on_the_drawing_can_be_chosen_on_the_list(size: str) -> None:
    drawn = {hold.tag for hold in choices_of(load_drawing(RIGS / "fennick_bench" / f"drawing_{size}.toml"))}  # fmt: skip
    assert drawn <= {hold.tag for hold in choices_of(sheets()[size])}
    assert faults(sheets()[size]) == []


@pytest.mark.parametrize("size", SIZES)
async def test_every_instrument_stands_there_with_what_it_shows(size: tuple[int, int]) -> None:
    async with bench("steady", size, open_undrawn, drawings={}) as (app, pilot):
        await pilot.press("space")
        await until(lambda: "HELD" in text_of(app))
        rows = text_of(app)
        for tag, key in DIALS.items():
            shown = app.bench.scene.words(key)
            line = next((row for row in rows.splitlines() if f"{tag} " in row), "")
            number = shown.partition(" ")[0].partition(".")[0]
            assert number in line.partition(f"{tag} ")[2], (tag, shown, line)
        for one in TAGS:
            assert f"{one.tag.partition('.')[0]} " in rows or one.kind in ("lead", "jumper")


@pytest.mark.parametrize("tag", ["PI-1", "TI-8", "M1", "COIL-A", "drier", "receiver", "FG-1", "PSHH-1"])  # fmt: skip
async def test_what_is_on_the_list_has_card_and_help(tag: str) -> None:
    async with bench("steady", (80, 24), open_undrawn, drawings={}) as (app, pilot):
        await pilot.press("g")
        await pilot.press(*app.bench.desk.letters[tag])
        assert app.bench.desk.selected == tag
        await pilot.press("o")
        await until(lambda: isinstance(app.screen, Ask))
        card = app.screen
        assert isinstance(card, Ask)
        said = " ".join(card.lines)
        assert len(said) > 20
        assert tag not in DIALS or f"{tag} shows" in said
        await pilot.press("escape", "question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))


def test_a_drier_is_known_by_every_name_that_the_glossary_has_for_it() -> None:
    assert set(DRIERS) == set(glossary()["filter drier"].names)
