"""From a rig (data) to a plant (tables): every node, wall, link and slow state gets its number here and nowhere else.

Over 300 lines: every number that a plant's tables need is given out here.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.fluid import Fluid
from sim.layout import PORT_CODES, Layout, LinkPlan, cell_names, coil_tables, is_outside, joins
from sim.oil import oiled_row
from sim.parts import (
    capillary,
    compressor,
    compressor_map,
    motor,
    reversing_valve,
    thermostatic_valve,
)
from sim.parts.check_valve import CheckValve
from sim.parts.coil import Coil
from sim.parts.float_valve import FloatValve
from sim.parts.hand_expansion_valve import HandExpansionValve
from sim.parts.hand_valve import HandValve
from sim.parts.pipe import Pipe
from sim.parts.relief_valve import ReliefValve
from sim.parts.reversing_valve import ReversingValve
from sim.parts.solenoid_valve import SolenoidValve
from sim.parts.thermostatic_valve import ThermostaticValve
from sim.passages import COIL_D0, coil_conductance, coil_fall, fall_between
from sim.plant import MAPPED, RECIPROCATING, Plant
from sim.rig import PlacedPart, Port, Rig

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LINK_KINDS: dict[type[Any], int] = {
    Pipe: c.PIPE,
    HandValve: c.PIPE,
    CheckValve: c.CHECK,
    capillary.Capillary: c.CAPILLARY,
    HandExpansionValve: c.NEEDLE,
    ThermostaticValve: c.TXV,
    FloatValve: c.FLOAT,
    ReliefValve: c.RELIEF,
    SolenoidValve: c.SOLENOID,
}
COMPRESSORS = (compressor.ReciprocatingCompressor, compressor_map.MappedCompressor)
MACHINE_STATES = ("speed", "winding", "start_winding", "bimetal", "oil")
PASSAGE_ENDS = (
    ("discharge", "coil_a"),
    ("discharge", "coil_b"),
    ("coil_a", "suction"),
    ("coil_b", "suction"),
)
"""The reversing valve's passages in the order of ``reversing_valve.passages``."""

# numerical widths of the kernel; all far below anything that is read off
FLOW_EPS = 5e-4  # kg/s: below it the heat-over-flow of a coil cell is bent over (a sixth of the nominal flow)
UPWIND = 4e-5  # kg/s in an open line; narrower passages have less of it (sim.flow)
DP_BLEND = 30.0  # Pa
EMPTY_COIL = Port(node="", height="mixed")


def plan_links(rig: Rig) -> list[LinkPlan]:
    """Every link of a rig in a fixed order: coil passages, parts in file order, the reversing valve's passages and leak."""
    plans: list[LinkPlan] = []
    for coil in coil_tables(rig):
        names = cell_names(coil)
        for k, (a, b) in enumerate(pairwise(names)):
            plans.append(LinkPlan(f"{coil.tag}.{k + 1}", c.PIPE, Port(node=a), Port(node=b), coil))
    for placed in rig.parts:
        if isinstance(placed.part, ReversingValve):
            plans.extend(plan_reversing(placed))
        elif type(placed.part) in LINK_KINDS and joins(placed):
            plans.append(plan_part(placed))
    tubes = [plan for plan in plans if plan.kind == c.CAPILLARY]
    for k, plan in enumerate(tubes):
        plan.extra = k
    by_tag = {plan.tag: plan for plan in plans}
    for placed in rig.parts:
        if placed.in_line_with:
            by_tag[placed.in_line_with].handles.append(placed.tag)
    return plans


def plan_part(placed: PlacedPart) -> LinkPlan:
    """The link of one part between two nodes."""
    part: Any = placed.part
    start, end = placed.ports[:2]
    plan = LinkPlan(placed.tag, LINK_KINDS[type(part)], start, end, part, senses=placed.senses)
    if isinstance(part, HandValve | HandExpansionValve):
        plan.handles.append(placed.tag)
    if isinstance(part, Pipe) and part.shut_with:
        plan.handles.append(part.shut_with)
    return plan


def plan_reversing(placed: PlacedPart) -> list[LinkPlan]:
    """Four passages and the leak under the slide."""
    ports = dict(zip(ReversingValve.PORTS, placed.ports, strict=True))
    plans = [
        LinkPlan(f"{placed.tag}.{a}-{b}", c.PASSAGE, ports[a], ports[b], placed.part, extra=k)
        for k, (a, b) in enumerate(PASSAGE_ENDS)
    ]
    plans.append(
        LinkPlan(f"{placed.tag}.leak", c.PIPE, ports["discharge"], ports["suction"], placed.part)
    )
    return plans


