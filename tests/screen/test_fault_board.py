"""An instructor at the fault board, by keys alone and by mouse alone; and what a learner must not see. The plant is the stand-in; what is tested is the screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from sim.faults import all_faults
from sim.rig import load_rig
from sim.study.survey import able
from tests.screen.test_bench_screen import Session, bench, text_of, until
from tests.tui.conftest import snapshot_of
from tests.tui.fake_bench import FakeBench, FakeEvent
from tui.app import BenchApp
from tui.cautions import lines_of
from tui.draw.fault_board import HIDDEN, LEARNER, PIN_WORDS
from tui.draw.layout import View
from tui.draw.side_by_side import apart_words
from tui.screens.at_board import NOT_OPENED
from tui.screens.copies import AGAINST, NOT_LOOKED, OFFER
from tui.screens.dialogs import AskText, Page

HERE = able(load_rig("fennick_bench"))
SIZES = ((80, 24), (120, 40), (200, 60))


def in_plant(app: BenchApp) -> list[str]:
    return [one.name for one in app.bench.report.faults]


def where(app: BenchApp, words: str, right: bool = True) -> tuple[int, int]:
    """Column and row of words on the screen."""
    for y, row in enumerate(text_of(app).splitlines()):
        if words in row:
            return (row.rindex(words) if right else row.index(words)), y
    raise AssertionError(words)


async def click(session: Session, words: str, along: int = 1) -> None:
    app, pilot = session
    x, y = where(app, words)
    await pilot.click(offset=(x + along, y))
    await pilot.pause()


@pytest.mark.parametrize("size", SIZES)
async def test_a_fault_is_found_set_put_in_and_taken_out_by_keys_alone(size: tuple[int, int]) -> None:  # fmt: skip
    async with bench("steady", size, instructor=True) as (app, pilot):
        await pilot.press("8", "slash", *"sundial", "enter")
        assert "nothing is called like that" in text_of(app)
        await pilot.press("slash", "escape", "slash", *"narrows liquid", "enter")
        assert f"1 of {len(HERE)}" in text_of(app)
        await pilot.press("right", "right", "tab", "tab", "right", "tab", "right", "enter")
        await until(lambda: in_plant(app) == ["liquid-line-restricted"])
        [fault] = app.bench.report.faults
        assert (fault.place, fault.severity) == ("HV-12", 0.6)
        assert "0.60/0.60 liquid-line-restricted" in text_of(app)
        await pilot.press("delete")
        await until(lambda: not in_plant(app))


@pytest.mark.parametrize("size", SIZES)
async def test_the_same_by_mouse_alone(size: tuple[int, int]) -> None:
    async with bench("steady", size, instructor=True) as (app, pilot):
        app.bench.desk.show(View.BOARD)
        app.bench.changed()
        x, y = where(app, "liquid-line-restricted")
        await pilot.click(offset=(x, y))
        await click((app, pilot), "severity", 9 + 15)
        assert app.bench.faults.severity == 0.8
        x, y = where(app, "place ")
        await pilot.click(offset=(x + 11, y))
        await click((app, pilot), "[enter insert]")
        await until(lambda: in_plant(app) == ["liquid-line-restricted"])
        assert app.bench.report.faults[0].place == "HV-12"
        await click((app, pilot), "[ctrl+z undo]")
        await until(lambda: not in_plant(app))


async def test_undo_takes_out_the_last_one_only_and_a_second_insertion_is_refused() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        await pilot.press("8", "enter", "down", "enter")
        await until(lambda: in_plant(app) == ["undercharge", "overcharge"])
        await pilot.press("enter")
        assert "is in already" in text_of(app)
        await pilot.press("ctrl+z")
        await until(lambda: in_plant(app) == ["undercharge"])


async def test_charge_is_said_in_grams() -> None:
    async with bench("steady", (80, 24), instructor=True) as (app, pilot):
        await pilot.press("8", "slash", *"undercharge", "enter")
        assert "350 g out" in text_of(app), "half of 0.7 kg"


async def test_what_is_never_staged_is_marked_and_its_card_has_the_cautions() -> None:
    async with bench("steady", (80, 24), instructor=True) as (app, pilot):
        await pilot.press("8", "slash", *"leak", *" pinhole", "enter")
        assert "on a real rig: NEVER" in text_of(app)
        await pilot.press("o")
        assert isinstance(app.screen, Page)
        text = "\n".join(app.screen.lines)
        assert "Refrigerant displaces air" in text
        assert "NEVER" in text


async def test_the_emergency_stop_works_while_words_are_typed() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        await pilot.press("8", "slash", "a", "0")
        await until(lambda: app.bench.scene.setting("HS-0") == "pressed")


async def test_a_pin_hides_the_board_and_says_that_it_is_no_lock() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        await pilot.press("8", "enter", "ctrl+l")
        assert isinstance(app.screen, AskText)
        assert PIN_WORDS in app.screen.lines
        await pilot.press(*"417", "enter")
        await until(lambda: app.screen is app.bench)
        assert HIDDEN[0] in text_of(app)
        assert "undercharge" not in text_of(app)
        await pilot.press("i", "9", "enter")
        assert not app.bench.desk.instructor
        await pilot.press("i", *"417")
        assert app.screen.query_one(Input).password
        await pilot.press("enter")
        await until(lambda: app.bench.desk.instructor)
        assert "undercharge" in text_of(app)


@pytest.mark.parametrize("size", SIZES)
async def test_nothing_before_a_learner_names_a_fault(size: tuple[int, int], tmp_path: Path) -> None:  # fmt: skip
    async with bench("steady", size) as (app, pilot):
        plant = app.runner._bench
        assert plant is not None
        for name in HERE:
            plant.insert_fault(name, 0.5)  # type: ignore[attr-defined]
        plant.set("HV-12", 1.0)
        await until(lambda: len(snapshot_of(app.bench.report).events) > len(HERE))
        seen = []
        for key in ("1", "2", "3", "4", "5", "6", "7", "8", "f", "F", "slash", "delete", "ctrl+z", "i", "8"):  # fmt: skip
            await pilot.press(key)
            await pilot.pause(0.12)
            seen.append(text_of(app))
        seen += [f"{one.title} {one.help}" for one in app.get_system_commands(app.screen)]
        text = "\n".join(seen)
        assert LEARNER[0] in text
        assert not app.bench.desk.instructor, NOT_OPENED
        assert not app.bench.report.entries
        assert not app.bench.report.faults
        assert not [
            name for name in all_faults() if name in text or all_faults()[name].what in text
        ]
        assert " fault " not in text.replace("fault board", "")


async def test_a_look_ahead_is_a_table_and_leaves_the_bench_as_it_was() -> None:
    async with bench("steady") as (app, pilot):
        needle = app.bench.scene.setting("HCV-22")
        await pilot.press("a")
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        text = "\n".join(app.screen.lines)
        assert "+01:00  PSHH-1" in text
        assert "(first limit)" in text
        assert "winding at most 87 °C" in text, "360 K"
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)
        assert app.bench.scene.setting("HCV-22") == needle
        assert app.bench.report.snapshot is not None
        assert app.bench.report.snapshot.time_s < 700.0, "the bench itself was not run ahead"
        assert "Looked 10 minutes ahead" in app.bench.report.snapshot.events[-1].text


async def test_after_a_dangerous_act_looking_ahead_is_offered() -> None:
    async with bench("steady") as (app, _):
        await until(lambda: app.bench.events_heard >= 0)
        plant = app.runner._bench
        assert isinstance(plant, FakeBench)
        assert OFFER not in text_of(app)
        plant.events.append(FakeEvent(plant.time_s, "M1", "slug", "Liquid in the cylinder."))
        await until(lambda: OFFER in text_of(app))


async def test_a_caution_offers_to_look_ahead_with_the_act_on_the_copy() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.desk.selected = "HV-42"
        await pilot.press("enter", "down", "down", "enter")
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        assert app.screen.heading == "What would happen with HV-42 shut"
        assert "HV-42 shut was set on it" in app.screen.lines[0]
        assert app.bench.scene.setting("HV-42") == 1.0
        assert app.bench.report.snapshot is not None
        assert "on a copy with HV-42 shut; " in app.bench.report.snapshot.events[-1].text


async def test_what_was_read_before_the_act_stands_under_what_would_come_of_it() -> None:
    """But not twice: what shutting HV-42 trips brings the same caution as the question."""
    for tag, said in (("HV-41", [AGAINST.format(act="HV-41 shut"), *lines_of(("vacuum",))]), ("HV-42", lines_of(("protective",)))):  # fmt: skip
        async with bench("steady") as (app, pilot):
            app.bench.desk.selected = tag
            await pilot.press("enter", "down", "down", "enter")
            await until(lambda: isinstance(app.screen, Page))
            assert isinstance(app.screen, Page)
            assert app.screen.lines[-len(said) :] == said
            assert len(set(app.screen.lines) - {""}) == len([line for line in app.screen.lines if line])  # fmt: skip


async def test_an_act_that_the_copy_refuses_is_told_with_its_reason() -> None:
    async with bench("steady") as (app, _):
        app.bench.look_ahead(("HV-99", 0.0))
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        assert app.screen.heading.endswith("with HV-99 0")
        assert app.screen.lines[0].startswith("This cannot be done on the copy: ")
        assert NOT_LOOKED in app.screen.lines
        events = snapshot_of(app.bench.report).events
        assert not [event for event in events if "ahead on" in event.text]


async def test_with_the_hand_on_the_copy_it_is_the_copy_that_is_looked_ahead_of() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("f")
        await until(lambda: app.bench.report.fork is not None)
        beside = app.runner._beside
        await pilot.press("F", "a")
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        assert app.screen.lines[0].startswith("A copy of the copy beside the bench")
        assert beside.report is not None
        assert beside.report.of_fork


async def test_a_held_bench_can_be_looked_ahead_too() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("space", "a")
        await until(lambda: isinstance(app.screen, Page))


async def test_the_hand_works_on_the_copy_and_the_bench_stays() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("f")
        await until(lambda: app.bench.report.fork is not None)
        app.bench.desk.selected = "HCV-22"
        await pilot.press("F", "minus", "minus")
        await until(lambda: app.bench.scene.setting("HCV-22") == pytest.approx(0.25))
        assert "ON THE COPY" in text_of(app)
        assert app.bench.live is not None
        assert app.bench.live.commands["HCV-22"] == 0.35
        await pilot.press("F")
        await until(lambda: app.bench.scene.setting("HCV-22") == 0.35)
        live, fork = app.bench.live, app.bench.report.fork
        assert live is not None
        assert fork is not None
        assert live.time_s == pytest.approx(fork.time_s), "both on one clock"
        await pilot.press("f")
        await until(lambda: app.bench.report.fork is None)
        assert app.bench.scene.setting("HCV-22") == 0.35


@pytest.mark.parametrize(
    ("live", "fork", "apart"),
    [
        ("1.29 bar g", "0.36 bar g", "-0.93 bar"),
        ("18.7 psig", "20.0 psig", "+1.3 psi"),
        ("8.9 °C", "-3.9 °C", "-12.8 K"),
        ("48.0 °F", "50.0 °F", "+2.0 °F"),
        ("68 %", "54 %", "-14 %"),
        ("1,29 bar g", "1,35 bar g", "+0,06 bar"),
        ("clear", "bubbles", "differs"),
        ("clear", "clear", ""),
    ],
)
def test_a_difference_is_that_of_the_numbers_that_one_reads(live: str, fork: str, apart: str) -> None:  # fmt: skip
    assert apart_words(live, fork) == apart
