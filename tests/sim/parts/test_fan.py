"""The fan: steps, damper, faults, natural draught."""

from __future__ import annotations

from math import sqrt

import pytest

from sim.parts import fan
from sim.parts.fan import Fan

FAN = Fan(tag="HS-3", flow_high_m3_s=0.075, low_share=0.2, natural_share=0.05)
ROW = FAN.row()


def test_high_and_low_give_their_flows() -> None:
    # natural draught adds as the root of the sum of squares: sqrt(1 + 0.05^2) = 1.00125, sqrt(0.2^2 + 0.05^2) = 0.20616
    assert fan.volume_flow_m3_s(ROW, 2.0, 1.0) == pytest.approx(0.075 * 1.00125, rel=1e-5)
    assert fan.volume_flow_m3_s(ROW, 1.0, 1.0) == pytest.approx(0.075 * 0.20616, rel=1e-4)


def test_a_stopped_fan_leaves_natural_draught_and_takes_no_power() -> None:
    assert fan.volume_flow_m3_s(ROW, 0.0, 1.0) == pytest.approx(0.075 * 0.05)
    assert fan.power_w(ROW, 0.0) == 0.0


def test_power_is_that_of_the_step() -> None:
    assert fan.power_w(ROW, 1.0) == 15.0
    assert fan.power_w(ROW, 2.0) == 25.0
    assert fan.power_w(ROW, 1.5) == 20.0


def test_half_the_air_gone_is_half_the_air() -> None:
    assert fan.volume_flow_m3_s(ROW, 2.0, 0.5) == pytest.approx(0.075 * sqrt(0.25 + 0.0025))


def test_cold_air_is_moved_by_volume_so_its_mass_flow_grows() -> None:
    warm = fan.dry_air_flow_kg_s(ROW, 2.0, 1.0, 308.15, 0.0, 101325.0)
    cold = fan.dry_air_flow_kg_s(ROW, 2.0, 1.0, 263.15, 0.0, 101325.0)
    assert cold / warm == pytest.approx(308.15 / 263.15)
    # 0.0751 m3/s of dry air at 35 C, 1.1455 kg/m3 (ASHRAE Fundamentals ch. 1 table 2: v = 0.8730 m3/kg)
    assert warm == pytest.approx(0.07509 / 0.8730, rel=1e-3)


def test_impossible_fans_are_refused_in_sentences() -> None:
    assert FAN.check() == []
    wrong = Fan(
        tag="HS-2",
        flow_high_m3_s=0.9,
        low_share=0.06,
        natural_share=0.1,
        power_high_w=10.0,
        power_low_w=12.0,
    )
    assert [name for name, _ in wrong.check()] == ["flow_high_m3_s", "power_low_w", "natural_share"]
