"""The steps from readings to results, in the order in which a person takes them.

A step's ``form`` is written once: its places are filled with symbols for the formula and with numbers for the calculation. What cannot be had is said by ``sheet``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import isnan
from typing import Any

from sim.working import formulas as f

Look = Callable[[str], float]
"""Name -> number, or nan."""


@dataclass(frozen=True)
class Given:
    """Something that is read, or known of the bench, and not worked out."""

    key: str
    name: str
    symbol: str
    reading: str = ""
    """What an instrument shows; '' for a constant."""


@dataclass(frozen=True)
class Step:
    """One calculation. ``way`` takes the numbers of ``inputs``, and the refrigerant last when it ``asks`` its table."""

    key: str
    """A name with its SI unit at the end, so that it can be shown in any unit."""
    name: str
    symbol: str
    form: str
    inputs: tuple[str, ...]
    way: Callable[..., float]
    asks: bool = False
    runs: bool = False
    """Means nothing while the compressor stands."""
    cooling: bool = False
    """In heating the instrument for it hangs elsewhere in the circuit."""
    note: str = ""


@dataclass(frozen=True)
class Group:
    """Steps that belong together."""

    name: str
    steps: tuple[Step, ...]


GIVEN = (
    Given("suction_gauge_pa", "suction gauge", "p(PI-1)", "suction_pressure_pa"),
    Given("discharge_gauge_pa", "discharge gauge", "p(PI-2)", "discharge_pressure_pa"),
    Given("evaporator_outlet_temperature_k", "evaporator outlet pipe", "tE", "evaporator_outlet_temperature_k"),
    Given("suction_temperature_k", "suction pipe at the compressor", "t1", "suction_temperature_k"),
    Given("discharge_temperature_k", "discharge pipe", "t2", "discharge_temperature_k"),
    Given("liquid_temperature_k", "liquid before the device", "t3", "liquid_temperature_k"),
    Given("evaporator_air_in_k", "air into coil B", "tBi", "evaporator_air_in_k"),
    Given("evaporator_air_out_k", "air out of coil B", "tBo", "evaporator_air_out_k"),
    Given("condenser_air_in_k", "air into coil A", "tAi", "condenser_air_in_k"),
    Given("condenser_air_out_k", "air out of coil A", "tAo", "condenser_air_out_k"),
    Given("flowmeter_m3_s", "flowmeter's scale", "V(FI-1)", "flowmeter"),
    Given("voltage_v", "panel volts", "U", "voltage_v"),
    Given("current_a", "panel amps", "I", "current_a"),
    Given("power_w", "panel watts", "P(JI-1)", "power_w"),
    Given("atmosphere_absolute_pa", "air pressure of the room", "pA"),
    Given("float_kg_m3", "density of the float", "ρF"),
    Given("scale_kg_m3", "density that the scale is drawn for", "ρS"),
)  # fmt: skip
"""The room's air pressure is given, as no barometer hangs on the bench."""


def _gas(pressure_pa: float, temperature_k: float, fluid: f.Refrigerant) -> float:
    return fluid.vapour_enthalpy(pressure_pa, temperature_k)


def _boiling(pressure_pa: float, fluid: f.Saturation) -> float:
    return fluid.boiling_k(pressure_pa)


def _bubbling(pressure_pa: float, fluid: f.Saturation) -> float:
    return fluid.bubbling_k(pressure_pa)


def _liquid(temperature_k: float, fluid: f.Refrigerant) -> float:
    return fluid.liquid_enthalpy(temperature_k)


def _density(temperature_k: float, fluid: f.Refrigerant) -> float:
    return fluid.liquid_density(temperature_k)


def _same(value: float) -> float:
    return value


LESS, TIMES, OVER = "{0} − {1}", "{0} · {1}", "{0} / {1}"
NOT_COUNTED = "not counted: fans, coils and lamps on the panel, whose watts go into the air; heat lost by shell and discharge pipe before TI-1; heat taken up by the suction line behind TI-4; heat stored while nothing is steady yet"  # fmt: skip

