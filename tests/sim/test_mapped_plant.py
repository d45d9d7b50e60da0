"""The second kind of compressor in the same plant: a ten-coefficient map (AHRI 540) rated from the first kind must run it nearly alike.

The reference is the hermetic machine's own rating on ``sim.calorimeter``; the polynomial is fitted here by least squares.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim import Bench, load_rig
from sim.calorimeter import Stand, rate
from sim.fluid import Fluid
from sim.parts.compressor import ReciprocatingCompressor
from sim.parts.compressor_map import MappedCompressor
from sim.parts.motor import SinglePhaseMotor
from sim.rig import PlacedPart, Rig
from sim.session import line_up

ICE = 273.15
SUCTION_C = (-22.0, -14.0, -6.0, 2.0)
DISCHARGE_C = (26.0, 36.0, 46.0, 56.0)
SUPERHEAT_K = 14.0  # as this rig's gas enters the shell


def part(rig: Rig, kind: type) -> PlacedPart:
    return next(p for p in rig.parts if isinstance(p.part, kind))


def terms(s: float, d: float) -> list[float]:
    """AHRI 540, order of the ten terms."""
    return [1.0, s, d, s * s, s * d, d * d, s**3, d * s * s, s * d * d, d**3]


def rated_map(rig: Rig) -> MappedCompressor:
    machine, drive = part(rig, ReciprocatingCompressor).part, part(rig, SinglePhaseMotor).part
    assert isinstance(machine, ReciprocatingCompressor)
    assert isinstance(drive, SinglePhaseMotor)
    fluid = Fluid.load(rig.fluid_name)
    shell = next(w for w in rig.walls if w.node == "shell")
    rows, flows, powers = [], [], []
    for s in SUCTION_C:
        for d in DISCHARGE_C:
            stand = Stand(
                suction_pressure_pa=fluid.dew_pressure(s + ICE),
                suction_temperature_k=s + ICE + SUPERHEAT_K,
                discharge_pressure_pa=fluid.dew_pressure(d + ICE),
                room_k=296.15,
                voltage_v=120.0,
                frequency_hz=60.0,
                shell_to_room_w_k=shell.conductance_w_k,
                wall_to_gas_w_k=1.0,
            )
            rating = rate(machine, drive, fluid.tables, stand)
            rows.append(terms(s, d))
            flows.append(rating.flow_kg_s)
            powers.append(rating.power_w)
    flow = np.linalg.lstsq(np.array(rows), np.array(flows), rcond=None)[0]
    power = np.linalg.lstsq(np.array(rows), np.array(powers), rcond=None)[0]
    return MappedCompressor(
        tag=machine.tag,
        flow_coefficients=tuple(float(x) for x in flow),
        power_coefficients=tuple(float(x) for x in power),
        degrees="celsius",
        rating_superheat_k=SUPERHEAT_K,
        loss_share=0.3,
        suction_dew_low_k=ICE - 24.0,
        suction_dew_high_k=ICE + 4.0,
        discharge_dew_low_k=ICE + 24.0,
        discharge_dew_high_k=ICE + 58.0,
    )


def mapped_rig() -> Rig:
    rig = load_rig("fennick_bench")
    given = rated_map(rig)
    parts = tuple(
        replace(p, part=given) if isinstance(p.part, ReciprocatingCompressor) else p
        for p in rig.parts
        if not isinstance(p.part, SinglePhaseMotor)
    )
    return replace(rig, parts=parts, wiring="")  # a map has no windings to be wired


def steady(rig: Rig) -> Bench:
    bench = Bench(rig)
    line_up(bench, "thermostatic")
    bench.advance(3600.0)
    return bench


def test_a_map_rated_from_the_hermetic_machine_runs_the_plant_nearly_alike() -> None:
    machine = steady(load_rig("fennick_bench")).readings()
    by_map = steady(mapped_rig()).readings()
    for name in ("suction_pressure_pa", "discharge_pressure_pa"):
        assert float(by_map[name]) == pytest.approx(float(machine[name]), rel=0.03)
    for name in ("mass_flow_kg_s", "compressor_power_w", "refrigerating_capacity_w"):
        assert float(by_map[name]) == pytest.approx(float(machine[name]), rel=0.05)


def test_the_books_close_with_a_map_too() -> None:
    ledger = steady(mapped_rig()).ledger()
    assert abs(ledger["mass_closure"]) < 1e-9
    assert abs(ledger["energy_closure"]) < 1e-6


def test_a_mapped_machine_stops_with_its_contact() -> None:
    bench = steady(mapped_rig())
    bench.set("HS-4", "off")
    bench.advance(5.0)
    readings = bench.readings()
    assert readings["compressor_speed_rpm"] == 0.0
    assert float(readings["compressor_power_w"]) == pytest.approx(0.0, abs=0.1)
