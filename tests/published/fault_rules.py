"""The published faults put into the bench with its receiver bypassed, and what they move. ``python -m tests.published.fault_rules`` prints the table."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from math import sqrt
from pathlib import Path
from typing import Any, NamedTuple

from sim import Bench, load_rig
from sim.air import AIR_FILM_EXPONENT
from sim.calorimeter import Stand, rate
from sim.faults import all_faults
from sim.fluid import Fluid
from sim.fluid_kernel import dew_pressure
from sim.rig import Device
from sim.session import start_bench
from sim.starts import Start

DATA: dict[str, Any] = tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))
COLUMNS: list[str] = DATA["columns"]
BANDS = tomllib.loads((Path(__file__).parents[1] / "sim" / "directions.toml").read_text("utf-8"))["neutral"]  # fmt: skip
IN_BANDS = [BANDS[name] for name in ("suction_bar", "superheat_k", "discharge_bar", "subcooling_k", "discharge_pipe_k", "air_rise_k", "air_drop_k")]  # fmt: skip
WARM_S = 5400.0
HALVINGS = 12
R134A = Fluid.load("R134a").tables


class Plant(NamedTuple):
    """What the rules speak of, and what it costs."""

    columns: tuple[float, ...]
    """In the order of COLUMNS, the two saturation temperatures as their pressures in bar, the rest in K."""
    capacity_w: float
    cop: float


@cache
def sound(device: Device) -> Bench:
    """Running steady on a device without a receiver."""
    start = Start(start="steady", device=device, receiver="bypassed")
    return start_bench(load_rig("fennick_bench"), start)


def look(bench: Bench) -> Plant:
    """Readings of the plant as it is, not as its instruments show it."""
    r: dict[str, Any] = bench.readings()
    columns = (
        dew_pressure(R134A, r["evaporating_temperature_k"]) / 1e5,
        r["evaporator_superheat_k"],
        dew_pressure(R134A, r["condensing_temperature_k"]) / 1e5,
        r["condenser_subcooling_k"],
        r["discharge_temperature_k"],
        r["condenser_air_out_k"] - r["condenser_air_in_k"],
        r["evaporator_air_in_k"] - r["evaporator_air_out_k"],
    )
    return Plant(columns, r["refrigerating_capacity_w"], r["cop"])


def with_faults(device: Device, **severities: float) -> Bench:
    """The bench with these faults in it, steady again; frost is held off, as the rules know none."""
    bench = sound(device).fork()
    bench.hold_frost(True)
    for name, severity in severities.items():
        place = "HV-13" if name == "liquid_line_restricted" else None  # the line-up's liquid line
        bench.insert_fault(name.replace("_", "-"), severity, place=place)
    bench.advance(WARM_S)
    return bench


def halved(target: float, value: Callable[[float], float]) -> float:
    """The severity at which a value that grows with it reaches a target."""
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if value(middle) < target else (low, middle)
    return 0.5 * (low + high)


def leaked(device: Device, share: float) -> Bench:
    """A share of the charge that is in the plant gone."""
    healthy = sound(device)
    return with_faults(device, undercharge=share * healthy.total_mass_kg / healthy.rig.charge_kg)


def valve_leaking(device: Device, share: float) -> Bench:
    """The leak that costs the machine a share of its flow on a test stand at this plant's pressures."""
    healthy = sound(device)
    r: dict[str, Any] = healthy.readings()
    stand = Stand(
        suction_pressure_pa=r["suction_pressure_pa"],
        suction_temperature_k=r["suction_temperature_k"],
        discharge_pressure_pa=r["discharge_pressure_pa"],
        room_k=r["room_temperature_k"],
        voltage_v=r["voltage_v"],
        frequency_hz=60.0,
        shell_to_room_w_k=2.0,  # guess: as on the bench; both flows are taken with it
        wall_to_gas_w_k=0.3,  # guess: the same
    )
    parts: dict[str, Any] = {placed.part.KIND: placed.part for placed in healthy.rig.parts}
    machine = parts["reciprocating_compressor"], parts["single_phase_motor"], R134A, stand
    leak_m2 = all_faults()["discharge-valve-leak"].changes[0].value
    whole = rate(*machine).flow_kg_s

    def lost(severity: float) -> float:
        return 1.0 - rate(*machine, discharge_leak_m2=severity * leak_m2).flow_kg_s / whole

    return with_faults(device, discharge_valve_leak=halved(share, lost))


