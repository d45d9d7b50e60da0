"""A person at the wiring: keys and mouse on the ladder. The plant is the stand-in; what is tested is the screen."""

from __future__ import annotations

import pytest

from tests.screen.test_bench_screen import Session, bench, setting, text_of, until
from tests.tui.fake_bench import FakeBench, fake_chart
from tui.draw.ladder_cells import Spot
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.screens.at_wiring import ELSEWHERE
from tui.screens.dialogs import Ask
from tui.views.board_view import BoardView

WIRING = "7"


def go(app: object, name: str) -> Spot:
    """Put the cursor on a terminal or wire."""
    ladder = app.bench.board.ladder.ladder  # type: ignore[attr-defined]
    spot: Spot = ladder.spot(name)
    app.bench.meter.stand(spot)  # type: ignore[attr-defined]
    app.bench.changed()  # type: ignore[attr-defined]
    return spot


async def click(session: Session, name: str, button: int = 1) -> None:
    """Press a mouse button on a terminal or wire, where it is on the screen now."""
    app, pilot = session
    ladder = app.bench.board.ladder
    assert ladder.ladder is not None
    spot = ladder.ladder.spot(name)
    assert spot is not None
    pane = app.bench.board.arrangement.panes[0].inside
    dx, dy = ladder._offset
    offset = (pane.x + dx + spot.x - ladder.left, pane.y + dy + spot.y - ladder.top)
    await pilot.click(BoardView, offset=offset, button=button)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
async def test_probes_placed_by_keys_read_the_volts_across_an_open_switch(size: tuple[int, int]) -> None:  # fmt: skip
    async with bench("steady", size) as (app, pilot):
        await pilot.press(WIRING)
        go(app, "HS-5.1")
        await pilot.press("p", "right", "P")
        assert app.bench.meter.probes == ["HS-5.1", "HS-5.2"]
        await until(lambda: app.bench.report.meters.measured is not None)
        assert app.bench.report.meters.measured.shown == "119.0 V"  # type: ignore[union-attr]
        await until(lambda: "1 HS-5.1  2 HS-5.2" in text_of(app))


async def test_probes_placed_by_mouse() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press(WIRING)
        await click((app, pilot), "HS-4.1")
        await click((app, pilot), "N.1", button=3)
        await until(lambda: app.bench.meter.probes == ["HS-4.1", "N.1"])
        await click((app, pilot), "HS-4.1")
        await until(lambda: app.bench.meter.probes == ["", "N.1"])


async def test_a_click_lands_where_the_scrolled_ladder_shows_it() -> None:
    async with bench("steady", (80, 24)) as (app, pilot):
        await pilot.press(WIRING)
        go(app, "M1.C")
        assert app.bench.board.ladder.top > 0
        await click((app, pilot), "K1.1")
        await until(lambda: app.bench.meter.probes[0] == "K1.1")


async def test_a_mouse_puts_the_clamp_round_a_wire() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press(WIRING)
        await pilot.press(*"v" * 6)
        await click((app, pilot), "W56")
        await until(lambda: app.bench.report.meters.use.around == ("W56",))
        await until(lambda: "clamp W56" in text_of(app))
        await click((app, pilot), "W56")
        await until(lambda: app.bench.report.meters.use.around == ("-W56",))


async def test_ohms_on_a_live_circuit_are_refused_and_it_says_what_would_have_happened() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press(WIRING)
        app.bench.meter.probes = ["HS-5.1", "HS-5.2"]
        await pilot.press("v", "v", "v")
        await until(lambda: "LIVE" in text_of(app))
        assert "The probes stand across 119 V" in text_of(app)
        assert "DANGER" in text_of(app)


async def test_terminals_under_the_cover_are_not_measured_and_the_panels_end_is_named() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press(WIRING)
        go(app, "M1.C")
        app.bench.meter.probes = ["", "N.1"]
        await pilot.press("p")
        await until(lambda: "no reading" in text_of(app))
        here = app.bench.meter_frame().here
        assert here[-1] == "Under the cover. Its lead ends on the panel at F1.2."
        assert here[-1].split()[0] in text_of(app)


