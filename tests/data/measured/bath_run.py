"""Runs a rig whose coils lie in water baths: plant and baths side by side, in steps of a second.

The plant sees a bath as still surroundings of a coil (conductance and temperature are written into the coil's row); the bath sees the heat that the
coil's metal gave it. Over a step the bath stands still for the plant, and the heat is the mean of the step's two ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.bench import Bench
from sim.course import machine_power
from sim.filling import node_energy
from sim.fluid_columns import N_SAT
from sim.fluid_kernel import dew_pressure, saturation
from sim.layout import cell_names, coil_tables
from sim.parts.water_bath import WaterBath
from sim.plant import LEDGER_AIR
from sim.rig import Rig

STEP_S = 1.0
IN_OIL_KG = 0.15  # guess: R12 mixes with mineral oil without limit; a quarter of a kilogram of oil that has stood cold holds 40 % of it
Floats = NDArray[np.float64]


class Baths:
    """A bench and its baths. ``hot`` is the bath of the coil whose air comes from the room, ``cold`` that of the other."""

    def __init__(self, bench: Bench, hot_k: float, cold_k: float) -> None:
        self.bench = bench
        baths = [p.part for p in bench.rig.parts if isinstance(p.part, WaterBath)]
        coils = {coil.tag: coil for coil in coil_tables(bench.rig)}
        boxed = {air.tag for air in bench.rig.airs if air.inlet == "load_box"}
        self.hot, self.cold = sorted(baths, key=lambda bath: coils[bath.coil].air in boxed)
        self.store = [self.hot.enthalpy_j(hot_k), self.cold.enthalpy_j(cold_k)]
        self.cells: list[Floats] = []
        for bath in (self.hot, self.cold):
            coil = coils[bath.coil]
            k = bench.layout.coils[bath.coil]
            bench.plant.coil[k, c.C_NATURAL] = bath.coil_conductance_w_k / coil.cells
            walls = [bench.layout.walls[name] for name in cell_names(coil)]
            self.cells.append(np.array(walls) + bench.layout.wall_start)
        plain = bench.plant.wall_i[:, c.WI_COIL] < 0
        self.room_walls = np.flatnonzero(plain) + bench.layout.wall_start
        self.room_conductance = bench.plant.wall[plain, c.W_UA]
        self.given_j = [0.0, 0.0]
        """Heat that the coils gave to hot and cold bath."""
        self.from_room_j = 0.0
        """Heat that the plant's other walls took from the room."""
        self.put()
        bench.open_books()

    @property
    def temperatures(self) -> tuple[float, float]:
        """Hot and cold, K."""
        return self.hot.temperature_k(self.store[0]), self.cold.temperature_k(self.store[1])

    def put(self) -> None:
        """Tell the plant what surrounds its coils."""
        bench = self.bench
        hot, cold = self.temperatures
        bench.surroundings = replace(bench.surroundings, condenser_air_in_k=hot, evaporator_air_in_k=cold)  # fmt: skip
        bench.apply()

    def heats(self) -> tuple[float, float, float]:
        """Heat to the hot bath, to the cold bath and from the room to the plant's other walls now, W."""
        y = self.bench.watch.y
        to_bath = [
            float(bath.coil_conductance_w_k * (y[cells].mean() - t))
            for bath, cells, t in zip(
                (self.hot, self.cold), self.cells, self.temperatures, strict=True
            )
        ]
        room = self.bench.surroundings.room_temperature_k
        return to_bath[0], to_bath[1], float(self.room_conductance @ (room - y[self.room_walls]))

    def advance(self, seconds: float) -> None:
        """Let time pass; whole steps."""
        for _ in range(round(seconds / STEP_S)):
            self.bench.look()
            before = self.heats()
            self.bench.advance(STEP_S)
            self.bench.look()
            hot, cold, room = (
                0.5 * (a + b) * STEP_S for a, b in zip(before, self.heats(), strict=True)
            )
            self.given_j[0] += hot
            self.given_j[1] += cold
            self.from_room_j += room
            room_k = self.bench.surroundings.room_temperature_k
            for k, (bath, heat) in enumerate(((self.hot, hot), (self.cold, cold))):
                self.store[k] += STEP_S * bath.rate_w(self.store[k], heat / STEP_S, room_k)
            self.put()

    def energy_gap(self) -> float:
        """What the plant's ledger took from its surroundings, against what baths and room say they gave, as a share of all heat exchanged."""
        self.bench.look()
        taken = float(self.bench.watch.y[self.bench.layout.ledger_start + LEDGER_AIR])
        said = self.from_room_j - sum(self.given_j)
        return (taken - said) / sum(abs(x) for x in self.given_j)

    def reading(self) -> tuple[float, float, float, float, float]:
        """Hot bath and cold bath, degC; high side and low side, bar; power, W."""
        bench = self.bench
        bench.look()
        hot, cold = self.temperatures
        at = bench.layout.nodes
        return (
            hot - 273.15,
            cold - 273.15,
            float(bench.watch.P[at["separator"], c.P_P]) / 1e5,
            float(bench.watch.P[at["suction_line"], c.P_P]) / 1e5,
            float(machine_power(bench.watch.y, bench.watch.P, bench.plant)),
        )


def migrate(bench: Bench, kg: float) -> None:
    """Lay so much of the standing charge from the separator into the shell: what a standing compressor's oil takes up (there is no oil in the plant)."""
    y, lay, fluid = bench._memory.y, bench.layout, bench.plant.fluid
    sat = np.zeros(N_SAT)
    p = float(dew_pressure(fluid, bench.surroundings.room_temperature_k))
    saturation(fluid, p, sat)
    for name, change in (("separator", -kg), ("shell", kg)):
        k = lay.nodes[name]
        y[k] += change
        volume = bench.plant.node[k : k + 1, c.N_VOLUME]
        y[lay.energy_start + k] = node_energy(y[k : k + 1], volume, p, sat)[0]
    bench._memory.y_before[:] = y
    bench.apply()


def start_for(rig: Rig, first_s: float, hot_c: float, cold_c: float) -> tuple[float, float]:
    """Bath temperatures (degC) to start from so that the first reading is met: for a run whose start was not noted."""
    hot, cold = run(rig, hot_c, cold_c, [first_s])[0, :2].tolist()
    return 2.0 * hot_c - hot, 2.0 * cold_c - cold


def run(rig: Rig, hot_c: float, cold_c: float, times_s: Sequence[float]) -> Floats:
    """Readings (a row a time) of a run from rest with the baths at these temperatures."""
    bench = Bench(rig)
    migrate(bench, IN_OIL_KG)
    baths = Baths(bench, hot_c + 273.15, cold_c + 273.15)
    baths.bench.set("HS-4", "on")
    rows = []
    for t in times_s:
        baths.advance(t - baths.bench.time_s)
        rows.append(baths.reading())
    return np.array(rows)
