"""In heating the coils change their work and the instruments stay where they hang."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import steady_bench
from tui.draw.cycle import cycle_seen
from tui.draw.scene import Scene
from tui.plant import Snapshot
from tui.seen import heating, instrument_label, seen

TRUTH = {
    "evaporator_air_in_k": 280.0,
    "evaporator_air_out_k": 276.0,
    "condenser_air_in_k": 296.0,
    "condenser_air_out_k": 301.0,
    "evaporator_outlet_temperature_k": 271.0,
}
"""By what the coils do: coil A takes heat now."""
SHOWN = {
    "evaporator_air_out_k_shown": 301.1,
    "condenser_air_out_k_shown": 276.1,
    "evaporator_air_in_k_shown": 296.1,
    "condenser_air_in_k_shown": 280.1,
    "evaporator_outlet_temperature_k_shown": 328.0,
}
"""By where the instruments hang: coil B gives heat now."""
HOT_PIPE_K = 328.3


@pytest.fixture
def reversed_scene() -> Scene:
    """A steady plant with the slide on the heating side."""
    bench = steady_bench()
    before = bench.snapshot()
    hot = replace(before.places["b_outlet"], temperature_k=HOT_PIPE_K)
    return scene_of(bench, snapshot=replace(before, readings={**before.readings, **TRUTH, **SHOWN}, positions={**before.positions, "XV-2": 1.0}, places={**before.places, "b_outlet": hot}))  # fmt: skip


def _snapshot(scene: Scene) -> Snapshot:
    assert scene.snapshot is not None
    return scene.snapshot


@pytest.mark.parametrize("key", TRUTH)
def test_truth_beside_an_instrument_is_the_truth_where_it_hangs(reversed_scene: Scene, key: str) -> None:  # fmt: skip
    snapshot = _snapshot(reversed_scene)
    assert heating(snapshot)
    shown, true = (float(seen(snapshot, key, instructor)) for instructor in (False, True))  # type: ignore[arg-type]
    assert shown == SHOWN[f"{key}_shown"]
    assert true == pytest.approx(shown, abs=0.5)


def test_in_cooling_the_truth_is_the_reading_of_that_name(running: Scene) -> None:
    snapshot = _snapshot(running)
    assert not heating(snapshot)
    for key in TRUTH:
        assert seen(snapshot, key, True) == snapshot.readings.get(key)


@pytest.mark.parametrize("instructor", [False, True])
def test_superheat_in_heating_does_not_come_from_the_thermometer_on_the_hot_gas(reversed_scene: Scene, instructor: bool) -> None:  # fmt: skip
    reversed_scene.instructor = instructor
    assert math.isnan(reversed_scene.number("gauge_superheat_k"))
    assert reversed_scene.superheat == "suction_gauge_superheat_k"
    assert math.isfinite(reversed_scene.number(reversed_scene.superheat))


def test_no_thermometer_gives_a_subcooling_in_heating(reversed_scene: Scene) -> None:
    assert math.isnan(reversed_scene.number("gauge_subcooling_k"))
    assert reversed_scene.words("gauge_subcooling_k") == "—"
    assert len(cycle_seen(reversed_scene)) == 2  # suction and discharge gas; no liquid corner


def test_an_instrument_in_heating_is_called_after_its_place(reversed_scene: Scene, running: Scene) -> None:  # fmt: skip
    key = "evaporator_air_out_k"
    assert instrument_label(_snapshot(running), key) == "evaporator air out"
    assert instrument_label(_snapshot(reversed_scene), key) == "coil B air out"