async def test_lifting_a_live_lead_asks_first_and_leaving_changes_nothing() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press(WIRING)
        go(app, "W56")
        await pilot.press("x")
        await until(lambda: isinstance(app.screen, Ask))
        assert isinstance(app.screen, Ask)
        assert any("119 V to earth" in line for line in app.screen.lines)
        await pilot.press("enter")
        await until(lambda: app.screen is app.bench)
        assert setting(app, "W56") == "connected"
        await pilot.press("x")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "enter")
        await until(lambda: setting(app, "W56") == "lifted")
        await until(lambda: "×W56×" in text_of(app))


async def test_a_dead_lead_is_lifted_and_put_back_without_a_question() -> None:
    async with bench() as (app, pilot):
        await pilot.press(WIRING)
        go(app, "W56")
        await pilot.press("x")
        await until(lambda: setting(app, "W56") == "lifted")
        await pilot.press("x")
        await until(lambda: setting(app, "W56") == "connected")


async def test_a_jumper_is_clipped_end_by_end_after_reading() -> None:
    async with bench() as (app, pilot):
        await pilot.press(WIRING)
        for clip, terminal in (("jumper.1", "TS-1.1"), ("jumper.2", "TS-1.2")):
            go(app, terminal)
            await pilot.press("j")
            await until(lambda: isinstance(app.screen, Ask))
            await pilot.press("down", "enter")
            await until(lambda clip=clip, terminal=terminal: setting(app, clip) == terminal)  # type: ignore[misc]
        await pilot.press("j")
        await until(lambda: (setting(app, "jumper.1"), setting(app, "jumper.2")) == ("none", "none"))  # fmt: skip


async def test_enter_on_a_switch_works_it() -> None:
    async with bench() as (app, pilot):
        await pilot.press(WIRING)
        go(app, "W31")
        await pilot.press("right", "enter")
        await until(lambda: setting(app, "HS-4") == "on")


async def test_the_wrong_place_and_the_wrong_view_are_said_not_done() -> None:
    async with bench() as (app, pilot):
        await pilot.press("p")
        assert ELSEWHERE in text_of(app)
        await pilot.press(WIRING)
        go(app, "W31")
        await pilot.press("p")
        assert app.bench.meter.probes == ["", ""]
        go(app, "HS-4.1")
        await pilot.press("l", "x")
        assert app.bench.meter.jaws == []


async def test_wire_tags_zero_and_knob_have_their_keys() -> None:
    async with bench() as (app, pilot):
        await pilot.press(WIRING)
        assert "W33" not in text_of(app)
        await pilot.press("e", "z", "v")
        assert "W33" in text_of(app)
        assert "volts ac, low impedance" in text_of(app)
        await until(lambda: app.bench.report.meters.use.leads_zeroed)
        await pilot.press("V", "V")
        assert "power factor" in text_of(app)


async def test_peak_hold_stands_on_the_main_view_and_goes_again() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("k")
        await until(lambda: "peak 3.20 A" in text_of(app))
        await pilot.press("k")
        await until(lambda: "peak 3.20 A" not in text_of(app))


async def test_begin_again_keeps_what_is_held_and_where_the_probes_are() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press(WIRING, "k")
        app.bench.meter.probes = ["L.1", "N.1"]
        app.bench.open_anew(Begin(start="off"))
        await until(lambda: app.bench.report.meters.use.between == ("L.1", "N.1"))
        assert app.bench.report.meters.use.holding


async def test_a_rig_without_wiring_says_so() -> None:
    def opener(begin: Begin, progress: Progress) -> Opened:
        return Opened(FakeBench(), fake_chart())

    async with bench(opener=opener) as (app, pilot):
        await pilot.press(WIRING)
        await until(lambda: "this rig has no wiring" in text_of(app))
        await pilot.press("right", "p", "tab", "x")
