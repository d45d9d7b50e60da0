"""Where the views stand."""

from __future__ import annotations

import pytest

from tui.draw.layout import View, arrange, body, fits

SHEETS = {"s": (78, 19), "m": (78, 25), "l": (116, 36)}
SIZES = [(80, 24), (80, 30), (90, 28), (100, 30), (120, 40), (132, 43), (160, 50), (200, 60), (250, 80), (300, 24)]  # fmt: skip


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("view", list(View))
def test_panes_stay_between_the_bars_and_never_overlap(size: tuple[int, int], view: View) -> None:
    panes = arrange(*size, view, SHEETS).panes
    area = body(*size)
    seen: set[tuple[int, int]] = set()
    for pane in panes:
        cells = pane.rect.cells()
        assert cells <= area.cells(), pane
        assert seen.isdisjoint(cells), pane
        seen |= cells
    assert panes


@pytest.mark.parametrize("size", SIZES)
def test_the_drawing_fits_into_its_pane(size: tuple[int, int]) -> None:
    arrangement = arrange(*size, View.PLANT, SHEETS)
    plant = next(pane for pane in arrangement.panes if pane.kind == "plant")
    columns, rows = SHEETS[arrangement.drawing]
    assert plant.inside.width >= columns
    assert plant.inside.height >= rows


def test_sizes_get_the_views_that_were_promised_for_them() -> None:
    kinds = {size: sorted(pane.kind for pane in arrange(*size, View.PLANT, SHEETS).panes) for size in SIZES}  # fmt: skip
    assert kinds[80, 24] == ["plant"]
    assert kinds[120, 40] == ["chart", "dial", "dial", "meters", "plant", "trend"]
    assert kinds[200, 60] == ["chart", "dial", "dial", "log", "meters", "plant", "trend", "trend"]
    assert arrange(200, 60, View.PLANT, SHEETS).drawing == "l"


def test_below_80_by_24_nothing_fits() -> None:
    assert fits(80, 24)
    assert not fits(79, 24)
    assert not fits(80, 23)
