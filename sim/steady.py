"""The steady state of a rig on a device, with a cycle computed from CoolProp alone beside it.

The two cycles share the evaporating and condensing pressures, superheats, subcooling and efficiencies of the bench, so their agreement checks tables and
bookkeeping, not the plant's physics; that is the business of ``tests/oracle`` and ``tests/published``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sim import columns as c
from sim.bench import Bench
from sim.errors import PlantError
from sim.events import Event
from sim.fluid import Fluid, Point
from sim.ledger import frost_by_coil
from sim.measure import View
from sim.reference_cycle import CycleInput, reference_cycle
from sim.rig import Rig
from sim.session import start_bench
from sim.starts import Start
from sim.steadiness import WINDOW_S, moving
from sim.surroundings import NAMES
from sim.tags import Setting

SETTLE_S = 3600.0  # measured: three to four time constants of the shell after a change of settings
MOST_SETTLES = 3  # guess: what is not steady by then does not become so
LOOK_S = 5.0  # measured: a watched window shows swings of half a minute
LEAST_RPM = 60.0  # guess: far above a creeping rotor, far below a running one
STOPPERS = ("trip", "stall", "burst", "empty", "contact")
"""Events that may be why a compressor stands."""
MISHAPS = ("trip", "lift", "burst", "slug", "stall", "damage")
GRAMS_AN_HOUR = 3.6e6  # of a kilogram a second


def steady_report(rig: Rig, *, device: str, mode: str, settings: Mapping[str, Setting]) -> dict[str, Any]:  # fmt: skip
    """Readings, states, balance, reference cycle and the difference in percent. Raises PlantError when the plant does not run so, or does not come to rest (``sim.steadiness``)."""
    surroundings = {k: float(v) for k, v in settings.items() if k in NAMES}
    start = Start(start="steady", device=device, mode=mode, surroundings=surroundings)  # type: ignore[arg-type]  # fmt: skip
    bench = start_bench(rig, start)
    bench.hold_frost(True)
    rest = {k: v for k, v in settings.items() if k not in NAMES}
    for tag, value in rest.items():
        bench.set(tag, value)
    settle(bench, settings)
    readings = bench.readings()
    states = cycle_states(bench)
    reference = reference_of(bench, states, readings)
    return {
        "readings": readings,
        "states": [record(bench, *s) for s in states],
        "balance": balance_of(bench, readings),
        "reference": reference,
        "difference_percent": differences(states, readings, reference),
        "held": held_frost(bench),
        "warnings": [*bench.warnings, *said_of_mishaps(bench), *said_of_frost(held_frost(bench))],
    }


def settle(bench: Bench, settings: Mapping[str, Setting]) -> None:
    """Wait until the plant is steady with these settings. Raises PlantError when it is not, or stands."""
    given = ", ".join(f"{name}={value:g}" if isinstance(value, float) else f"{name}={value}" for name, value in settings.items())  # fmt: skip
    asked = f"--set {given}" if given else "the line-up"
    remedy = f"Change or leave out {asked}; a run sheet (rimebench run) follows it through time."
    still: list[str] = []
    for _ in range(MOST_SETTLES):
        since_s = bench.time_s
        if settings:
            bench.advance(SETTLE_S)
        still = watched(bench)
        if stands(bench) or not (still or stops(bench, since_s)):
            break
    if stands(bench) or stops(bench, since_s):
        word = "does not run" if stands(bench) else "keeps stopping and starting"
        raise PlantError("not-running", f"with {asked} the compressor {word}{why_it_stands(bench)}. {remedy}")  # fmt: skip
    if still:
        raise PlantError("not-steady", f"with {asked} the plant is not steady: {', '.join(still)}. {remedy}")  # fmt: skip


def watched(bench: Bench) -> list[str]:
    """What still moves in three minutes of looking."""
    keys = ("suction_pressure_pa", "discharge_pressure_pa", "evaporator_superheat_k", "power_w")
    rows = []
    for _ in range(int(WINDOW_S / LOOK_S) + 1):
        readings = bench.readings()
        rows.append((bench.time_s, *(float(readings[key]) for key in keys)))
        bench.advance(LOOK_S)
    return moving(rows)


def stands(bench: Bench) -> bool:
    """Does the compressor stand?"""
    return float(bench.readings()["compressor_speed_rpm"]) < LEAST_RPM


def stops(bench: Bench, since_s: float) -> list[Event]:
    """What has opened or closed in the second half of the wait: a plant that cycles has a steady look between two stops."""
    half = 0.5 * (since_s + bench.time_s)
    return [event for event in bench.events if event.time_s > half and event.kind in STOPPERS]


def why_it_stands(bench: Bench) -> str:
    """What happened first, in the words of the record."""
    first = next((event for event in bench.events if event.kind in STOPPERS), None)
    return f" ({first.tag}: {first.text.rstrip('.')})" if first else ""


def said_of_mishaps(bench: Bench) -> list[str]:
    """A sentence for each thing that tripped, lifted or broke on the way."""
    told = dict.fromkeys(f"on the way, {event.tag}: {event.text}" for event in bench.events if event.kind in MISHAPS)  # fmt: skip
    return list(told)


def held_frost(bench: Bench) -> dict[str, dict[str, float]]:
    """Coil -> frost at which it is held (kg), and how fast it would grow (negative: melt) if let go (kg/s)."""
    bench.look()
    held = {}
    for tag, on_it in frost_by_coil(bench).items():
        first, cells = bench.plant.coil_i[bench.layout.coils[tag], [c.CI_FIRST, c.CI_CELLS]]
        P = bench.watch.P[first : first + cells]
        held[tag] = {"frost_kg": on_it, "growth_kg_s": float((P[:, c.P_FREEZE] - P[:, c.P_MELT]).sum())}  # fmt: skip
    return held


def said_of_frost(held: Mapping[str, Mapping[str, float]]) -> list[str]:
    """A sentence for each coil whose frost would not stay as it is."""
    return [
        f"the frost on {tag} is held at {1e3 * now['frost_kg']:.0f} g; let go it would {'grow' if now['growth_kg_s'] > 0.0 else 'melt'}"
        f" by {abs(now['growth_kg_s']) * GRAMS_AN_HOUR:.0f} g an hour."
        for tag, now in held.items()
        if abs(now["growth_kg_s"]) * GRAMS_AN_HOUR >= 1.0
    ]


State = tuple[str, str, Point]


def cycle_states(bench: Bench) -> list[State]:
    """The bench's own five points: suction, discharge, before the device, behind it, evaporator outlet."""
    view = View(bench)
    fluid = Fluid.load(bench.charged_with)
    head = int(bench.plant.machine_i[1])
    node, m, e = view.suction_stream()
    suction = next(i.node for i in bench.rig.instruments if i.reading == "suction_pressure_pa")
    device_m, device_e = view.device_stream()
    before, behind = device_ends(view)
    points = [
        ("1", "compressor suction", view.at(suction, c.P_P), view.at(suction, c.P_H)),
        ("2", "compressor discharge", float(view.P[head, c.P_P]), float(view.P[head, c.P_H])),
        ("3", "before the device", view.at(before, c.P_P), device_e / device_m),
        ("4", "behind the device", view.at(behind, c.P_P), device_e / device_m),
        ("5", "evaporator outlet", view.at(node, c.P_P), e / m),
    ]
    return [(point, place, fluid.at_ph(p, h)) for point, place, p, h in points]


