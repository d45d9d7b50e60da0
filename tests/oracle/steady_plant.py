"""The rig's steady state from CoolProp alone: coils marched, side nodes well mixed, closed by root finding.

Cooling: the receiver has a free surface and so delivers saturated liquid; the charge only decides its level. Heating: receiver, drier and drum are shut in;
the charge of the active loop decides how much liquid backs up in the condenser.
Unknowns are few (shell pressure and superheat, head pressure, pressure behind the device, and in cooling the flow in the equalising line); everything
else follows by going once round the circuit. Scipy's hybrid Powell method closes the loop.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import root

from sim import throttle, tube_flow
from sim.parts import hand_expansion_valve, thermostatic_valve
from sim.parts.capillary import Capillary
from sim.rig import Device, Mode, Rig
from tests.oracle.marched_coil import SEGMENTS, Marched
from tests.oracle.placed_parts import GRAVITY, Delivered, Placed, Pool
from tests.oracle.real_fluid import Stream, capillary_grid

GRID_LOW_PA, GRID_HIGH_PA, GRID_ROWS = 2e4, 2.5e6, 600
"""Grid of the capillary's march: from below any outlet pressure to above any inlet pressure."""
LEVEL = 0.6  # guess: share of the receiver that is full; only the liquid's head in the dip tube (a tenth of a kPa) and the wall's film follow from it
HELD = (
    0.5,
    0.35,
    0.7,
)  # openings of a thermostatic valve from which its search begins, in this order
TAGS: dict[str, str] = {"thermostatic": "TCV-23", "capillary": "FO-21", "hand": "HCV-22"}


@dataclass(frozen=True)
class Steady:
    """A steady state: streams by node, coils by tag, and what the machine does."""

    nodes: dict[str, Stream]
    condenser: Marched
    evaporator: Marched
    machine: Delivered
    misfit: float
    """Largest remaining misfit of the closure, relative."""


