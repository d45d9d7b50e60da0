"""Guards on our own arithmetic of the motor: the expected values are the formulas themselves, worked by hand."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from sim.parts import motor
from sim.parts.motor import SinglePhaseMotor, motor_state, resistance_ratio

DATA = Path(__file__).parents[1] / "data" / "compressors"
ROW = motor.row(SinglePhaseMotor(**tomllib.loads((DATA / "bench.toml").read_text())["motor"]))


def test_copper_rises_by_a_third_from_20_to_100_degrees() -> None:
    # IEC 60034-1 resistance method: (234.5 + 100)/(234.5 + 20) = 1.3143
    assert resistance_ratio(373.15, motor.COPPER_K) == pytest.approx(1.314, rel=0.002)


def test_nine_tenths_of_the_voltage_start_with_four_fifths_of_the_torque() -> None:
    # linear magnetic circuit: 0.9^2 = 0.81
    full = motor_state(ROW, 120.0, 60.0, 0.0, 293.15, 1)[0]
    low = motor_state(ROW, 108.0, 60.0, 0.0, 293.15, 1)[0]
    assert low / full == pytest.approx(0.81, abs=0.005)