def line_restricted(device: Device, share: float) -> Bench:
    """A restriction that takes a share of the sound difference between condenser outlet and evaporator inlet."""

    def pressures(bench: Bench) -> tuple[float, float, float]:
        at = bench.snapshot().places
        return at["a8"].pressure_pa, at["liquid_line"].pressure_pa, at["b1"].pressure_pa

    outlet, line, inlet = pressures(sound(device))

    def taken(severity: float) -> float:
        before, after, _ = pressures(with_faults(device, liquid_line_restricted=severity))
        return ((before - after) - (outlet - line)) / (outlet - inlet)

    # far beyond these levels the low-pressure control stops the plant, and nothing grows any more
    severity = 0.4 * halved(share, lambda s: taken(0.4 * s))
    return with_faults(device, liquid_line_restricted=severity)


def face_covered(device: Device, share: float) -> Bench:
    """Paper on a share of the condenser's face: the open rest gets less air in all, and that faster.

    Core resistance as 1/area^2, the fan's curve a parabola (``sim.frost``); film of the open area as its velocity to the exponent of ``sim.air``.
    """
    coil: Any = sound(device).rig.part("COIL-A").part
    free = 1.0 - share
    air = 1.0 / sqrt(1.0 + coil.air_drop_share * (free**-2.0 - 1.0))
    film = free ** (1.0 - AIR_FILM_EXPONENT)  # beside what less air costs
    return with_faults(device, condenser_air_low=1.0 - air, condenser_fouled=1.0 - film)


PUT: dict[str, Callable[[Device, float], Bench]] = {
    "refrigerant leak": leaked,
    "compressor valve leak": valve_leaking,
    "liquid-line restriction": line_restricted,
    "condenser fouling": face_covered,
    "condenser air low": lambda device, share: with_faults(device, condenser_air_low=share),
    "evaporator fouling": lambda device, share: with_faults(device, evaporator_air_low=share),
}
"""How a published level is put into the bench."""


@cache
def faulty(fault: str, device: Device, level: float) -> Plant:
    """The plant with a published fault at a level."""
    return look(PUT[fault](device, level))


def in_bands(fault: str, device: Device, level: float) -> list[float]:
    """Changes in neutral bands, a column each."""
    before, after = look(sound(device)).columns, faulty(fault, device, level).columns
    return [(b - a) / band for a, b, band in zip(before, after, IN_BANDS, strict=True)]


def verdicts(rule: dict[str, Any], device: Device, level: float) -> list[str]:
    """A column each: moved, within or against; '' where nothing is said."""
    found = []
    for said, bands in zip(
        rule["signs"].split(), in_bands(rule["fault"], device, level), strict=True
    ):
        along = bands if said == "+" else -bands
        found.append("" if said == "." else "moved" if along > 1.0 else "within" if along >= -1.0 else "against")  # fmt: skip
    return found


def main() -> None:
    """Print changes in neutral bands, and what moved as published."""
    for device in ("capillary", "hand"):
        moved = 0
        print(f"\n{device}; changes in neutral bands, (x): within")
        print(f"{'':32}" + "".join(f"{name:>15}" for name in COLUMNS))
        for rule in DATA["rule"]:
            for level in rule["levels"]:
                at = verdicts(rule, device, level)
                row = zip(in_bands(rule["fault"], device, level), rule["signs"].split(), at, strict=True)  # fmt: skip
                cells = [f"({b:+.1f}) {s}" if v == "within" else f"{b:+.1f} {s}" for b, s, v in row]
                print(f"{rule['fault']:24}{100 * level:6.1f} %" + "".join(f"{cell:>15}" for cell in cells))  # fmt: skip
            moved += at.count("moved")
        print(f"{moved} of {DATA['cells']} cells moved at the largest levels")


if __name__ == "__main__":
    main()
