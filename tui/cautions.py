"""Which cautions belong to which act at the bench. The texts are ``rigs/cautions.toml``'s; nothing is written out here."""

from __future__ import annotations

import math

from sim.cautions import all_cautions, cautions_for
from tui.meter import ON_DEAD_ONLY, MeterDesk
from tui.plant import Measured, Setting, Snapshot, TagInfo
from tui.spaces import Spaces, shut_tags
from tui.wiring_plan import LIVE_V, WiringPlan

GUARDED = {
    "PSHH-1.reset": ("protective",),
    "PSHH-1.set": ("protective",),
    "PSL-1.set": ("protective",),
}
"""Tag -> cautions before any change that a hand makes on it."""
SERVICE_VALVES = {"HV-41": ("vacuum",), "HV-42": ("protective",)}
"""Tag -> cautions before it is shut while the compressor runs: the pump pulls a vacuum, or pushes against a shut valve until a protector acts."""


MODE_SELECTOR = "heating"
"""What a switch can be set to that reverses the cycle."""
# common practice: compressor off and pressures equal before a hand reverses a cycle
REVERSING = "It reverses the cycle. On a running one high pressure bursts into the suction side, liquid from the warm coil goes to the compressor, and the motor may stall. Stop the compressor first and wait until the pressures have drawn together."


COMPRESSOR_SWITCH = "HS-4"
RESTART_PA = 1e5  # guess: against more a motor of this size may not break loose (common practice: equalise before a restart)


def restart_lines(tag: str, value: Setting, snapshot: Snapshot) -> list[str]:
    """Why not to start yet, while the gauges stand far apart."""
    if tag != COMPRESSOR_SWITCH or value != "on" or snapshot.running:
        return []
    low, high = (snapshot.readings.get(f"{side}_pressure_pa_shown", math.nan) for side in ("suction", "discharge"))  # fmt: skip
    if not (isinstance(low, float) and isinstance(high, float) and high - low > RESTART_PA):
        return []
    return [
        f"The gauges stand {(high - low) / 1e5:.1f} bar apart. A small motor may not start against that: it hums, draws its locked-rotor current and trips on its overload. Wait until the pressures have drawn together: minutes through an open device, far longer through a valve that has shut or with HS-6 off."
    ]


def first_run_lines(safety_class: str = "") -> list[str]:
    """What is read before the first start of a session."""
    return [caution.line(safety_class=safety_class) for caution in cautions_for("screen:first-run", also=("pressure", "restart", "hot/cold", "gas"))]  # fmt: skip


def all_lines(safety_class: str = "") -> list[str]:
    """Every caution."""
    lines: list[str] = []
    for caution in all_cautions().values():
        lines += [caution.line(safety_class=safety_class), ""]
    return lines


def lines_of(ids: tuple[str, ...], safety_class: str = "") -> list[str]:
    """The cautions of these ids."""
    return [caution.line(safety_class=safety_class) for caution in cautions_for(also=ids)]


def card_lines(info: TagInfo, safety_class: str = "") -> list[str]:
    """Cautions on the card of a part."""
    found = cautions_for(f"part:{info.kind}", f"switch:{info.kind}")
    return [caution.line(safety_class=safety_class) for caution in found[:2]]


def before(tag: str, value: Setting, snapshot: Snapshot, spaces: Spaces, plan: WiringPlan | None = None) -> tuple[str, ...]:  # fmt: skip
    """Ids of the cautions that must be read before ``tag`` goes to ``value``."""
    found = list(GUARDED.get(tag, ()))
    if plan is not None:
        found += at_wiring(tag, value, snapshot, plan)
    if shuts(value, snapshot.commands.get(tag)):
        shut = shut_tags(snapshot.commands, snapshot.positions)
        if spaces.trapped_by(tag, shut, snapshot.places):
            found.append("trapped")
        if snapshot.running:
            found += SERVICE_VALVES.get(tag, ())
    return tuple(dict.fromkeys(found))


def lines_before(tag: str, value: Setting, snapshot: Snapshot, spaces: Spaces, plan: WiringPlan | None, guarded: TagInfo | None, safety_class: str = "") -> list[str]:  # fmt: skip
    """All that has to be read, and agreed to, before ``tag`` goes to ``value``; nothing when nothing has. ``guarded`` is what is known of a tag under a guard."""
    ids = before(tag, value, snapshot, spaces, plan)
    lines = lines_of(ids, safety_class)
    lines += restart_lines(tag, value, snapshot)
    lines += guard_lines(guarded, snapshot, safety_class) if guarded is not None else []
    volts = live_volts(tag, value, snapshot, plan) if plan is not None else 0.0
    lines += [f"Live now: {volts:.0f} V to earth."] if volts > LIVE_V and "isolate" in ids else []
    return lines


def at_wiring(tag: str, value: Setting, snapshot: Snapshot, plan: WiringPlan) -> tuple[str, ...]:
    """The same for what hands do at the wiring: leads, the terminal cover, a jumper, a charge, a fuse or switch that has acted."""
    live = live_volts(tag, value, snapshot, plan) > LIVE_V
    device, _, act = tag.rpartition(".")
    if plan.lead(tag) is not None:
        return ("isolate",) if live else ()
    if act == "cover" and value == "open":
        return ("terminals", "isolate") if live else ("terminals",)
    if act in ("discharge", "reset") and device in plan.what:
        return ("capacitor",) if act == "discharge" else ("protective",)
    return ("protective", "isolate") if device == "jumper" and value != "none" else ()


def live_volts(tag: str, value: Setting, snapshot: Snapshot, plan: WiringPlan) -> float:
    """Highest rms volts to earth where hands go for ``tag``: the ends of a lead, the terminals of a device, a jumper's clip."""
    volts = snapshot.circuit.volts if snapshot.circuit is not None else {}
    lead, device = plan.lead(tag), tag.rpartition(".")[0]
    ends = [str(value)] if device == "jumper" else [name for name in volts if device and plan.device_of(name) == device]  # fmt: skip
    if lead is not None:
        ends = [lead.a, lead.b]
    return max((volts.get(end, 0.0) for end in ends), default=0.0)


def for_meter(plan: WiringPlan, desk: MeterDesk, measured: Measured | None) -> tuple[str, ...]:
    """Ids of the cautions beside the meter: what a refusal brings, what a mode on a dead circuit asks for, what the place under cursor and probes asks for."""
    lead = plan.lead(desk.cursor)
    places = [*desk.probes, *((lead.a, lead.b) if lead is not None else (desk.cursor,))]
    found = list(measured.cautions) if measured is not None else []
    found += ["isolate"] if desk.mode in ON_DEAD_ONLY else []
    found += [name for name in plan.cautions_of(places) if name in ("terminals", "capacitor")]
    return tuple(dict.fromkeys(found))


def guard_lines(info: TagInfo, snapshot: Snapshot, safety_class: str = "") -> list[str]:
    """Why a switch is under a guard."""
    lines = [f"{info.tag} is under a guard."]
    if MODE_SELECTOR in info.choices:
        lines[0] += f" {REVERSING}"
        lines += lines_of(("protective",), safety_class) if snapshot.running else []
        lines += ["The compressor is running now."] if snapshot.running else []
    return lines


def shuts(value: Setting, was: Setting | None) -> bool:
    """True when a valve goes from open to shut."""
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return number and value <= 0.0 and isinstance(was, int | float) and was > 0.0  # type: ignore[operator]