class Plant(Placed):
    """A rig with the laws of its metering devices."""

    def __init__(
        self, rig: Rig, device: Device, mode: Mode = "cooling", segments: int = SEGMENTS
    ) -> None:
        super().__init__(rig, device, mode, segments)
        self.part: Any = rig.part(TAGS[device]).part
        if isinstance(self.part, Capillary):
            self.grid = capillary_grid(self.fluid, GRID_LOW_PA, GRID_HIGH_PA, GRID_ROWS)
            self.flux = 4000.0
        self.held: float | None = None
        """Share of the area that a thermostatic valve is held open, while the search looks for a start."""

    def fed(self, before: Stream, p_behind: float, bulb: Stream | None) -> float:
        """Flow that the device passes, kg/s."""
        if isinstance(self.part, Capillary):
            return self.capillary(before, p_behind)
        area = self.part.full_area_m2 * self.opening(bulb)
        s = self.fluid.saturation(before.p)
        p_sat = before.p if before.x > 0.0 else self.fluid.pressure_at(before.T)
        g2, kappa = throttle.choking(
            before.p, before.x, before.rho, p_sat, self.fluid.p_critical,
            s.T, s.latent, s.rho_l, s.rho_v, s.cp_l,
        )  # fmt: skip
        return float(
            throttle.throttle_flow(
                before.p,
                before.rho,
                g2,
                kappa,
                before.p - p_behind,
                area,
                self.part.linear_below_pa,
            )
        )

    def opening(self, bulb: Stream | None) -> float:
        """Share of the full area that needle or diaphragm opens."""
        row = self.part.row()
        if self.held is not None:
            return self.held
        if bulb is None:
            return float(hand_expansion_valve.opening(row, float(self.settings[self.part.tag])))
        pipe, room = row[thermostatic_valve.UA_PIPE], row[thermostatic_valve.UA_AIR]
        t = (pipe * bulb.T + room * self.room_t) / (pipe + room)
        above = thermostatic_valve.bulb_pressure(row, self.fluid.pressure_at(t))
        lifted = thermostatic_valve.lift_from_pressures(row, above, bulb.p)
        return float(thermostatic_valve.opening(row, lifted))

    def capillary(self, before: Stream, p_behind: float) -> float:
        """Flow through the tube from the march itself; the plant uses a table of it."""
        step = np.log(GRID_HIGH_PA / GRID_LOW_PA) / (GRID_ROWS - 1)
        place = float(np.log(before.p / GRID_LOW_PA) / step)
        tube = self.part.tube()
        self.flux, _ = tube_flow.solve_flux(
            self.grid, place, before.h, tube, p_behind, self.flux, 1e-8
        )
        return float(0.25 * np.pi * tube[tube_flow.BORE] ** 2 * self.flux)

    # --- cooling -----------------------------------------------------------------------------------------------

    def cooling(self, z: Any) -> tuple[Any, Steady]:
        """Once round the circuit from the unknowns."""
        p_shell, p_head, p_fed = (1e5 * float(v) for v in z[:3])
        equalised = 1e-4 * float(z[5])
        shell = self.fluid.vapour_at(
            p_shell, self.fluid.saturation(p_shell).T + 100.0 * float(z[3])
        )
        machine = self.compress(shell, p_head)
        m = machine.flow
        nodes = {"shell": shell, "head": machine.head}
        nodes |= self.chain(machine.head, m, ("HV-42", "discharge"))
        entering, condenser = self.condenser_a(nodes["discharge"], m, equalised)
        receiver, surplus = self.receiver(condenser.out, entering, m, equalised)
        nodes["receiver"] = receiver
        gas = entering if equalised > 0.0 else self.vapour_over(receiver)
        equal = self.passed(self.line("EQ-1"), gas.rho, entering.p - receiver.p)
        liquid = self.risen(receiver)
        nodes |= self.chain(
            liquid, m, ("L-1", "drier"), ("HV-12", "liquid_line"), ("XV-1", "header")
        )
        evaporator = self.coil_b.march(p_fed, nodes["header"].h, m)
        nodes |= self.chain(evaporator.out, m, ("L-B", "b_outlet"), ("XV-2", "suction_line"))
        end, _, uneven = self.suction_end(nodes, m, float(z[4]))
        bulb = nodes["b_outlet"] if self.device == "thermostatic" else None
        off = [
            end.p / p_shell - 1.0,
            surplus / (m * 1e5),
            self.fed(nodes["header"], p_fed, bulb) / m - 1.0,
            (m * (end.h - shell.h) + machine.gas_heat) / (m * 1e4),
            uneven / (m * 1e4),
            (equal - equalised) / m,
        ]
        return off, Steady(nodes, condenser, evaporator, machine, float(np.abs(off).max()))

    def suction_end(
        self, nodes: dict[str, Stream], flow: float, level: float
    ) -> tuple[Stream, Pool, float]:
        """The stream that reaches the shell (before the shell warms it), the accumulator's contents and its imbalance, W; fills the nodes."""
        last, pool, uneven = self.accumulator(nodes["suction_line"], flow, level)
        nodes["accumulator"], nodes["suction_port"] = pool.top, last
        p = last.p - self.drop(flow, last.rho, self.line("L-S3"))
        return self.fluid.stream(p, last.h), pool, uneven

    def condenser_a(self, hot: Stream, m: float, equalised: float) -> tuple[Stream, Marched]:
        """What enters coil A, and the coil. Gas of the flow ``equalised`` leaves for the receiver before it, or joins from there."""
        p = hot.p - self.drop(m, hot.rho, self.line("XV-2"))
        h = hot.h
        if equalised < 0.0:
            h = (m * hot.h - equalised * self.fluid.saturation(p).h_v) / (m - equalised)
        return self.fluid.stream(p, h), self.coil_a.march(p, h, m - equalised)

    def vapour_over(self, receiver: Stream) -> Stream:
        """Saturated vapour over the receiver's liquid."""
        return self.fluid.stream(receiver.p, self.fluid.saturation(receiver.p).h_v)

    def receiver(
        self, out: Stream, gas: Stream, m: float, equalised: float
    ) -> tuple[Stream, float]:
        """What the receiver delivers, and the heat (W) by which that misses its balance."""
        s = self.fluid.saturation(out.p)
        fall = self.height("a1") - self.height("receiver", "top")
        standing = GRAVITY * s.held(out.x) * fall
        p = out.p + standing - self.drop(m - equalised, out.rho, self.line("HV-11"))
        kept = self.fluid.stream(p, self.fluid.saturation(p).h_l)
        over = self.vapour_over(kept)
        at_rest = (1.0 - LEVEL) * over.rho / (LEVEL * kept.rho)
        heat = self.room_heat("receiver", kept, at_rest)
        gas_h = gas.h if equalised > 0.0 else over.h
        return kept, (m - equalised) * out.h + equalised * gas_h + heat - m * kept.h

    def risen(self, receiver: Stream) -> Stream:
        """The receiver's liquid at the top of its dip tube."""
        bottom, top = self.height("receiver"), self.height("receiver", "top")
        height = self.height("drier") - (bottom + LEVEL * (top - bottom))
        return self.fluid.stream(receiver.p - GRAVITY * receiver.rho * height, receiver.h)

    # --- heating -----------------------------------------------------------------------------------------------

    def heating(self, z: Any, charge_kg: float) -> tuple[Any, Steady]:
        """Once round the reversed circuit; ``charge_kg`` is in the active loop."""
        p_shell, p_head, p_fed = (1e5 * float(v) for v in z[:3])
        shell = self.fluid.vapour_at(
            p_shell, self.fluid.saturation(p_shell).T + 100.0 * float(z[3])
        )
        machine = self.compress(shell, p_head)
        m = machine.flow
        nodes = {"shell": shell, "head": machine.head}
        nodes |= self.chain(machine.head, m, ("HV-42", "discharge"), ("XV-2", "b_outlet"))
        hot = nodes["b_outlet"]
        p = hot.p - self.drop(m, hot.rho, self.line("L-B"))
        condenser = self.coil_b.march(p, hot.h, m)
        nodes["header"] = self.through("header", p_fed, condenser.out.h, m)
        nodes |= self.chain(nodes["header"], m, ("XV-1", "liquid_line"))
        feed = nodes["liquid_line"]
        p = feed.p - self.drop(m, feed.rho, self.line("HV-13"))
        evaporator = self.coil_a.march(p, feed.h, m)
        nodes |= self.chain(evaporator.out, m, ("XV-2", "suction_line"))
        end, pool, uneven = self.suction_end(nodes, m, float(z[4]))
        held = condenser.charge_kg + evaporator.charge_kg + pool.mass
        held += sum(self.holds(name, s) for name, s in nodes.items() if name != "accumulator")
        off = [
            end.p / p_shell - 1.0,
            self.fed(condenser.out, p_fed, None) / m - 1.0,
            (m * (end.h - shell.h) + machine.gas_heat) / (m * 1e4),
            uneven / (m * 1e4),
            held / charge_kg - 1.0,
        ]
        return off, Steady(nodes, condenser, evaporator, machine, float(np.abs(off).max()))

    # --- closing -----------------------------------------------------------------------------------------------

    def start(self) -> list[float]:
        """Where the search begins: the coils' nominal saturation, 30 K over it in the shell, no liquid in the accumulator.

        In bar, bar, bar (shell, head, behind the device), 100 K of superheat in the shell, level in the accumulator (below 0: superheat there),
        0.1 g/s in the equalising line.
        """
        cold, warm = self.coil_b.coil, self.coil_a.coil
        low = self.fluid.pressure_at(cold.nominal_saturation_k) / 1e5
        high = self.fluid.pressure_at(warm.nominal_saturation_k) / 1e5
        return [low, high, 1.02 * low, 0.3, -0.05, 0.1]

    def solve(self, charge_kg: float = 0.0) -> Steady:
        """The steady state; in heating with the charge of the active loop."""
        start = self.start()
        if self.mode == "heating":
            return close(lambda z: self.heating(z, charge_kg), start[:5])[1]
        if self.device == "thermostatic":
            return self.solve_thermostatic(start)
        return close(self.cooling, start)[1]

    def solve_thermostatic(self, start: list[float]) -> Steady:
        """By way of a valve held in one place: shut at the start's superheat, it would give the search no slope."""
        for share in HELD:
            try:
                self.held = share
                held = close(self.cooling, start, tolerance=1e-3)[0]
                self.held = None
                return close(self.cooling, held)[1]
            except (
                ArithmeticError,
                ValueError,
            ) as misled:  # ValueError: CoolProp has no such state
                failed = misled
        raise failed


def close(
    lap: Callable[[Any], tuple[Any, Steady]], start: list[float], tolerance: float = 1e-9
) -> tuple[list[float], Steady]:
    """Unknowns and state at which a lap ends where it began."""
    cautious = {"eps": 1e-6, "factor": 0.1}  # small first steps: the start is far off
    found = root(lambda z: lap(z)[0], np.array(start), tol=tolerance, options=cautious)
    steady = lap(found.x)[1]
    if steady.misfit > 10.0 * max(tolerance, 1e-7):
        raise ArithmeticError(
            f"the circuit does not close within {steady.misfit:.1g}: {found.message}"
        )
    return list(found.x), steady
