"""A person who looks, listens and touches before measuring, by key, by mouse and from the palette."""

from __future__ import annotations

from dataclasses import replace

import pytest
from textual.widgets import OptionList

from sim.cautions import all_cautions
from sim.senses import BURN_K
from tests.screen.test_bench_screen import Session, bench, setting, text_of, until
from tests.tui.fake_bench import FakeBench, FakePlace, fake_chart, steady_bench
from tests.tui.fake_tags import TAGS, FakeTag
from tui.app import BenchApp
from tui.draw.layout import View
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.screens.dialogs import Ask
from tui.touching import NOTHING_THERE

STRAP = FakeTag("TI-11.place", "place", "strap-on thermometer: where it is strapped on", None, None, ("head", "receiver", "drier"), "head")  # fmt: skip


class Strapped(FakeBench):
    """A stand-in with a strap-on thermometer."""

    def tags(self) -> list[FakeTag]:
        return [*super().tags(), replace(STRAP, value=self.values[STRAP.tag])]

    def _readings(self, flow: float, places: dict[str, FakePlace]) -> dict[str, float | str]:
        shown = places[str(self.values[STRAP.tag])].temperature_k
        own: dict[str, float | str] = {"strap_on_temperature_k": shown, "strap_on_temperature_k_shown": shown}  # fmt: skip
        return super()._readings(flow, places) | own


def open_strapped(begin: Begin, progress: Progress) -> Opened:
    plant = Strapped(values={tag.tag: tag.value for tag in (*TAGS, STRAP)})
    running = steady_bench()
    plant.values.update(running.values)
    plant.suction_pa, plant.discharge_pa = running.suction_pa, running.discharge_pa
    return Opened(plant, fake_chart())


def place(app: BenchApp) -> str:
    return app.bench.senses_rows()[1]


async def stand_at(session: Session, wanted: str) -> None:
    """Walk along the list to a place."""
    app, pilot = session
    await pilot.press("s")
    for _ in range(40):
        if place(app) == wanted:
            return
        await pilot.press("down")
    raise AssertionError(wanted)


async def asked(app: BenchApp) -> Ask:
    await until(lambda: isinstance(app.screen, Ask))
    assert isinstance(app.screen, Ask)
    return app.screen


def answers(dialog: Ask) -> list[str]:
    return [name for name, _ in dialog.answers]


async def test_one_key_shows_what_there_is_to_see_and_hear() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("s")
        assert app.bench.desk.view is View.SENSES
        await until(lambda: "look, listen, touch" in text_of(app))
        for words in ("compressor shell", "beats 58 times", "turns fast", "hisses evenly", "not touched"):  # fmt: skip
            assert words in text_of(app), words
        await pilot.press("1")
        await until(lambda: app.bench.desk.view is View.PLANT)


async def test_the_learner_is_told_no_temperature_and_the_instructor_is() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        await pilot.press("s")
        await until(lambda: "°C" in "\n".join(row.hand for row in app.bench.senses_rows()[0]))
        await pilot.press("i")
        learner = "\n".join(row.hand for row in app.bench.senses_rows()[0])
        assert "°C" not in learner
        assert set(learner.split("\n")) <= {"not touched", ""}


async def test_the_list_follows_the_refrigerant_in_both_views() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        await pilot.press("s")
        instructor = [row.place for row in app.bench.senses_rows()[0]]
        await pilot.press("i")
        assert [row.place for row in app.bench.senses_rows()[0]] == instructor
        assert instructor.index("head") < instructor.index("receiver") < instructor.index("shell")


async def test_cautions_come_before_the_hand_and_leaving_is_first() -> None:
    async with bench("steady") as (app, pilot):
        await stand_at((app, pilot), "receiver")
        await pilot.press("enter")
        dialog = await asked(app)
        said = "\n".join(dialog.lines)
        assert all_cautions()["hot/cold"].text in dialog.lines[0], (
            "what concerns the hand most comes first"
        )
        for caution in ("hot/cold", "restart", "isolate"):
            assert all_cautions()[caution].text in said
        assert answers(dialog)[0] == ""
        await pilot.press("enter")
        await until(lambda: app.screen is app.bench)
        assert not app.bench.desk.touched