def lay_out(rig: Rig, species: int = 1) -> Layout:
    """Number nodes, links, walls, coils and slow states."""
    nodes = {node.name: k for k, node in enumerate(rig.nodes)}
    plans = plan_links(rig)
    links = {plan.tag: k for k, plan in enumerate(plans)}
    walls = {name: k for k, name in enumerate(wall_order(rig))}
    coils = {coil.tag: k for k, coil in enumerate(coil_tables(rig))}
    layout = Layout(nodes, links, walls, coils, {}, plans, species)
    names = [f"{tag}.flow" for tag in coils]
    names += [f"{coil.tag}.{k + 1}.frost" for coil in coil_tables(rig) for k in range(coil.cells)]
    for placed in rig.parts:
        if isinstance(placed.part, COMPRESSORS):
            names += [f"machine.{k}" for k in MACHINE_STATES]
    names += [f"{p.tag}.bulb" for p in rig.parts if isinstance(p.part, ThermostaticValve)]
    names += [f"{p.tag}.slide" for p in rig.parts if isinstance(p.part, ReversingValve)]
    names += [f"{plan.tag}.position" for plan in plans if plan.kind in (c.RELIEF, c.SOLENOID)]
    names += ["box.temperature", "box.humidity"]
    layout.slow.update({name: layout.slow_start + k for k, name in enumerate(names)})
    # slow_start depends on the walls only, so the indices above are final
    return layout


def wall_order(rig: Rig) -> list[str]:
    """Nodes with a wall: every one has exactly one, coil cells included."""
    named = {wall.node for wall in rig.walls}
    cells = {node.name for node in rig.nodes if node.coil}
    return [node.name for node in rig.nodes if node.name in named or node.name in cells]


@lru_cache(maxsize=8)
def marched(fluid_name: str, tubes: tuple[Any, ...]) -> Any:
    """Tables of these capillaries, kept: a fork need not march them again. Nobody writes into them."""
    return capillary.build_tables(Fluid.load(fluid_name).tables, tubes)


