"""What an independent solver needs of a rig, read from the Rig itself: settings of a line-up, air at the coils, pipes, walls, machine.

Laws are the parts' own; every property comes from CoolProp.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import brentq, newton, root

from sim.air import air_film_conductance
from sim.flow import DIP_TUBE_COVER
from sim.layout import coil_tables
from sim.nodes import pipe_film
from sim.parts import compressor, fan, hand_valve, motor, solenoid_valve
from sim.parts.coil import Coil
from sim.parts.hand_valve import HandValve
from sim.parts.pipe import Pipe
from sim.parts.reversing_valve import ReversingValve
from sim.parts.solenoid_valve import SolenoidValve
from sim.psychrometrics import humidity_ratio_from_relative
from sim.rig import Device, Mode, Rig
from sim.smooth import smoothstep
from sim.throttle import area_from_kv
from tests.oracle.marched_coil import SEGMENTS, AirSide, MarchedCoil
from tests.oracle.real_fluid import RealFluid, Stream, compressor_laws, real_fluid

GRAVITY = 9.80665  # m/s2, ISO 80000-3
SPEEDS = {"off": 0.0, "low": 1.0, "high": 2.0}


class Line(NamedTuple):
    """A restriction on the way: its law is m = area sqrt(2 rho) dp/(dp^2 + d0^2)^(1/4)."""

    area: float
    d0: float


class Pool(NamedTuple):
    """Contents of a vessel and what its ports offer."""

    top: Stream
    bottom: Stream
    rests: float
    """Quality of the contents."""
    mass: float


class Delivered(NamedTuple):
    """What the compressor does between a shell and a head."""

    flow: float
    head: Stream
    gas_heat: float
    """Into the shell's gas from winding and shell wall, W."""
    shell_wall_t: float
    winding_t: float
    speed: float
    power: float
    """Electrical, W."""
    friction: float
    """Into the shell wall from bearings, W."""


