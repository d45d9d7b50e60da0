"""An alarm on the top line leads to what explains and resets it, by key and by mouse, from every view."""

from __future__ import annotations

import pytest

from tests.screen.stored_screen import stored_screen
from tests.screen.test_bench_screen import bench, setting, text_of, until
from tui.draw.layout import View
from tui.screens.dialogs import Ask
from tui.screens.errands import NO_ALARM

SIZES = [(80, 24), (120, 40), (200, 60)]


@pytest.mark.parametrize("size", SIZES)
def test_every_cell_of_an_alarm_is_its_part(size: tuple[int, int]) -> None:
    shown = stored_screen("tripped", *size)
    top = shown.canvas.row_text(0)
    x = top.index("PSHH-1 tripped")
    assert {shown.board.hit(x + k, 0).alarm for k in range(len("PSHH-1 tripped"))} == {"PSHH-1"}
    assert shown.board.hit(1, 0).alarm == ""


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("how", ["key", "mouse"])
@pytest.mark.parametrize("view", ["1", "3"])
async def test_an_alarm_leads_to_its_card(size: tuple[int, int], how: str, view: str) -> None:
    async with bench("steady", size) as (app, pilot):
        await pilot.press("0", view)
        await until(lambda: setting(app, "HS-0") == "pressed" and "HS-0 pressed" in text_of(app).splitlines()[0])  # fmt: skip
        if how == "key":
            await pilot.press("J")
        else:
            await pilot.click("BoardView", offset=(text_of(app).splitlines()[0].index("HS-0"), 0))
        await until(lambda: isinstance(app.screen, Ask))
        assert isinstance(app.screen, Ask)
        assert app.screen.heading.startswith("HS-0")
        assert app.bench.desk.view is View.PLANT
        at = next(i for i, (_, words) in enumerate(app.screen.answers) if "released" in words)
        await pilot.press(*["down"] * at, "enter")
        await until(lambda: setting(app, "HS-0") == "released")


async def test_without_an_alarm_the_key_says_so() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("J")
        assert NO_ALARM in text_of(app)
