"""Which cautions belong to which act at the bench. The texts are ``rigs/cautions.toml``'s; nothing is written out here."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, Protocol

from sim.cautions import all_cautions, cautions_for
from tui.meter import ON_DEAD_ONLY, MeterDesk
from tui.plant import Measured, Setting, Snapshot, TagInfo
from tui.questions import apart_pa, questions_before, shuts
from tui.roles import NO_ROLES, Roles
from tui.spaces import Spaces, shut_tags
from tui.wiring_plan import LIVE_V, WiringPlan
from tui.words import UNIT_CHOICES, Units, listed
from tui.working import difference_words


class Surroundings(Protocol):
    """What is known of a plant besides its state: ``tui.report.Report`` or ``Opened``."""

    @property
    def spaces(self) -> Spaces: ...
    @property
    def plan(self) -> WiringPlan | None: ...
    @property
    def roles(self) -> Roles: ...


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


def of_events(kinds: Iterable[str], safety_class: str = "") -> list[str]:
    """What belongs to events of these kinds."""
    return [caution.line(safety_class=safety_class) for caution in cautions_for(*(f"event:{kind}" for kind in kinds))]  # fmt: skip


class Asked(NamedTuple):
    """What has to be read, and agreed to, before an act."""

    lines: list[str]
    against: list[str]
    """Those of them that speak against the act as the plant stands."""

    @property
    def warns(self) -> bool:
        """Does anything?"""
        return bool(self.against)


def before(tag: str, value: Setting, snapshot: Snapshot, spaces: Spaces, plan: WiringPlan | None = None, roles: Roles = NO_ROLES) -> tuple[str, ...]:  # fmt: skip
    """Ids of the cautions that must be read before ``tag`` goes to ``value``."""
    found = [name for one in questions_before(tag, value, snapshot, roles) for name in one.cautions]
    if plan is not None:
        found += at_wiring(tag, value, snapshot, plan)
    found += ["trapped"] if traps(tag, value, snapshot, spaces) else []
    return tuple(dict.fromkeys(found))


def traps(tag: str, value: Setting, snapshot: Snapshot, spaces: Spaces) -> list[str]:
    """What would be shut in, full of liquid, and between which valves."""
    shut = shut_tags(snapshot.commands, snapshot.positions)
    shutting = [valve for valve in spaces.valves_of(tag) if value == "off" and valve not in shut]
    shutting += [tag] if shuts(value, snapshot.commands.get(tag)) else []
    found = []
    for valve in shutting:
        space = spaces.trapped_by(valve, shut, snapshot.places)
        if space:
            others = [one for one in spaces.shut_around(space, shut) if one != valve]
            rooms = list(dict.fromkeys(spaces.names.get(node, node) for node in sorted(space)))
            where = "Between" if others else "Behind"
            found.append(f"{where} {listed([valve, *others])} there would be nothing but liquid ({listed(rooms)}): leave a way out of it open.")  # fmt: skip
    return found


def asked_before(tag: str, value: Setting, snapshot: Snapshot, about: Surroundings, *, guarded: bool = False, safety_class: str = "", units: Units = UNIT_CHOICES[0]) -> Asked:  # fmt: skip
    """All that has to be read before ``tag`` goes to ``value``; no lines when nothing has."""
    plan, questions = about.plan, questions_before(tag, value, snapshot, about.roles)
    ids = before(tag, value, snapshot, about.spaces, plan, about.roles)
    against = lines_of(ids, safety_class) + traps(tag, value, snapshot, about.spaces)
    apart = difference_words("suction_pressure_pa", apart_pa(snapshot), units)
    told = {one: one.text.format(apart=apart) for one in questions if one.text}
    volts = live_volts(tag, value, snapshot, plan) if plan is not None else 0.0
    live = [f"Live now: {volts:.0f} V to earth."] if volts > LIVE_V and "isolate" in ids else []
    lines = [*against, *told.values(), *live]
    against += [text for one, text in told.items() if not one.safe] + live
    return Asked(
        [f"{tag} is under a guard.", *lines] if guarded else lines if against else [], against
    )


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
