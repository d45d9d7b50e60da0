"""`?` on anything and the glossary, by key and by mouse."""

from __future__ import annotations

import re
import threading

import pytest
from textual.widgets import Input, Label, OptionList, Static

from tests.screen.test_bench_screen import Session, bench, setting, text_of, until
from tests.tui.fake_bench import open_fake
from tui.app import BenchApp
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.screens.dialogs import Ask, AskNumber, AskText, Dialog, Page
from tui.screens.helping import GlossaryDialog, HelpPage

SIZES = [(80, 24), (120, 40), (200, 60)]


def said(dialog: object) -> str:
    assert isinstance(dialog, Ask | Page)
    return " ".join([dialog.heading, *dialog.lines])


async def helped(session: Session, *keys: str) -> HelpPage:
    app, pilot = session
    await pilot.press(*keys)
    await until(lambda: isinstance(app.screen, HelpPage))
    assert isinstance(app.screen, HelpPage)
    return app.screen


async def test_help_is_about_the_chosen_part_and_a_second_question_mark_lists_all_keys() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HV-12"
        page = await helped((app, pilot), "question_mark")
        assert "HV-12" in page.heading
        assert "Never shut both ends" in said(page)
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, Page))
        assert "Press the emergency stop HS-0" in said(app.screen)
        await pilot.press("question_mark")
        await until(lambda: app.screen is app.bench)


@pytest.mark.parametrize(("keys", "words"), [("2", "closed line is the cycle"), ("3", "Readings over time"), ("4", "Both pressure gauges"), ("5", "Every instrument"), ("6", "What has happened"), ("7", "wiring as a ladder"), ("8", "instructor's"), ("9", "copy of it"), ("s", "eye and ear")])  # fmt: skip
async def test_every_view_has_its_own_help(keys: str, words: str) -> None:
    async with bench("steady", (80, 24)) as session:
        assert words in said(await helped(session, keys, "question_mark"))


async def test_help_at_the_wiring_is_about_the_terminal_under_the_cursor() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("7")
        await pilot.pause(0.1)
        for _ in range(6):
            await pilot.press("tab")
        cursor = app.bench.meter.cursor
        page = await helped((app, pilot), "question_mark")
        assert cursor in said(page)
        assert app.bench.spot_tag() in page.heading


async def test_help_at_the_fault_board_is_about_the_chosen_fault() -> None:
    async with bench("steady", instructor=True) as session:
        page = await helped(session, "8", "down", "question_mark")
        entry = session[0].bench.faults.entry(session[0].bench.report.entries)
        assert entry is not None
        assert entry.name in page.heading


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("view", ["1", "2", "3", "4", "6", "7", "9"])
async def test_the_last_line_has_help_for_the_mouse_at_any_size(size: tuple[int, int], view: str) -> None:  # fmt: skip
    async with bench("steady", size) as (app, pilot):
        await pilot.press(view)
        await pilot.pause(0.05)
        row = text_of(app).splitlines()[-1]
        await pilot.click("BoardView", offset=(row.index("help"), size[1] - 1))
        await until(lambda: isinstance(app.screen, HelpPage))


@pytest.mark.parametrize("size", [(80, 24), (80, 18)])
async def test_everything_that_help_says_can_be_read_and_its_ways_on_are_in_sight(size: tuple[int, int]) -> None:  # fmt: skip
    async with bench("steady", (80, 24)) as (app, pilot):
        app.bench.desk.selected = "PSHH-1"
        page = await helped((app, pilot), "question_mark")
        await pilot.resize_terminal(*size)
        await pilot.pause(0.2)
        assert app.screen.region.contains_region(page.query_one(OptionList).region)
        text = page.query_one("VerticalScroll")
        for _ in range(20):
            await pilot.press("pagedown")
        await pilot.pause(0.1)
        assert text.scroll_offset.y == text.max_scroll_y


async def test_the_emergency_stop_works_from_help_and_glossary() -> None:
    async with bench("steady") as (app, pilot):
        await helped((app, pilot), "question_mark")
        await pilot.press("exclamation_mark")
        await until(lambda: setting(app, "HS-0") == "pressed")
        app.bench.put("HS-0", "released")
        await until(lambda: setting(app, "HS-0") == "released")
        await pilot.press("slash")
        await until(lambda: isinstance(app.screen, GlossaryDialog))
        await pilot.press("s", "exclamation_mark")
        await until(lambda: setting(app, "HS-0") == "pressed")
        assert app.screen.query_one(Input).value == "s"


# Dialogs.


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        (("b",), "gives up what runs now"),
        (("o",), "The card of a part"),
        (("W",), "until what you choose happens"),
        (("backspace",), "forgotten"),
        (("E",), "keep or to print"),
        (("C",), "axes of their own"),
        (("S",), "as the rig has them"),
        (("S", "down", "down"), "pressures"),
        (("N",), "line of your own"),
        (("w",), "where to save".capitalize()),
    ],
)
async def test_every_dialog_explains_itself_by_key_and_by_mouse(keys: tuple[str, ...], words: str) -> None:  # fmt: skip
    async with bench("steady") as (app, pilot):
        await pilot.press(*keys)
        await until(lambda: isinstance(app.screen, Dialog))
        dialog = app.screen
        assert isinstance(dialog, Dialog)
        await pilot.press("f1")
        await until(lambda: isinstance(app.screen, Page))
        assert words in said(app.screen)
        assert dialog.heading in said(app.screen)
        await pilot.press("escape")
        await until(lambda: app.screen is dialog)
        await pilot.pause(0.1)
        box = dialog.query("Vertical").first().region
        await pilot.click(offset=(box.right - 6, box.bottom - 1))
        await until(lambda: isinstance(app.screen, Page))