def device_ends(view: View) -> tuple[str, str]:
    """(node before, node behind) the metering device that passes most."""
    kinds = (c.CAPILLARY, c.NEEDLE, c.TXV, c.FLOAT)
    plans = [p for p in view.bench.layout.plans if p.kind in kinds]
    plan = max(plans, key=lambda p: abs(view.flow(p.tag)[0]))
    ends = (plan.start.node, plan.end.node)
    return ends[::-1] if view.heating else ends


def record(bench: Bench, point: str, place: str, at: Point) -> dict[str, Any]:
    """A state as the JSON has it; quality runs on below 0 in liquid and above 1 in vapour."""
    line = Fluid.load(bench.charged_with).saturation(at.p_pa)
    latent = line.h_vapour_j_kg - line.h_liquid_j_kg
    return {
        "point": point,
        "place": place,
        "p_pa": at.p_pa,
        "t_k": at.t_k,
        "h_j_kg": at.h_j_kg,
        "s_j_kg_k": at.s_j_kg_k,
        "quality": (at.h_j_kg - line.h_liquid_j_kg) / latent,
    }


def reference_of(bench: Bench, states: list[State], readings: Mapping[str, Any]) -> dict[str, Any]:
    """The cycle of CoolProp at the bench's pressures, superheats, subcooling, flow and efficiencies."""
    one, two, three, _, five = (point for _, _, point in states)
    fluid = Fluid.load(bench.charged_with)
    m = float(readings["mass_flow_kg_s"])
    power = float(readings["compressor_power_w"])
    ideal = isentropic_enthalpy(fluid, one, two.p_pa) - one.h_j_kg
    given = CycleInput(
        fluid=bench.charged_with,
        evaporating_pa=five.p_pa,
        condensing_pa=three.p_pa,
        superheat_k=max(one.t_k - fluid.dew_temperature(one.p_pa), 0.0),
        subcooling_k=max(fluid.bubble_temperature(three.p_pa) - three.t_k, 0.0),
        isentropic_efficiency=m * ideal / power,
        heat_loss_fraction=1.0 - m * (two.h_j_kg - one.h_j_kg) / power,
        evaporator_superheat_k=max(five.t_k - fluid.dew_temperature(five.p_pa), 0.0),
        suction_quality=wetness(bench, one),
        evaporator_quality=wetness(bench, five),
        suction_drop_pa=five.p_pa - one.p_pa,
        discharge_drop_pa=two.p_pa - three.p_pa,
        mass_flow_kg_s=m,
    )
    return reference_cycle(given).as_dict() | {"input": given.__dict__}


