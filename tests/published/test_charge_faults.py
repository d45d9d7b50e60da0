"""What too much and too little refrigerant costs a plant without a receiver, held against published sizes. Other machines, so order of magnitude and direction count.

Not met, and why: two regressions for split air conditioners with a thermostatic valve (TN 1848 of 2014; a regression of 2017 over several machines) lose 4 to 5 % of
capacity at a tenth of the charge gone and 11 % at a fifth. Here the condenser's 6 K of subcooling hold a quarter of this plant's small charge back, so the valve keeps capacity
until that is gone and loses 14 % at half. A mean over both kinds of machines (below) is met.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from sim.faults import all_faults
from sim.rig import Device
from tests.published.fault_rules import WARM_S, sound


@cache
def after(device: Device, share: float) -> dict[str, Any]:
    """Readings when so much of the plant's own charge has gone (negative: come), an hour and a half later."""
    bench = sound(device).fork()
    bench.hold_frost(True)
    name = "undercharge" if share > 0.0 else "overcharge"
    if share:
        of_nominal = abs(share) * bench.total_mass_kg / bench.rig.charge_kg
        bench.insert_fault(name, of_nominal / abs(all_faults()[name].charge))
    bench.advance(WARM_S)
    return dict(bench.readings())


def ratio(device: Device, share: float, key: str) -> float:
    return float(after(device, share)[key]) / float(after(device, 0.0)[key])


def test_a_fifth_too_much_takes_more_power_by_what_a_published_regression_says() -> None:
    """NIST TN 1848 (Domanski, Henderson and Payne 2014), coefficients from memory: 1.035 at 26.7 degC inside and 35 degC outside; 0.03 is the fit's spread over machines."""
    assert ratio("thermostatic", -0.2, "compressor_power_w") == pytest.approx(1.035, abs=0.03)


def test_a_quarter_gone_costs_capacity_as_the_mean_of_many_plants() -> None:
    """Kim and Braun 2010, from memory: the mean over machines with fixed and thermostatic devices loses 10 to 20 % of capacity at a charge a quarter low."""
    mean = sum(ratio(device, 0.25, "refrigerating_capacity_w") for device in ("capillary", "thermostatic")) / 2  # fmt: skip
    assert 0.80 <= mean <= 0.90


def test_a_capillary_minds_missing_charge_more_than_a_valve_does() -> None:
    """Choi and Kim, Energy 27 (2002) 391-404 (abstract read): a capillary plant is more sensitive to charge than one whose valve holds superheat."""
    for key in ("refrigerating_capacity_w", "cop"):
        lost = {device: abs(1.0 - ratio(device, 0.2, key)) for device in ("capillary", "thermostatic")}  # fmt: skip
        assert lost["capillary"] > 1.5 * lost["thermostatic"]


def test_service_readings_of_a_valve_plant_go_as_a_makers_guideline_says() -> None:
    """A maker's installation manual for heat pumps with thermostatic valves (read on a public page), in kelvins: overcharged, subcooling doubles and superheat stays
    (11-14 against 6-7, 4-7); undercharged, subcooling goes, superheat rises to 14-17 and more and the head falls. (Its discharge line is hotter by 30 K too; here head and shell
    make up for the superheat, and it stays within a kelvin.)"""
    normal, over, under = (after("thermostatic", share) for share in (0.0, -0.2, 0.5))
    assert over["condenser_subcooling_k"] > 1.7 * normal["condenser_subcooling_k"]
    assert over["evaporator_superheat_k"] == pytest.approx(normal["evaporator_superheat_k"], abs=1.5)  # fmt: skip
    assert over["discharge_pressure_pa"] >= normal["discharge_pressure_pa"]
    assert under["condenser_subcooling_k"] < 0.5 * normal["condenser_subcooling_k"]
    assert under["evaporator_superheat_k"] > 14.0
    assert under["discharge_pressure_pa"] < normal["discharge_pressure_pa"]
