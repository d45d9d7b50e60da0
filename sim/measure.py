"""Readings: what can be said of the plant at one instant, computed from its state when asked.

Evaporator and condenser readings follow the function: in heating the evaporator is the other coil. ``X_shown`` is what the instrument for X
displays; it stays where it is bolted.
"""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.course import air_out, air_through, machine_power, panel_value
from sim.fluid_inverse import liquid_at_ph, vapour_at_ph
from sim.fluid_kernel import N_SAT, SAT_HL, SAT_HV, SAT_T_BUBBLE, SAT_T_DEW, saturation
from sim.instruments import shown_readings
from sim.kernel import coil_inlet
from sim.layout import cell_names, coil_tables
from sim.ledger import frost_by_coil, oil_held_kg
from sim.senses import EMPTY, MISTY, WET
from sim.watching import PANEL

if TYPE_CHECKING:
    from sim.bench import Bench

STANDING_RAD_S = 5.0  # a stalled rotor creeps below this by design of the compressor law; it is shown as standing
SMALLEST_FLOW = 2e-4  # kg/s, five times the exchange of a pipe at rest (sim.flow); below it that exchange and not the stream decides e/m
FOAMY = 0.15  # void; guess: a glass full of foam


class View:
    """The plant at one instant with names for its places."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.lags = bench.look()
        self.P = bench.watch.P
        self.F = bench.watch.F
        self.y = bench.watch.y
        self.fluid = bench.plant.fluid
        self.sat = np.zeros(N_SAT)
        slide = bench.plant.slide_i[2]
        self.heating = bool(slide >= 0 and self.y[slide] > 0.5)
        self.coils = {c.tag: c for c in coil_tables(bench.rig)}

    def at(self, node: str, column: int) -> float:
        """One property of a node."""
        return float(self.P[self.bench.layout.nodes[node], column])

    def flow(self, tag: str) -> tuple[float, float]:
        """(kg/s, W) of a link."""
        m, e, _ = self.F[self.bench.layout.links[tag]]
        return float(m), float(e)

    def saturation(self, p: float) -> NDArray[np.float64]:
        """Saturation properties at p (the same array each time)."""
        saturation(self.fluid, p, self.sat)
        return self.sat

    def quality(self, p: float, h: float) -> float:
        """Generalised quality of a stream."""
        s = self.saturation(p)
        return float((h - s[SAT_HL]) / (s[SAT_HV] - s[SAT_HL]))

    def temperature(self, p: float, h: float) -> float:
        """Temperature (K) of a stream of enthalpy h at p."""
        x = self.quality(p, h)
        if x > 1.0:
            return float(vapour_at_ph(self.fluid, p, h, self.sat[SAT_T_DEW] + 5.0)[0])
        if x < 0.0:
            return float(liquid_at_ph(self.fluid, p, h, self.sat[SAT_T_BUBBLE] - 2.0)[0])
        return float(self.sat[SAT_T_BUBBLE] + x * (self.sat[SAT_T_DEW] - self.sat[SAT_T_BUBBLE]))

    # --- where the function is ---------------------------------------------------------------

    def coil_ends(self) -> tuple[str, str]:
        """(coil that evaporates, coil that condenses) now."""
        first, second = list(self.coils)[:2]
        return (first, second) if self.heating else (second, first)

    def suction_stream(self) -> tuple[str, float, float]:
        """(node at the evaporator's outlet, kg/s, W) of what returns to the suction line; the drum when it is fed flooded."""
        links = [p for p in self.bench.layout.plans if p.kind == c.PASSAGE and p.extra in (2, 3)]
        tag = links[0].tag if self.heating else links[1].tag
        node = links[0].start.node if self.heating else links[1].start.node
        m, e = self.flow(tag)
        for plan in self.bench.layout.plans:
            if plan.kind == c.PIPE and plan.end.node == links[0].end.node and plan.tag in self.bench.commands:  # fmt: skip
                md, ed = self.flow(plan.tag)
                if md > abs(m):
                    node = plan.start.node
                m, e = m + md, e + ed
        return node, m, e

    def device_stream(self) -> tuple[float, float]:
        """(kg/s, W) from the liquid header through the metering devices, positive towards the evaporator."""
        m = e = 0.0
        for plan in self.bench.layout.plans:
            if plan.kind in (c.CAPILLARY, c.NEEDLE, c.TXV, c.FLOAT):
                md, ed = self.flow(plan.tag)
                m, e = m + md, e + ed
        return (-m, -e) if self.heating else (m, e)

    def condenser_outlet(self) -> tuple[float, float, float]:
        """(Pa, J/kg, kg/s) of the liquid leaving the condenser."""
        coil = self.coils[self.coil_ends()[1]]
        cells = cell_names(coil)
        node = cells[0] if self.heating else cells[-1]
        m = e = 0.0
        for plan in self.bench.layout.plans:
            if node not in (plan.start.node, plan.end.node) or plan.part is coil:
                continue
            way = 1.0 if plan.start.node == node else -1.0
            ml, el = self.flow(plan.tag)
            if way * ml > SMALLEST_FLOW:
                m, e = m + way * ml, e + way * el
        p = self.at(node, c.P_P)
        return (p, e / m, m) if m > SMALLEST_FLOW else (p, self.at(node, c.P_H), 0.0)

    def glass(self, node: str) -> str:
        """What a glass on a node shows: clear, bubbles, foam, wet or empty. A stream of gas spreads the little liquid that it carries over the wall (annular flow), so that it is seen although it fills next to nothing; at rest it drains."""
        void = self.at(node, c.P_VOID)
        if void >= EMPTY:
            return "wet" if self.at(node, c.P_X) < 1.0 - WET and self.passes(node) else "empty"
        return "clear" if void < MISTY else ("bubbles" if void < FOAMY else "foam")

    def passes(self, node: str) -> bool:
        """True when a stream passes through a node."""
        return any(abs(self.flow(plan.tag)[0]) > SMALLEST_FLOW for plan in self.bench.layout.plans if node in (plan.start.node, plan.end.node))  # fmt: skip


def readings_of(bench: Bench) -> dict[str, float | str]:
    """Every reading of the contract."""
    view = View(bench)
    out: dict[str, float | str] = {}
    out.update(compressor_side(view))
    out.update(evaporator_side(view))
    out.update(condenser_side(view))
    out.update(air_side(view))
    out.update(panel(view))
    capacity, power = float(out["refrigerating_capacity_w"]), float(out["compressor_power_w"])
    useful = float(out["heat_rejected_w"]) if view.heating else capacity
    out["cop"] = useful / power if power > 1.0 else 0.0
    out["room_temperature_k"] = bench.surroundings.room_temperature_k
    out["atmospheric_pressure_pa"] = bench.surroundings.atmospheric_pressure_pa
    out["charge_kg"] = float(view.y[: bench.layout.n_nodes].sum() + oil_held_kg(bench))
    for instrument in bench.rig.instruments:
        if instrument.kind == "glass" and instrument.node:
            out[f"sight_glass_{instrument.tag}"] = view.glass(instrument.node)
        if instrument.reading == "strap_on_temperature_k":
            sensor = bench.watching.shown[instrument.tag]
            out["strap_on_temperature_k"] = float(bench.watch.value[sensor])
    out.update(shown_readings(bench, view.lags, out))
    return out


def tap(bench: Bench, reading: str, default: str) -> str:
    """Node at which the instrument for a reading is bolted."""
    for instrument in bench.rig.instruments:
        if instrument.reading == reading and instrument.node:
            return instrument.node
    return default


def compressor_side(view: View) -> dict[str, float | str]:
    """Readings at the compressor's service valves."""
    bench = view.bench
    suction = tap(bench, "suction_pressure_pa", "suction_port")
    high = tap(bench, "discharge_pressure_pa", "discharge")
    hot = tap(bench, "discharge_temperature_k", "head")
    ps, pd = view.at(suction, c.P_P), view.at(high, c.P_P)
    out: dict[str, float | str] = {
        "suction_pressure_pa": ps,
        "discharge_pressure_pa": pd,
        "suction_temperature_k": view.at(suction, c.P_T),
        "discharge_temperature_k": view.at(hot, c.P_T),
        "suction_superheat_k": view.at(suction, c.P_T) - float(view.saturation(ps)[SAT_T_DEW]),
        "suction_quality": min(max(view.at(suction, c.P_X), 0.0), 1.0),
        "pressure_ratio": pd / ps,
        "mass_flow_kg_s": float(view.F[-1, 0]),
    }
    state = bench.plant.machine_i[3]
    speed = float(view.y[state]) if state >= 0 else 0.0
    out["compressor_speed_rpm"] = speed * 30.0 / pi if abs(speed) > STANDING_RAD_S else 0.0
    out["compressor_power_w"] = machine_power(view.y, view.P, bench.plant)
    out["winding_temperature_k"] = float(view.y[state + 1]) if state >= 0 else 0.0
    wall = bench.layout.wall_start + int(bench.plant.machine_i[2])
    out["shell_temperature_k"] = float(view.y[wall])
    return out


def evaporator_side(view: View) -> dict[str, float | str]:
    """Readings of the coil that evaporates."""
    node, m, e = view.suction_stream()
    p = view.at(node, c.P_P)
    h = e / m if m > SMALLEST_FLOW else view.at(node, c.P_H)
    dew = float(view.saturation(p)[SAT_T_DEW])
    x = view.quality(p, h)
    t = view.temperature(p, h)
    _, e_device = view.device_stream()
    out: dict[str, float | str] = {
        "evaporating_temperature_k": dew,
        "evaporator_outlet_temperature_k": t,
        "evaporator_superheat_k": max(t - dew, 0.0) if x > 1.0 else 0.0,
        "evaporator_outlet_quality": min(max(x, 0.0), 1.0),
        "refrigerating_capacity_w": e - e_device,
    }
    return out


def condenser_side(view: View) -> dict[str, float | str]:
    """Readings of the coil that condenses and of the liquid before the device. In heating the devices are fed straight from that coil, and the liquid's thermometer hangs behind them."""
    bench = view.bench
    p, h, _ = view.condenser_outlet()
    coil = view.coils[view.coil_ends()[1]]
    heat = sum(view.at(name, c.P_HEAT) for name in cell_names(coil))
    s = view.saturation(p)
    dew, bubble = float(s[SAT_T_DEW]), float(s[SAT_T_BUBBLE])
    leaving = view.temperature(p, h)
    header = tap(bench, "liquid_temperature_k", "header")
    piped = view.at(header, c.P_T)
    before, boiling = leaving, bubble
    if not view.heating:
        before, boiling = piped, float(view.saturation(view.at(header, c.P_P))[SAT_T_BUBBLE])
    flowmeter = next((i.link for i in bench.rig.instruments if i.kind == "flowmeter"), "")
    levels = {i.reading: i.node for i in bench.rig.instruments if i.kind == "level"}
    out: dict[str, float | str] = {
        "condensing_temperature_k": dew,
        "condensing_bubble_temperature_k": bubble,
        "condenser_outlet_temperature_k": leaving,
        "condenser_subcooling_k": max(bubble - leaving, 0.0),
        "liquid_temperature_k": piped,
        "liquid_subcooling_k": max(boiling - before, 0.0),
        "heat_rejected_w": -heat,
        "liquid_flow_kg_s": view.flow(flowmeter)[0] if flowmeter else 0.0,
        "sight_glass": view.glass(header),
    }
    for reading, node in levels.items():
        out[reading] = 1.0 - view.at(node, c.P_VOID)
    return out


def air_side(view: View) -> dict[str, float | str]:
    """Air over both coils, by function."""
    bench = view.bench
    evaporator, condenser = view.coil_ends()
    out: dict[str, float | str] = {}
    for role, tag in (("evaporator", evaporator), ("condenser", condenser)):
        k = bench.layout.coils[tag]
        t_in, w_in = coil_inlet(view.y, bench.plant, k)
        t_out, w_out = air_out(view.y, view.P, bench.plant, k)
        out[f"{role}_air_in_k"] = float(t_in)
        out[f"{role}_air_out_k"] = float(t_out)
        out[f"{role}_air_flow_kg_s"] = float(air_through(view.y, bench.plant, k))
        # a rest below the solver's resolution may be negative
        out[f"{role}_frost_kg"] = max(frost_by_coil(bench)[tag], 0.0)
        if role == "evaporator":
            out["evaporator_air_in_humidity_ratio"] = float(w_in)
            out["evaporator_air_out_humidity_ratio"] = float(w_out)
            cells = [bench.layout.nodes[name] for name in cell_names(view.coils[tag])]
            out["evaporator_condensate_kg_s"] = float(view.P[cells, c.P_WATER].sum())
    return out


def panel(view: View) -> dict[str, float | str]:
    """Volts, amps, watts and power factor at the panel."""
    plant, current = view.bench.plant, view.bench.watch.current
    out: dict[str, float | str] = {"supply_voltage_v": float(plant.glob[c.G_VOLTS])}
    for name in ("voltage_v", "current_a", "power_w", "power_factor"):
        out[name] = float(panel_value(plant, PANEL[name], current[0], current[1]))
    return out