def wetness(bench: Bench, at: Point) -> float:
    """Quality of a point, at most 1."""
    line = Fluid.load(bench.charged_with).saturation(at.p_pa)
    latent = line.h_vapour_j_kg - line.h_liquid_j_kg
    return min((at.h_j_kg - line.h_liquid_j_kg) / latent, 1.0)


def isentropic_enthalpy(fluid: Fluid, suction: Point, p_pa: float) -> float:
    """Enthalpy (J/kg) after isentropic compression to p_pa, from the tables."""
    from sim.fluid_inverse import vapour_at_ps

    return float(vapour_at_ps(fluid.tables, p_pa, suction.s_j_kg_k, suction.t_k + 40.0)[2])


def differences(states: list[State], readings: Mapping[str, Any], reference: Mapping[str, Any]) -> dict[str, float]:  # fmt: skip
    """Bench minus reference, in percent of the reference; temperatures in percent of their absolute value."""
    two = next(p for name, _, p in states if name == "2")
    five = next(p for name, _, p in states if name == "5")
    three = next(p for name, _, p in states if name == "3")
    m, power = float(readings["mass_flow_kg_s"]), float(readings["compressor_power_w"])
    capacity = m * (five.h_j_kg - three.h_j_kg)
    pairs = {
        "capacity_w": (capacity, reference["capacity_w"]),
        "power_w": (power, reference["power_w"]),
        "cop": (capacity / power, reference["cop"]),
        "discharge_temperature_k": (two.t_k, reference["discharge_temperature_k"]),
    }
    return {name: 100.0 * (a / b - 1.0) for name, (a, b) in pairs.items()}


def balance_of(bench: Bench, readings: Mapping[str, Any]) -> dict[str, float]:
    """Heat in and out of the refrigerant and through the walls, W; ``unbalanced_w`` is what is still being stored."""
    bench.look()
    y, lay, plant = bench.watch.y, bench.layout, bench.plant
    room = 0.0
    for k in lay.walls.values():
        if plant.wall_i[k, c.WI_COIL] < 0:
            room += plant.wall[k, c.W_UA] * (plant.glob[c.G_ROOM_T] - y[lay.wall_start + k])
    coil = {tag: coil_heat(bench, k) for tag, k in lay.coils.items()}
    electric = float(readings["compressor_power_w"])
    return {
        "compressor_power_w": electric,
        "room_heat_w": float(room),
        **{f"{tag}_air_heat_w": heat for tag, heat in coil.items()},
        "unbalanced_w": float(electric + room + sum(coil.values())),
    }


def coil_heat(bench: Bench, coil: int) -> float:
    """Heat from the air into a coil's walls, latent heat included, W."""
    plant, lay = bench.plant, bench.layout
    first, cells = int(plant.coil_i[coil, c.CI_FIRST]), int(plant.coil_i[coil, c.CI_CELLS])
    total = 0.0
    for i in range(first, first + cells):
        wall = bench.watch.y[lay.wall_start + int(plant.node_i[i, c.NI_WALL])]
        total += bench.watch.P[i, c.P_UA] * (bench.watch.P[i, c.P_TA] - wall)
    return float(total)
