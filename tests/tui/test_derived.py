"""Superheat and subcooling as a technician works them out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import fake_chart, steady_bench


def test_a_gauge_that_reads_high_makes_the_superheat_look_small() -> None:
    bench = steady_bench()
    snapshot = bench.snapshot()
    wrong = {**snapshot.readings, "suction_pressure_pa_shown": float(snapshot.readings["suction_pressure_pa"]) + 20e3}  # fmt: skip
    scene = scene_of(bench, snapshot=replace(snapshot, readings=wrong))
    learner = scene.number("gauge_superheat_k")
    scene.instructor = True
    assert scene.number("gauge_superheat_k") - learner > 1.0


def test_superheat_is_gas_temperature_minus_boiling_point_at_the_gauge() -> None:
    scene, fluid = scene_of(steady_bench()), fake_chart()
    boiling = fluid.boiling_k(scene.number("suction_pressure_pa"))
    outlet, gas = (scene.number(key) for key in ("evaporator_outlet_temperature_k", "suction_temperature_k"))  # fmt: skip
    assert scene.number("gauge_superheat_k") == pytest.approx(outlet - boiling)
    assert scene.number("suction_gauge_superheat_k") == pytest.approx(gas - boiling)


def test_without_a_thermometer_at_the_outlet_the_one_at_the_compressor_stands_in() -> None:
    bench = steady_bench()
    snapshot = bench.snapshot()
    kept = {key: value for key, value in snapshot.readings.items() if "evaporator_outlet_temperature" not in key}  # fmt: skip
    scene = scene_of(bench, snapshot=replace(snapshot, readings=kept))
    assert scene.number("gauge_superheat_k") == scene.number("suction_gauge_superheat_k")


def test_subcooling_is_condensing_point_at_the_gauge_minus_liquid_temperature() -> None:
    scene, fluid = scene_of(steady_bench()), fake_chart()
    condensing = fluid.bubbling_k(scene.number("discharge_pressure_pa"))
    assert scene.number("gauge_subcooling_k") == pytest.approx(condensing - scene.number("liquid_temperature_k"))  # fmt: skip