class Placed:
    """A rig on one line-up."""

    def __init__(
        self, rig: Rig, device: Device, mode: Mode = "cooling", segments: int = SEGMENTS
    ) -> None:
        self.rig, self.device, self.mode = rig, device, mode
        self.fluid: RealFluid = real_fluid(rig.fluid_name)
        self.settings = {s.set: s.to for s in rig.line_up_for(device, mode).steps}
        around = rig.surroundings
        self.room_t = around.room_temperature_k
        self.room_w = float(
            humidity_ratio_from_relative(
                self.room_t, around.relative_humidity, around.atmospheric_pressure_pa
            )
        )
        self.walls = {wall.node: wall for wall in rig.walls}
        self.coil_a, self.coil_b = (
            MarchedCoil(self.fluid, coil, self.air_over(coil), segments)
            for coil in coil_tables(rig)[:2]
        )
        self.laws = compressor_laws(self.fluid)
        self.cylinder = compressor.row(self.only("reciprocating_compressor"))
        self.motor = motor.row(self.only("single_phase_motor"))
        self.guess = np.array([1.0, 1.0, 1.0, 1.0])

    def only(self, kind: str) -> Any:
        """The one part of a kind."""
        (found,) = (p.part for p in self.rig.parts if p.kind == kind)
        return found

    def air_over(self, coil: Coil) -> AirSide:
        """Air at a coil with its fan as the line-up sets it; the load box is open, so that both coils breathe the room."""
        around = self.rig.surroundings
        tag = next(a.fan for a in self.rig.airs if a.tag == coil.air)
        switch = next(s.tag for s in self.rig.switches if getattr(s, "works", "") == tag)
        row = self.rig.part(tag).part.row()  # type: ignore[attr-defined]
        speed = SPEEDS[str(self.settings[switch])]
        pressure = around.atmospheric_pressure_pa
        flow = float(fan.dry_air_flow_kg_s(row, speed, 1.0, self.room_t, self.room_w, pressure))
        ua = air_film_conductance(flow, coil.nominal_air_flow_kg_s, coil.air_conductance_w_k, 0.0)
        return AirSide(self.room_t, self.room_w, pressure, flow, float(ua))

    # --- lines -------------------------------------------------------------------------------------------------

    def line(self, tag: str) -> Line:
        """A pipe, hand valve, energised solenoid or passage of the reversing valve, as the line-up sets it."""
        part = self.rig.part(tag).part
        if isinstance(part, Pipe):
            handle = float(self.settings.get(part.shut_with, 1.0)) if part.shut_with else 1.0
            return Line(part.area_m2 * handle, part.linear_below_pa)
        assert isinstance(part, HandValve | SolenoidValve | ReversingValve)
        area = area_from_kv(part.kv_m3_h)
        if isinstance(part, HandValve):
            area *= float(hand_valve.opening(part.row(), float(self.settings.get(tag, 1.0))))
        if isinstance(part, SolenoidValve):
            area *= float(solenoid_valve.opening(part.row(), 1.0))
        return Line(area, part.linear_below_pa)

    @staticmethod
    def drop(flow: float, rho: float, *lines: Line) -> float:
        """Pressure that a flow (kg/s, either direction) of density rho loses over lines in series, Pa."""
        total = 0.0
        for area, d0 in lines:
            q = (flow / area) ** 2 / (2.0 * rho)
            total += sqrt(0.5 * (q * q + sqrt(q**4 + 4.0 * q * q * d0 * d0)))
        return total if flow >= 0.0 else -total

    def passed(self, line: Line, rho: float, dp: float) -> float:
        """Flow through a line, kg/s."""
        return float(line.area * sqrt(2.0 * rho) * dp / (dp * dp + line.d0**2) ** 0.25)

    def height(self, node: str, port: str = "bottom") -> float:
        """Height of a node's bottom, or of a vessel's top port, m."""
        found = self.rig.node(node)
        return found.elevation_m + (found.height_m if port == "top" else 0.0)

    # --- side nodes --------------------------------------------------------------------------------------------

    def room_heat(self, node: str, here: Stream, rests: float | None = None) -> float:
        """Heat from the room through a node's wall into what it holds, W (``rests``: quality of that, where it is not the stream's)."""
        wall = self.walls[node]
        inside = (
            float(pipe_film(here.rests if rests is None else rests, wall.gas_film_w_m2_k))
            * wall.area_m2
        )
        return (self.room_t - here.T) / (1.0 / inside + 1.0 / wall.conductance_w_k)

    def through(self, node: str, p: float, h: float, flow: float) -> Stream:
        """What leaves a well mixed node that a stream of enthalpy h enters."""

        def surplus(kj: float) -> float:
            here = self.fluid.stream(p, 1e3 * kj)
            return (h - here.h) + self.room_heat(node, here) / flow

        return self.fluid.stream(
            p, 1e3 * float(newton(surplus, h / 1e3, x1=h / 1e3 + 0.1, tol=1e-8))
        )

    def chain(self, stream: Stream, flow: float, *links: tuple[str, str]) -> dict[str, Stream]:
        """Streams leaving the nodes behind one another, each reached through a line: (tag, node)."""
        found: dict[str, Stream] = {}
        for tag, node in links:
            p = stream.p - self.drop(flow, stream.rho, self.line(tag))
            stream = self.through(node, p, stream.h, flow)
            found[node] = stream
        return found

    def holds(self, node: str, stream: Stream) -> float:
        """Mass in a node, kg."""
        return self.rig.node(node).volume_m3 * stream.held

    def pool(self, p: float, level: float) -> Pool:
        """What stands in the accumulator: liquid to a level 0..1 under saturated vapour, or, below 0, gas superheated by 100 kJ/kg per unit."""
        s = self.fluid.saturation(p)
        volume = self.rig.node("accumulator").volume_m3
        if level <= 0.0:
            gas = self.fluid.stream(p, s.h_v - 1e5 * level)
            return Pool(gas, gas, gas.rests, volume * gas.rho)
        vapour = self.fluid.stream(p, s.h_v)
        void = (1.0 - level) * (1.0 - float(smoothstep(level / DIP_TUBE_COVER)))
        x = void * s.rho_v / (void * s.rho_v + (1.0 - void) * s.rho_l)
        mass = level * s.rho_l + (1.0 - level) * s.rho_v
        return Pool(
            vapour,
            self.fluid.stream(p, s.h_l + x * s.latent),
            (1.0 - level) * s.rho_v / mass,
            volume * mass,
        )

    def accumulator(self, into: Stream, flow: float, level: float) -> tuple[Stream, Pool, float]:
        """The stream that reaches the suction port, what the vessel holds, and the heat (W) by which it misses its balance.

        Vapour leaves at the top, the bleed at the bottom; both lines lose the same pressure.
        """
        p = into.p - self.drop(flow, into.rho, self.line("L-S1"))
        pool = self.pool(p, level)
        top, bleed = self.line("HV-41"), self.line("L-S2")

        def short(dp: float) -> float:
            return (
                self.passed(top, pool.top.rho, dp) + self.passed(bleed, pool.bottom.rho, dp) - flow
            )

        dp = float(brentq(short, 0.0, 0.5 * p, xtol=1e-7))
        through_bleed = self.passed(bleed, pool.bottom.rho, dp)
        h = (through_bleed * pool.bottom.h + (flow - through_bleed) * pool.top.h) / flow
        heat = self.room_heat("accumulator", pool.top, pool.rests)
        return self.through("suction_port", p - dp, h, flow), pool, flow * (into.h - h) + heat

    # --- machine -----------------------------------------------------------------------------------------------

    def compress(self, shell: Stream, p_head: float) -> Delivered:
        """Steady compressor between a shell's gas and a head's pressure: head, shell wall, winding and speed in balance."""
        synchronous = (
            4.0 * pi * self.rig.surroundings.supply_frequency_hz / self.motor[motor.M_POLES]
        )
        scale = np.array([340.0, 320.0, synchronous, 340.0])

        def parts(z: Any) -> tuple[Any, Delivered]:
            return self._machine(shell, p_head, *(float(v) for v in z * scale))

        found = root(lambda z: parts(z)[0], self.guess, tol=1e-11)
        if np.abs(found.fun).max() > 1e-6:
            raise ArithmeticError(f"the compressor finds no balance: {found.message}")
        self.guess = found.x
        return parts(found.x)[1]

    def _machine(
        self,
        shell: Stream,
        p_head: float,
        head_t: float,
        wall_t: float,
        speed: float,
        winding_t: float,
    ) -> tuple[Any, Delivered]:
        head = self.fluid.vapour_at(p_head, head_t)
        flow, _, gas_power, load, friction, _ = self.laws.compress(
            self.cylinder, self.fluid, np.zeros(compressor.WEAR_COLUMNS), shell.p, shell.T, 1.0,
            shell.rho, shell.rho, shell.h, shell.h, p_head, head_t, head.rho, wall_t, speed,
        )  # fmt: skip
        around = self.rig.surroundings
        torque, _, _, losses, _ = motor.motor_state(
            self.motor, around.supply_voltage_v, around.supply_frequency_hz, speed, winding_t, 0
        )
        to_wall = compressor.head_heat(self.cylinder, head_t, wall_t)
        to_gas, winding_to_wall = motor.winding_heat(self.motor, winding_t, shell.T, wall_t)
        wall = self.walls["shell"]
        wall_to_gas = (
            float(pipe_film(shell.rests, wall.gas_film_w_m2_k)) * wall.area_m2 * (wall_t - shell.T)
        )
        lost = wall.conductance_w_k * (wall_t - self.room_t)
        off = np.array(
            [
                flow * (shell.h - head.h) + gas_power - to_wall + self.room_heat("head", head),
                friction + to_wall + winding_to_wall - wall_to_gas - lost,
                (torque - load) * speed,
                losses - to_gas - winding_to_wall,
            ]
        )
        done = Delivered(
            flow,
            head,
            to_gas + wall_to_gas,
            wall_t,
            winding_t,
            speed,
            torque * speed + losses,
            friction,
        )
        return off / 100.0, done