GROUPS = (
    Group("pressures and temperatures", (
        Step("suction_absolute_pa", "suction pressure, absolute", "p0", "{0} + {1}", ("suction_gauge_pa", "atmosphere_absolute_pa"), f.absolute_pa),
        Step("discharge_absolute_pa", "discharge pressure, absolute", "pC", "{0} + {1}", ("discharge_gauge_pa", "atmosphere_absolute_pa"), f.absolute_pa),
        Step("evaporating_point_k", "evaporating temperature", "t0", "dew point at {0}", ("suction_absolute_pa",), _boiling, asks=True),
        Step("condensing_point_k", "condensing temperature", "tC", "bubble point at {0}", ("discharge_absolute_pa",), _bubbling, asks=True),
        Step("superheat_at_outlet_k", "superheat at the evaporator", "SH", LESS, ("evaporator_outlet_temperature_k", "evaporating_point_k"), f.superheat_k, runs=True, cooling=True, note="PI-1 hangs at the compressor: the suction line's pressure drop is in it"),
        Step("superheat_at_compressor_k", "superheat at the compressor", "SH1", LESS, ("suction_temperature_k", "evaporating_point_k"), f.superheat_k, runs=True),
        Step("subcooling_at_device_k", "subcooling before the device", "SC", LESS, ("condensing_point_k", "liquid_temperature_k"), f.subcooling_k, runs=True, cooling=True, note="PI-2 hangs at the compressor: the pressure drop up to the device is in it"),
        Step("compression_ratio", "compression ratio", "r", OVER, ("discharge_absolute_pa", "suction_absolute_pa"), f.ratio, note="absolute pressures: gauge values give another number"),
        Step("evaporator_air_drop_k", "air over coil B, how much colder", "ΔtB", LESS, ("evaporator_air_in_k", "evaporator_air_out_k"), lambda a, b: f.rise(b, a)),
        Step("condenser_air_rise_k", "air over coil A, how much warmer", "ΔtA", LESS, ("condenser_air_out_k", "condenser_air_in_k"), lambda a, b: f.rise(b, a)),
    )),
    Group("enthalpies, by the IIR reference: liquid at 0 °C has 200 kJ/kg", (
        Step("outlet_gas_j_kg", "gas, evaporator outlet", "hE", "gas at {0}, {1}", ("suction_absolute_pa", "evaporator_outlet_temperature_k"), _gas, asks=True, runs=True, cooling=True),
        Step("suction_gas_j_kg", "gas, compressor suction", "h1", "gas at {0}, {1}", ("suction_absolute_pa", "suction_temperature_k"), _gas, asks=True, runs=True),
        Step("discharge_gas_j_kg", "gas, compressor discharge", "h2", "gas at {0}, {1}", ("discharge_absolute_pa", "discharge_temperature_k"), _gas, asks=True, runs=True),
        Step("liquid_j_kg", "liquid before the device", "h3", "liquid at {0}", ("liquid_temperature_k",), _liquid, asks=True, runs=True, cooling=True, note="taken as saturated liquid of that temperature: pressure hardly matters to a liquid"),
        Step("flash_share", "flash gas behind the device", "x4", "({0} − h′) / (h″ − h′) at {1}", ("liquid_j_kg", "suction_absolute_pa"), f.flash_share, asks=True, runs=True, cooling=True, note="h4 = h3: a throttle keeps the enthalpy"),
        Step("effect_j_kg", "refrigerating effect, per kg", "q0", LESS, ("outlet_gas_j_kg", "liquid_j_kg"), lambda a, b: f.rise(b, a), runs=True, cooling=True),
        Step("work_j_kg", "work on the gas, per kg", "w", LESS, ("discharge_gas_j_kg", "suction_gas_j_kg"), lambda a, b: f.rise(b, a), runs=True, note="less than what the motor takes in: the shell has given heat to the room on the way"),
        Step("rejected_j_kg", "heat rejected, per kg", "qC", LESS, ("discharge_gas_j_kg", "liquid_j_kg"), lambda a, b: f.rise(b, a), runs=True, cooling=True, note="from TI-1 to TI-2: discharge pipe, receiver and liquid line give off their share, not the condenser alone"),
    )),
    Group("flow, heat, COP", (
        Step("liquid_kg_m3", "density of the liquid", "ρ", "liquid at {0}", ("liquid_temperature_k",), _density, asks=True, runs=True, cooling=True),
        Step("float_factor", "flowmeter's factor for that density", "F", "√(({0} − {2}) · {1} / (({0} − {1}) · {2}))", ("float_kg_m3", "scale_kg_m3", "liquid_kg_m3"), f.float_factor, runs=True, cooling=True),
        Step("liquid_m3_s", "true volume flow", "V", TIMES, ("flowmeter_m3_s", "float_factor"), f.product, runs=True, cooling=True),
        Step("flow_kg_s", "mass flow", "m", TIMES, ("liquid_m3_s", "liquid_kg_m3"), f.product, runs=True, cooling=True),
        Step("taken_up_w", "refrigerating capacity", "Q0", TIMES, ("flow_kg_s", "effect_j_kg"), f.product, runs=True, cooling=True),
        Step("rejected_w", "heat rejected", "QC", TIMES, ("flow_kg_s", "rejected_j_kg"), f.product, runs=True, cooling=True),
        Step("gas_work_w", "power into the gas", "Pg", TIMES, ("flow_kg_s", "work_j_kg"), f.product, runs=True, cooling=True),
        Step("cop_of_gas", "COP, refrigerant's side", "COPg", OVER, ("effect_j_kg", "work_j_kg"), f.ratio, runs=True, cooling=True),
    )),
    Group("electrical", (
        Step("apparent_va", "apparent power, panel", "S", TIMES, ("voltage_v", "current_a"), f.product, note="volts times amps are not watts"),
        Step("power_factor", "power factor, panel", "pf", OVER, ("power_w", "apparent_va"), f.ratio),
        Step("panel_heat_w", "panel's watts in heat's unit", "P", "{0}", ("power_w",), _same),
        Step("cop_of_panel", "COP, whole panel", "COP", OVER, ("taken_up_w", "panel_heat_w"), f.ratio, runs=True, cooling=True, note="no meter for the compressor alone: fans and controls are in these watts"),
    )),
    Group("energy balance", (
        Step("residual_w", "taken up + panel − rejected", "ΔQ", "{0} + {1} − {2}", ("taken_up_w", "panel_heat_w", "rejected_w"), f.residual_w, runs=True, cooling=True, note=NOT_COUNTED),
        Step("residual_share", "that, of the heat rejected", "ΔQ/QC", OVER, ("residual_w", "rejected_w"), f.ratio, runs=True, cooling=True),
    )),
)  # fmt: skip
STEPS = {step.key: step for group in GROUPS for step in group.steps}
GIVENS = {given.key: given for given in GIVEN}


def symbol_of(key: str) -> str:
    """How a number is called in a formula."""
    return STEPS[key].symbol if key in STEPS else GIVENS[key].symbol


def apply(step: Step, numbers: tuple[float, ...], fluid: Any) -> float:
    """One step from the numbers of its inputs; nan when one is missing."""
    if any(isnan(number) for number in numbers):
        return float("nan")
    return step.way(*numbers, fluid) if step.asks else step.way(*numbers)


def worked(key: str, look: Look, fluid: f.Saturation) -> float:
    """A result from what ``look`` knows; what it does not know is worked out by its step."""
    known = look(key)
    if not isnan(known) or key not in STEPS:
        return known
    step = STEPS[key]
    return apply(step, tuple(worked(name, look, fluid) for name in step.inputs), fluid)


def ground_of(key: str) -> tuple[str, ...]:
    """The readings and constants that a step rests on, each once."""
    if key not in STEPS:
        return (key,)
    return tuple(dict.fromkeys(ground for name in STEPS[key].inputs for ground in ground_of(name)))