class Builder:
    """Fills the tables of one plant."""

    def __init__(self, rig: Rig, layout: Layout) -> None:
        self.rig = rig
        self.layout = layout
        self.fluid = Fluid.load(rig.fluid_name)
        self.coils = coil_tables(rig)
        self.coil_k = {coil.tag: coil_conductance(coil, self.fluid) for coil in self.coils}
        self.elevation = {node.name: node.elevation_m for node in rig.nodes}
        self.coil_of = {node.name: node.coil for node in rig.nodes if node.coil}

    def nodes(self) -> tuple[Floats, Ints]:
        """Node tables."""
        table = np.zeros((self.layout.n_nodes, c.N_COLUMNS))
        ints = np.full((self.layout.n_nodes, c.NI_COLUMNS), -1, dtype=np.int64)
        for node in self.rig.nodes:
            k = self.layout.nodes[node.name]
            table[k, c.N_VOLUME] = node.volume_m3
            table[k, c.N_BURST] = self.rig.burst_pa(node)
            ints[k, c.NI_WALL] = self.layout.walls[node.name]
            if node.coil:
                ints[k, c.NI_COIL] = self.layout.coils[node.coil]
        return table, ints

    def walls(self) -> tuple[Floats, Ints]:
        """Wall tables; a coil's metal and film area are shared evenly by its cells."""
        table = np.zeros((len(self.layout.walls), c.W_COLUMNS))
        ints = np.full((len(self.layout.walls), c.WI_COLUMNS), -1, dtype=np.int64)
        for wall in self.rig.walls:
            k = self.layout.walls[wall.node]
            table[k] = (
                wall.heat_capacity_j_k,
                wall.area_m2,
                wall.conductance_w_k,
                wall.gas_film_w_m2_k,
            )
            ints[k, c.WI_NODE] = self.layout.nodes[wall.node]
        for coil in self.coils:
            for name in cell_names(coil):
                k = self.layout.walls[name]
                table[k, c.W_CAPACITY] = coil.wall_heat_capacity_j_k / coil.cells
                table[k, c.W_AREA] = coil.film_area_m2 / coil.cells
                ints[k] = self.layout.nodes[name], self.layout.coils[coil.tag]
        return table, ints

    def coil_rows(self) -> tuple[Floats, Ints]:
        """Coil tables; the air side is written by the bench."""
        table = np.zeros((len(self.coils), c.C_COLUMNS))
        ints = np.zeros((len(self.coils), c.CI_COLUMNS), dtype=np.int64)
        for k, coil in enumerate(self.coils):
            table[k, c.C_BORE] = coil.bore_m
            table[k, c.C_SECTION] = coil.section_m2
            table[k, c.C_NATURAL] = coil.still_conductance_w_k / coil.cells
            table[k, c.C_FLOW_TAU] = coil.flow_filter_s
            table[k, c.C_FIN_AREA] = coil.fin_area_m2 / coil.cells
            table[k, c.C_FIN_GAP] = coil.fin_gap_m
            table[k, c.C_AIR_DROP] = coil.air_drop_share
            middle = f"{coil.tag}.{max(coil.cells // 2, 1)}"
            ints[k, c.CI_LINK] = self.layout.links[middle]
            ints[k, c.CI_STATE] = self.layout.slow[f"{coil.tag}.flow"]
            ints[k, c.CI_FIRST] = self.layout.nodes[cell_names(coil)[0]]
            ints[k, c.CI_CELLS] = coil.cells
            ints[k, c.CI_FROST] = self.layout.slow[f"{coil.tag}.1.frost"]
        return table, ints

    def links(self) -> tuple[Floats, Ints]:
        """Link tables."""
        plans = self.layout.plans
        table = np.zeros((len(plans), c.L_COLUMNS))
        ints = np.full((len(plans), c.LI_COLUMNS), -1, dtype=np.int64)
        for k, plan in enumerate(plans):
            ints[k, c.LI_KIND] = plan.kind
            ints[k, c.LI_FROM] = self.layout.nodes[plan.start.node]
            ints[k, c.LI_TO] = -1 if is_outside(plan.end) else self.layout.nodes[plan.end.node]
            ints[k, c.LI_PORT_FROM] = PORT_CODES[plan.start.height]
            ints[k, c.LI_PORT_TO] = PORT_CODES[plan.end.height]
            ints[k, c.LI_EXTRA] = plan.extra
            if plan.senses:
                ints[k, c.LI_AUX] = self.layout.nodes[plan.senses]
            if plan.kind == c.TXV:
                ints[k, c.LI_STATE] = self.layout.slow[f"{plan.tag}.bulb"]
            if plan.kind in (c.RELIEF, c.SOLENOID):
                ints[k, c.LI_STATE] = self.layout.slow[f"{plan.tag}.position"]
            if plan.kind == c.PASSAGE:
                ints[k, c.LI_STATE] = self.layout.slow[f"{plan.part.tag}.slide"]
            self.link_row(table[k], plan)
        return table, ints

    def link_row(self, row: Floats, plan: LinkPlan) -> None:
        """Numbers of one link."""
        part = plan.part
        row[c.L_OPENING] = 1.0
        if isinstance(part, Coil):
            row[c.L_K], row[c.L_D0] = self.coil_k[part.tag], COIL_D0
            row[c.L_FALL] = coil_fall(part)
            row[c.L_HEAD] = self.elevation[plan.start.node] - self.elevation[plan.end.node]
            return
        if isinstance(part, Pipe):
            row[c.L_K], row[c.L_D0] = part.area_m2, part.linear_below_pa
            row[c.L_HEAD] = part.liquid_leg_m or -part.riser_m
        elif plan.kind != c.CAPILLARY:
            own = part.row()
            row[c.L_K], row[c.L_D0] = own[0], own[1]
            row[c.L_PART : c.L_PART + len(own)] = own
        if isinstance(part, ReversingValve) and plan.kind == c.PIPE:
            row[c.L_K] = part.leak_area_m2
        if row[c.L_HEAD] == 0.0 and not is_outside(plan.end):
            row[c.L_HEAD] = self.elevation[plan.start.node] - self.elevation[plan.end.node]
        if plan.kind in (c.PIPE, c.PASSAGE):
            for end in (plan.start.node, plan.end.node):
                if end in self.coil_of and row[c.L_K] > 0.0:
                    # the link into a coil's end cell carries half that cell's resistance
                    row[c.L_K] = 1.0 / (1.0 / row[c.L_K] + 0.5 / self.coil_k[self.coil_of[end]])
        if plan.kind == c.PIPE and not is_outside(plan.end):
            row[c.L_FALL] = fall_between(self.coils, self.elevation, plan.start.node, plan.end.node)

    def bulbs(self) -> tuple[Floats, Ints]:
        """Bulb tables."""
        placed = [p for p in self.rig.parts if isinstance(p.part, ThermostaticValve)]
        rows: list[Floats] = [p.part.row() for p in placed]  # type: ignore[attr-defined]
        ints = [(self.layout.nodes[p.senses], self.layout.slow[f"{p.tag}.bulb"]) for p in placed]
        return (
            np.array(rows).reshape(len(placed), thermostatic_valve.N_COLUMNS),
            np.array(ints, dtype=np.int64).reshape(len(placed), 2),
        )

    def machine(self) -> tuple[Floats, Floats, Ints]:
        """Compressor and motor rows; shell, head, shell wall, first slow state and kind (-1: none)."""
        motor_row = np.zeros(motor.M_COLUMNS)
        for placed in self.rig.parts:
            if isinstance(placed.part, motor.SinglePhaseMotor):
                motor_row = motor.row(placed.part)
        found = next((p for p in self.rig.parts if isinstance(p.part, COMPRESSORS)), None)
        if found is None:
            return np.zeros(compressor.C_COLUMNS), motor_row, np.full(5, -1, dtype=np.int64)
        shell, head = found.nodes
        by_map = isinstance(found.part, compressor_map.MappedCompressor)
        ints = (
            self.layout.nodes[shell],
            self.layout.nodes[head],
            self.layout.walls[shell],
            self.layout.slow["machine.speed"],
            MAPPED if by_map else RECIPROCATING,
        )
        part: Any = found.part
        row = compressor_map.row(part) if by_map else oiled_row(part, self.fluid.tables)
        return row, motor_row, np.array(ints, dtype=np.int64)

    def slide(self) -> tuple[Floats, Ints]:
        """Reversing-valve row; discharge node, suction node, slide state (-1: none)."""
        for placed in self.rig.parts:
            if isinstance(placed.part, ReversingValve):
                high, low = placed.nodes[:2]
                ints = (
                    self.layout.nodes[high],
                    self.layout.nodes[low],
                    self.layout.slow[f"{placed.tag}.slide"],
                )
                return placed.part.row(), np.array(ints, dtype=np.int64)
        return np.zeros(reversing_valve.N_COLUMNS), np.full(3, -1, dtype=np.int64)

    def capillaries(self) -> Any:
        """Tables of every capillary, marched once."""
        tubes = tuple(plan.part for plan in self.layout.plans if plan.kind == c.CAPILLARY)
        return marched(self.rig.fluid_name, tubes)

    def globals(self) -> Floats:
        """Globals that do not change while running; the bench writes the rest."""
        g = np.zeros(c.G_COLUMNS)
        g[c.G_SLIP] = 1.0 / 3.0
        g[c.G_FLOW_EPS] = FLOW_EPS
        g[c.G_UPWIND] = UPWIND
        g[c.G_DP_BLEND] = DP_BLEND
        g[c.G_P_CRITICAL] = self.fluid.critical_pressure_pa
        return g

    def size(self) -> Ints:
        """The sizes in the order of SIZE_*."""
        lay = self.layout
        starts = (lay.energy_start, lay.wall_start, lay.slow_start, lay.ledger_start, lay.n_states)
        return np.array((lay.n_nodes, lay.n_species, len(lay.walls), *starts, lay.slow["box.temperature"]), dtype=np.int64)  # fmt: skip

    def plant(self) -> Plant:
        """The tables together."""
        node, node_i = self.nodes()
        wall, wall_i = self.walls()
        coil, coil_i = self.coil_rows()
        link, link_i = self.links()
        bulb, bulb_i = self.bulbs()
        machine, motor_row, machine_i = self.machine()
        slide, slide_i = self.slide()
        return Plant(
            self.fluid.tables,
            self.fluid.tables,
            self.capillaries(),
            self.size(),
            node,
            node_i,
            wall,
            wall_i,
            coil,
            coil_i,
            link,
            link_i,
            bulb,
            bulb_i,
            machine,
            motor_row,
            np.zeros(compressor.WEAR_COLUMNS),
            machine_i,
            slide,
            slide_i,
            np.zeros((c.FEED_FIXED, 3), dtype=np.complex128),
            self.globals(),
        )


def build_plant(rig: Rig, species: int = 1) -> tuple[Plant, Layout]:
    """Tables and layout of a rig. The capillaries are marched here (a fraction of a second)."""
    layout = lay_out(rig, species)
    return Builder(rig, layout).plant(), layout