async def test_a_hand_on_the_receiver_finds_it_warm_and_that_is_remembered() -> None:
    async with bench("steady") as (app, pilot):
        await stand_at((app, pilot), "receiver")
        await pilot.press("enter")
        dialog = await asked(app)
        dialog.query_one(OptionList).highlighted = answers(dialog).index("touch")
        await pilot.press("enter")
        await until(lambda: bool(app.bench.desk.touched))
        assert app.bench.desk.touched["receiver"].words == "warm"
        await until(lambda: any(event.text == "receiver touched" for event in app.bench.scene.events))  # fmt: skip
        assert "warm" in {row.hand for row in app.bench.senses_rows()[0]}


async def test_a_hand_on_the_discharge_pipe_is_drawn_back() -> None:
    async with bench("steady") as (app, pilot):
        await stand_at((app, pilot), "head")
        await pilot.press("enter")
        dialog = await asked(app)
        dialog.query_one(OptionList).highlighted = answers(dialog).index("touch")
        await pilot.press("enter")
        await until(lambda: bool(app.bench.desk.touched))
        assert app.bench.desk.touched["head"].hurt
        assert "drawn back" in app.bench.desk.touched["head"].words


async def test_the_thermometer_can_be_strapped_on_first_and_then_says_so() -> None:
    async with bench(opener=open_strapped) as (app, pilot):
        await stand_at((app, pilot), "receiver")
        await pilot.press("enter")
        dialog = await asked(app)
        assert "nobody has measured yet" in "\n".join(dialog.lines)
        await pilot.press("down", "enter")
        await until(lambda: setting(app, "TI-11.place") == "receiver")
        await pilot.press("enter")
        dialog = await asked(app)
        assert "is strapped on here and shows 3" in "\n".join(dialog.lines)
        assert answers(dialog) == ["", "touch"]


async def test_what_the_thermometer_shows_too_hot_is_not_offered_to_a_hand() -> None:
    async with bench(opener=open_strapped) as (app, pilot):
        await stand_at((app, pilot), "head")
        assert app.bench.scene.number("strap_on_temperature_k") > BURN_K
        await pilot.press("enter")
        dialog = await asked(app)
        assert answers(dialog) == [""]
        assert "not for a bare hand" in "\n".join(dialog.lines)


async def test_where_there_is_no_metal_nothing_is_asked() -> None:
    async with bench("steady") as (app, pilot):
        await stand_at((app, pilot), "HCV-22")
        await pilot.press("enter")
        await until(lambda: NOTHING_THERE in text_of(app))
        assert app.screen is app.bench


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
async def test_a_click_puts_the_cursor_on_a_row_and_a_second_click_touches(size: tuple[int, int]) -> None:  # fmt: skip
    async with bench("steady", size=size) as (app, pilot):
        await pilot.press("s")
        await until(lambda: "filter drier" in text_of(app))
        row = next(y for y, line in enumerate(text_of(app).split("\n")) if "filter drier" in line)
        await pilot.click(offset=(6, row))
        await until(lambda: place(app) == "drier")
        await pilot.click(offset=(6, row))
        dialog = await asked(app)
        assert "filter drier" in dialog.heading


async def test_the_wheel_and_the_page_keys_walk_down_a_long_list() -> None:
    async with bench("steady", size=(80, 24)) as (app, pilot):
        await pilot.press("s")
        assert "compressor shell" not in text_of(app)
        await pilot.press("pagedown", "pagedown")
        await until(lambda: "compressor shell" in text_of(app))
        await pilot.press("pageup", "pageup")
        await until(lambda: "compressor shell" not in text_of(app))


async def test_a_parts_card_leads_to_its_place_on_the_list() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.desk.selected = "HV-12"
        await pilot.press("o")
        dialog = await asked(app)
        dialog.query_one(OptionList).highlighted = answers(dialog).index("look")
        await pilot.press("enter")
        await until(lambda: app.bench.desk.view is View.SENSES)
        assert place(app) == "drier"


async def test_arrows_elsewhere_still_move_on_the_plant() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("s", "down", "down", "1")
        app.bench.desk.selected = "HV-21"
        await pilot.press("right")
        assert app.bench.desk.selected == "HV-22"


async def test_the_palette_has_it() -> None:
    async with bench("steady") as (app, _):
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert "Look listen touch (s)" in titles