async def test_the_first_cautions_explain_themselves() -> None:
    async with bench(cautions=True) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, Page))
        assert "come before anything else" in said(app.screen)


async def test_a_question_mark_is_text_where_words_are_typed_and_explains_where_a_number_is() -> None:  # fmt: skip
    async with bench() as (app, pilot):
        await pilot.press("N")
        await until(lambda: isinstance(app.screen, AskText))
        await pilot.press("w", "h", "y", "question_mark")
        assert app.screen.query_one(Input).value == "why?"
        await pilot.press("escape")
        app.bench.desk.selected = "TS-1"
        await pilot.press("o")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "enter")
        await until(lambda: isinstance(app.screen, AskNumber))
        field = app.screen.query_one(Input)
        before = field.value
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, Page))
        assert "It may be from -10 to 30" in said(app.screen)
        assert field.value == before


# The glossary.


async def glossary_of(session: Session, *keys: str) -> GlossaryDialog:
    app, pilot = session
    await pilot.press(*keys)
    await until(lambda: isinstance(app.screen, GlossaryDialog))
    await pilot.pause(0.1)
    assert isinstance(app.screen, GlossaryDialog)
    return app.screen


def entry(app: BenchApp) -> str:
    return str(app.screen.query_one("#entry", Static).render())


async def test_typing_filters_arrows_choose_and_enter_follows_a_link_and_comes_back() -> None:
    async with bench("steady", (80, 24)) as (app, pilot):
        await glossary_of((app, pilot), "G")
        await pilot.press(*"superh")
        await until(lambda: entry(app).startswith("superheat: "))
        assert f"superheat {app.bench.scene.words('gauge_superheat_k')}" in entry(app)
        await pilot.press("down")
        await until(lambda: not entry(app).startswith("superheat: "))
        await pilot.press("up", "enter", "enter")
        await until(lambda: entry(app).startswith("saturation: "))
        await pilot.press("enter")  # the first of the related: the way back
        await until(lambda: entry(app).startswith("superheat: "))
        await pilot.press("slash", "slash")
        assert app.screen.focused is app.screen.query_one(Input)
        assert app.screen.query_one(Input).value == ""
        await pilot.press(*"zzzz")
        await until(lambda: "Nothing speaks of" in entry(app))
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)


@pytest.mark.parametrize("size", SIZES)
async def test_a_click_chooses_a_term_and_a_click_follows_a_link(size: tuple[int, int]) -> None:
    async with bench("steady", size) as (app, pilot):
        dialog = await glossary_of((app, pilot), "G")
        related = dialog.query_one("#related", OptionList)
        for part in (dialog.query_one("#terms", OptionList), related):
            assert app.screen.region.contains_region(part.region)
            assert part.region.height >= 2
        await pilot.click("#terms", offset=(3, 1))
        await until(lambda: entry(app).startswith("accumulator: "))
        await pilot.pause(0.1)
        await pilot.click("#related", offset=(6, 0))
        await until(lambda: entry(app).startswith("liquid slugging: "))


async def test_letters_typed_in_the_list_go_into_the_search() -> None:
    async with bench() as (app, pilot):
        await glossary_of((app, pilot), "G", "tab")
        await pilot.press(*"coil")
        await until(lambda: app.screen.query_one(Input).value == "coil")


async def test_help_leads_to_the_terms_of_the_part_and_the_palette_to_all() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HCV-22"
        page = await helped((app, pilot), "question_mark")
        options = page.query_one(OptionList)
        options.highlighted = options.get_option_index("term:hand expansion valve")
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, GlossaryDialog))
        await until(lambda: entry(app).startswith("hand expansion valve: "))
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert {"Glossary (G)", "Tour (H)", "End tour (X)"} <= set(titles)


async def test_help_and_glossary_are_there_before_the_plant_is_and_the_tour_waits() -> None:
    ready = threading.Event()

    def slow(begin: Begin, progress: Progress) -> Opened:
        ready.wait(10.0)
        return open_fake(begin, progress)

    app = BenchApp(Begin(), slow, cautions=False)
    async with app.run_test(size=(80, 24)) as pilot:
        try:
            await pilot.pause(0.1)
            for view in "1234567s":
                await helped((app, pilot), view, "question_mark")
                await pilot.press("escape")
            await pilot.press("H")
            assert not app.bench.tour.shown
            await glossary_of((app, pilot), "G")
        finally:
            ready.set()


async def test_a_question_mark_explains_while_faults_are_searched_and_letters_are_shown() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        await pilot.press("8", "slash", "f", "a", "n")
        await helped((app, pilot), "question_mark")
        assert app.bench.faults.query == "fan"
        await pilot.press("escape", "enter", "1", "g")
        await helped((app, pilot), "question_mark")
        await pilot.press("escape")
        assert app.bench.desk.letters, "one may go on typing them"


async def test_a_long_page_says_where_one_is_in_it() -> None:
    async with bench("steady", size=(80, 24)) as (app, pilot):
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, Page) and " of " in place(app))
        first, last, whole = numbers(place(app))
        assert (first, place(app).endswith("pgdn")) == (1, True)
        await pilot.press("pagedown")
        await until(lambda: numbers(place(app))[0] > 1)
        assert numbers(place(app))[0] == last + 1, "nothing is passed over"
        await pilot.press("end")
        await until(lambda: place(app).endswith("pgup"))
        assert numbers(place(app))[1:] == [whole, whole]


def place(app: BenchApp) -> str:
    return str(app.screen.query_one("#place", Label).render())


def numbers(words: str) -> list[int]:
    return [int(one) for one in re.findall(r"\d+", words)]
