"""What a person may see of a reading: in the learner's view what the instrument shows, in the instructor's view the truth at the place where that instrument hangs.

Readings are named after what a coil does, instruments hang where they hang. In heating the coils change their work: the thermometers at coil B, which is the evaporator in
cooling, then stand in the condenser's air and on its hot inlet pipe, and the one before the metering devices stands behind them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from sim.flutter import Tap, trembling_pa
from sim.working.steps import STEPS
from tui.derived import DERIVED, derive_all
from tui.fluid_chart import FluidChart
from tui.glasses import GLASSES
from tui.plant import Reading, Snapshot
from tui.words import label_of, reading

SLIDE_THERE = 0.9
"""Share of its travel after which the log says that a reversing valve's slide has changed sides (``sim.watching``)."""
THERMOSTAT = "thermostat"
"""Kind of a control that does its work when it opens; no alarm."""
OUTLET = "evaporator_outlet_temperature_k"
OUTLET_NODE = "b_outlet"
"""The pipe that carries the thermometer at coil B's outlet."""
OTHER_COIL = {
    f"{role}_air_{end}_k": f"{other}_air_{end}_k"
    for role, other in (("evaporator", "condenser"), ("condenser", "evaporator"))
    for end in ("in", "out")
}
"""Air reading -> what the same instrument measures in heating."""
PLACES = {
    "evaporator_air_in_k": "coil B air in",
    "evaporator_air_out_k": "coil B air out",
    "condenser_air_in_k": "coil A air in",
    "condenser_air_out_k": "coil A air out",
    OUTLET: "pipe at coil B",
    "liquid_temperature_k": "behind the device",
}


NO_FLOW, BACKFLOW = "no flow", "backflow"
STILL_KG_S = 5e-5
"""Below this nothing is said to flow; guess: a sixtieth of the flow of a bench of this size, what still creeps about in a plant that stands."""


def stands(snapshot: Snapshot) -> bool:
    """True when the compressor moves no refrigerant, whether it stands or runs on nothing: superheat and subcooling then tell nothing of coils and charge."""
    flow = snapshot.readings.get("mass_flow_kg_s")
    return not snapshot.running or (isinstance(flow, int | float) and abs(flow) < STILL_KG_S)


def against(snapshot: Snapshot | None, link: str) -> bool:
    """True when refrigerant flows through a link the other way than an instrument in it is made for."""
    return snapshot is not None and snapshot.flows.get(link, 0.0) < -STILL_KG_S


def wants_flow(snapshot: Snapshot, key: str) -> bool:
    """True for what is worked out only while something flows (``sim.working`` says which), and nothing does."""
    return key in DERIVED and STEPS[DERIVED[key]].runs and stands(snapshot)


def heating(snapshot: Snapshot) -> bool:
    """True when the reversing valve's slide stands on the heating side."""
    return snapshot.slide > 0.5


def tripped(snapshot: Snapshot, kinds: Mapping[str, str]) -> list[str]:
    """Controls and protectors that have stopped the machine; ``kinds``: tag -> kind."""
    return [tag for tag, opened in snapshot.tripped.items() if opened and kinds.get(tag) != THERMOSTAT]  # fmt: skip


def seen(snapshot: Snapshot, key: str, instructor: bool) -> Reading | None:
    """One reading, as its instrument shows it or as it is where the instrument hangs."""
    if instructor and heating(snapshot) and f"{key}_shown" in snapshot.readings:
        if key in OTHER_COIL:
            return snapshot.readings.get(OTHER_COIL[key])
        place = snapshot.places.get(OUTLET_NODE)
        if key == OUTLET and place is not None:
            return place.temperature_k
    value = reading(snapshot.readings, key, instructor)
    return GLASSES[value].looks if isinstance(value, str) and value in GLASSES and not instructor else value  # fmt: skip


def worked_out(snapshot: Snapshot, key: str, instructor: bool, fluid: FluidChart | None) -> float:
    """A reading as a number, or what follows from several of them; nan when there is none."""
    return all_worked_out(snapshot, (key,), instructor, fluid)[0]


def all_worked_out(snapshot: Snapshot, keys: Sequence[str], instructor: bool, fluid: FluidChart | None) -> list[float]:  # fmt: skip
    """Several of them: what they rest on is worked out once."""
    wanted = [key for key in keys if key in DERIVED and not wants_flow(snapshot, key)]
    found = derive_all(wanted, lambda name: _number(snapshot, name, instructor), fluid, heating(snapshot))  # fmt: skip
    return [found.get(key, math.nan) if key in DERIVED else _number(snapshot, key, instructor) for key in keys]  # fmt: skip


def _number(snapshot: Snapshot, key: str, instructor: bool) -> float:
    value = seen(snapshot, key, instructor)
    return float(value) if isinstance(value, int | float) else math.nan


def trembling(snapshot: Snapshot, taps: Sequence[Tap]) -> dict[str, float]:
    """Gauge to half of its needle's swing now, Pa."""
    found = {}
    for tap in taps:
        place, flow, speed = snapshot.places.get(tap.node), *(snapshot.readings.get(key) for key in ("mass_flow_kg_s", "compressor_speed_rpm"))  # fmt: skip
        if place is not None and isinstance(flow, int | float) and isinstance(speed, int | float):
            found[tap.reading] = trembling_pa(tap, flow, speed / 60.0, place.density, place.pressure_pa)  # fmt: skip
    return found


def instrument_label(snapshot: Snapshot, key: str) -> str:
    """A reading's short name; in heating an instrument whose name would mislead is called after its place."""
    fixed = heating(snapshot) and f"{key}_shown" in snapshot.readings
    return PLACES[key] if fixed and key in PLACES else label_of(key)
