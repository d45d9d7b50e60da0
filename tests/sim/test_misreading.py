"""A fan that turns the wrong way: the plant has too little air, and the thermometers at the coil change their sides."""

from __future__ import annotations

import pytest

from sim import Bench, load_rig
from sim.session import make_steady
from sim.starts import Start

HALF_HOUR_S = 1800.0


@pytest.fixture(scope="module")
def running() -> Bench:
    bench = Bench(load_rig("fennick_bench"))
    make_steady(bench, Start(start="steady", device="capillary"), None)
    return bench


def with_fault(running: Bench, name: str, severity: float, place: str | None = None) -> Bench:
    bench = running.fork()
    bench.insert_fault(name, severity, place=place)
    bench.advance(HALF_HOUR_S)
    return bench


@pytest.mark.parametrize(("fan", "side", "low"), [("FAN-A", "condenser", "condenser-air-low"), ("FAN-B", "evaporator", "evaporator-air-low")])  # fmt: skip
def test_the_plant_has_as_little_air_and_each_thermometer_feels_the_other_s(running: Bench, fan: str, side: str, low: str) -> None:  # fmt: skip
    backwards, starved = with_fault(running, "fan-turns-backwards", 1.0, fan), with_fault(running, low, 0.6)  # fmt: skip
    here, there = backwards.readings(), starved.readings()
    for name in ("suction_pressure_pa", "discharge_pressure_pa", f"{side}_air_in_k", f"{side}_air_out_k"):  # fmt: skip
        assert here[name] == pytest.approx(there[name], rel=1e-9)
    shown = [(one[f"{side}_air_in_k_shown"], one[f"{side}_air_out_k_shown"]) for one in (here, there)]  # fmt: skip
    class_k = 0.5  # of these thermometers, K
    assert shown[0] == pytest.approx((shown[1][1], shown[1][0]), abs=2 * class_k)
    assert abs(float(shown[1][0]) - float(shown[1][1])) > 10 * class_k


def test_it_is_seen_at_the_blades_and_gone_when_it_is_removed(running: Bench) -> None:
    bench = with_fault(running, "fan-turns-backwards", 1.0, "FAN-A")

    def seen() -> list[str]:
        spots = bench.snapshot().senses.spots
        return [sign.what for spot in spots if spot.place == "FAN-A" for sign in spot.signs]

    assert "turns backwards" in seen()
    bench.remove_fault("fan-turns-backwards")
    bench.advance(1.0)
    assert "turns fast" in seen()
    assert float(bench.readings()["condenser_air_out_k_shown"]) > float(bench.readings()["condenser_air_in_k_shown"])  # fmt: skip
