"""The course of a plant in time: steps, what is watched on the way, and the instant at which something happens.

After every accepted step the watched quantities (``SENSE_*``) are evaluated. Instruments with a lag follow them exactly for an input that runs
straight between step ends: x(t) = u(t) - b tau + (x0 - u0 + b tau) exp(-(t-t0)/tau). A monitor that crosses its threshold is traced to its
root on the dense solution; the plant then stops there until the bench has acted. Nothing here depends on when a frame was read.

Over 300 lines: what is sensed and the step that senses it share one record in the hot loop.
"""

from __future__ import annotations

from math import exp, inf, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.air import LEAST_FLOW_KG_S
from sim.arrays import IndexRows, Matrix, Phasors, Vector
from sim.columns import (
    CI_CELLS,
    CI_FIRST,
    FEED_MACHINE_V,
    FEED_PANEL_A,
    FEED_PANEL_V,
    G_ATMOSPHERE,
    G_VOLTS,
    N_BURST,
    NI_WALL,
    P_HL,
    P_HV,
    P_P,
    P_RHOL,
    P_RHOV,
    P_T,
    P_VOID,
)
from sim.compiled import compiled
from sim.doors import door
from sim.frost import frost_of, frosted_air, frosted_cell_air
from sim.integrate import (
    CLOCK_BEFORE,
    CLOCK_NOW,
    CLOCK_READY,
    CLOCK_STEP,
    RESTART_STEP,
    ST_DL,
    Memory,
    copy_into,
    interpolate,
    one_step,
)
from sim.kernel import coil_inlet, rhs
from sim.machine import MAPPED_POWER_FACTOR, driven, mapped_running, phasor
from sim.parts import compressor
from sim.plant import MACHINE_KIND, MAPPED, SIZE_NODES, SIZE_W, Plant
from sim.variable_area import scale_reading

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

(
    SENSE_NODE,  # a node, b column of the node table
    SENSE_STATE,  # a state index
    SENSE_FLOAT,  # a flowmeter in link a, with what is in node b; m3/s of its scale
    SENSE_LEVEL,  # a node
    SENSE_AIR_IN,  # a coil, b 0 temperature, 1 humidity ratio
    SENSE_AIR_OUT,  # a coil, b 0 temperature, 1 humidity ratio
    SENSE_FEED,  # magnitude of row a of the feed, V or A
    SENSE_PANEL,  # b 0 amps, 1 watts, 2 power factor, 3 volts
    SENSE_BURST,  # largest excess over a burst limit, Pa
    SENSE_BEYOND,  # largest excess over the tables' limits, K
    SENSE_DIFFERENCE,  # pressure of node a over node b (-1: the room), Pa
    SENSE_SLUG,  # liquid drawn into the cylinder, kg/s
) = range(12)

ROOT_TOLERANCE_S = 1e-6  # instants of contacts are found to a microsecond
MONITOR_THRESHOLD, MONITOR_DIRECTION, MONITOR_ARMED = range(3)
SMALLEST_VA = 0.01  # below it strays are all there is, and they have no power factor worth a digit
REACHED, FAILED = 0, -1


class Watch(NamedTuple):
    """What is watched, with the memory of lags; saved and forked with the rest."""

    sensor: IndexRows  # kind, a, b
    tau: Vector  # lag of each sensor, s
    lag: Vector  # lagged value at CLOCK_BEFORE
    before: Vector  # value at CLOCK_BEFORE
    now: Vector  # value at CLOCK_NOW
    monitor_i: IndexRows  # sensor, 1 when the lagged value is compared
    monitor: Matrix
    pending: Vector  # instant of the next event (inf: none), monitor
    limits: Vector  # highest and lowest temperature of the tables, K
    y: Vector  # room to evaluate
    dy: Vector
    P: Matrix
    F: Matrix
    value: Vector
    current: Phasors  # main and start winding, A
    peak: Vector  # largest value of each sensor since it was last cleared, without its lag
    floats: (
        Matrix  # of a flowmeter's sensor: densities of its float and of its scale's liquid, kg/m3
    )


@door
def air_through(y: Vector, pl: Plant, coil: int) -> float:
    """Dry air through a coil with the frost that is on it, kg/s."""
    total = 0.0
    for k in range(pl.coil_i[coil, CI_CELLS]):
        frost = y[frost_of(pl, pl.coil_i[coil, CI_FIRST] + k, coil)]
        total += max(frosted_air(pl.coil[coil], frost)[0], LEAST_FLOW_KG_S)
    return total


@door
def air_out(y: Vector, P: Matrix, pl: Plant, coil: int) -> tuple[float, float]:
    """Mean temperature (K) and humidity ratio of the air leaving a coil, its cells' streams mixed."""
    t_in, w_in = coil_inlet(y, pl, coil)
    row = pl.coil[coil]
    t = 0.0
    w = 0.0
    cells = pl.coil_i[coil, CI_CELLS]
    for k in range(cells):
        i = pl.coil_i[coil, CI_FIRST] + k
        wall = y[pl.size[SIZE_W] + pl.node_i[i, NI_WALL]]
        frost = y[frost_of(pl, i, coil)]
        _, _, t_out, w_out, _ = frosted_cell_air(
            row, t_in, w_in, pl.glob[G_ATMOSPHERE], wall, frost
        )
        flow = max(frosted_air(row, frost)[0], LEAST_FLOW_KG_S)
        t += flow * t_out
        w += flow * w_out
    total = air_through(y, pl, coil)
    return t / total, w / total


@compiled
def currents(y: Floats, P: Floats, pl: Plant) -> tuple[complex, complex]:
    """Main- and start-winding current now, A rms; of a compressor given by its map the line current and none."""
    state = pl.machine_i[3]
    if state < 0:
        return 0.0j, 0.0j
    if pl.machine_i[MACHINE_KIND] == MAPPED:
        watts = mapped_running(pl, P[pl.machine_i[0]], P[pl.machine_i[1]], y[state])[3]
        lag = sqrt(1.0 / MAPPED_POWER_FACTOR**2 - 1.0)
        return (1.0 - 1j * lag) * watts / max(pl.glob[G_VOLTS], 1.0), 0.0j
    _, main, start, _, _ = driven(pl, y[state], y[state + 1], y[state + 2])
    return main, start


@compiled
def taken(pl: Plant, k: int, main: complex, start: complex) -> float:
    """Power that goes with the volts of feed row k and the amps of the row behind it, W."""
    return float((phasor(pl, k, main, start) * phasor(pl, k + 1, main, start).conjugate()).real)


@door
def machine_power(y: Vector, P: Matrix, pl: Plant) -> float:
    """Electrical power into the compressor's circuit (motor, start gear, overload), W."""
    main, start = currents(y, P, pl)
    return taken(pl, FEED_MACHINE_V, main, start)


@door
def panel_value(pl: Plant, which: int, main: complex, start: complex) -> float:
    """Amps, watts, power factor or volts at the panel."""
    volts = abs(phasor(pl, FEED_PANEL_V, main, start))
    amps = abs(phasor(pl, FEED_PANEL_A, main, start))
    if which == 3:
        return volts
    if which == 0:
        return amps
    watts = taken(pl, FEED_PANEL_V, main, start)
    if which == 1:
        return watts
    return watts / (volts * amps) if volts * amps > SMALLEST_VA else 0.0


@compiled
def liquid_drawn(y: Floats, P: Floats, pl: Plant) -> float:
    """Liquid in the compressor's intake, kg/s; what pressure drives through a standing machine lifts its reeds gently and does not count."""
    shell, head, state = pl.machine_i[0], pl.machine_i[1], pl.machine_i[3]
    mapped = pl.machine_i[MACHINE_KIND] == MAPPED
    if shell < 0 or mapped or P[shell, P_VOID] >= 1.0:
        return 0.0
    a = P[shell]
    b = P[head]
    rho_b = b[P_RHOL] * (1.0 - b[P_VOID]) + b[P_RHOV] * b[P_VOID]
    drawn: float = compressor.compress(
        pl.machine,
        pl.fluid,
        pl.wear,
        a[P_P],
        a[P_T],
        a[P_VOID],
        a[P_RHOL],
        a[P_RHOV],
        a[P_HL],
        a[P_HV],
        b[P_P],
        b[P_T],
        rho_b,
        y[pl.size[SIZE_W] + pl.machine_i[2]],
        y[state],
    )[5]
    return drawn * compressor.turning(y[state])


@compiled
def worst(P: Floats, pl: Plant, w: Watch, kind: int) -> float:
    """Largest excess of any node over its burst pressure (Pa) or over the tables' temperatures (K)."""
    top = -inf
    for i in range(pl.size[SIZE_NODES]):
        if kind == SENSE_BURST:
            excess = P[i, P_P] - pl.node[i, N_BURST]
        else:
            excess = max(P[i, P_T] - w.limits[0], w.limits[1] - P[i, P_T])
        top = max(top, excess)
    return top


@compiled
def sensed(y: Floats, w: Watch, pl: Plant, k: int) -> float:
    """Value of sensor k; ``w.P`` and ``w.F`` must belong to y."""
    kind, a, b = w.sensor[k, 0], w.sensor[k, 1], w.sensor[k, 2]
    if kind == SENSE_NODE:
        return w.P[a, b]
    if kind == SENSE_STATE:
        return y[a]
    if kind == SENSE_FLOAT:
        rho = w.P[b, P_RHOL] * (1.0 - w.P[b, P_VOID]) + w.P[b, P_RHOV] * w.P[b, P_VOID]
        return scale_reading(w.F[a, 0], rho, w.floats[k, 0], w.floats[k, 1])
    if kind == SENSE_LEVEL:
        return 1.0 - w.P[a, P_VOID]
    if kind == SENSE_AIR_IN:
        return coil_inlet(y, pl, a)[b]
    if kind == SENSE_AIR_OUT:
        return air_out(y, w.P, pl, a)[b]
    return sensed_machine(y, w, pl, kind, a, b)


@compiled
def sensed_machine(y: Floats, w: Watch, pl: Plant, kind: int, a: int, b: int) -> float:
    """Sensors of motor, panel and hazards."""
    if kind == SENSE_FEED:
        return abs(phasor(pl, a, w.current[0], w.current[1]))
    if kind == SENSE_PANEL:
        return panel_value(pl, b, w.current[0], w.current[1])
    if kind == SENSE_DIFFERENCE:
        return w.P[a, P_P] - (w.P[b, P_P] if b >= 0 else pl.glob[G_ATMOSPHERE])
    if kind == SENSE_SLUG:
        return liquid_drawn(y, w.P, pl)
    return worst(w.P, pl, w, kind)


@compiled
def sense(y: Floats, t_guess: Floats, w: Watch, pl: Plant, out: Floats) -> None:
    """Evaluate the plant at y and every sensor on it."""
    rhs(y, w.dy, t_guess, w.P, w.F, pl)
    w.current[0], w.current[1] = currents(y, w.P, pl)
    for k in range(out.size):
        out[k] = sensed(y, w, pl, k)


@compiled
def lagged(w: Watch, k: int, dt: float, span: float, value: float) -> float:
    """Lagged value of sensor k, dt after CLOCK_BEFORE, when its input has run straight to ``value`` in ``span``."""
    tau = w.tau[k]
    if tau <= 0.0:
        return value
    if span <= 0.0:
        return w.lag[k]
    slope = (value - w.before[k]) / span
    here = w.before[k] + slope * dt
    return here - slope * tau + (w.lag[k] - w.before[k] + slope * tau) * exp(-dt / tau)


@compiled
def monitored(w: Watch, m: int, dt: float, values: Floats) -> float:
    """Value that monitor m compares, dt after CLOCK_BEFORE."""
    k = w.monitor_i[m, 0]
    return lagged(w, k, dt, dt, values[k]) if w.monitor_i[m, 1] == 1 else values[k]


@compiled
def crossed(w: Watch, m: int, value: float) -> bool:
    """Is monitor m armed and beyond its threshold?"""
    way = w.monitor[m, MONITOR_DIRECTION]
    return (
        w.monitor[m, MONITOR_ARMED] > 0.0 and way * (value - w.monitor[m, MONITOR_THRESHOLD]) > 0.0
    )


@compiled
def trace(m: int, mem: Memory, w: Watch, pl: Plant) -> float:
    """Instant in the last step at which monitor m crosses its threshold, by bisection on the dense solution."""
    low = mem.clock[CLOCK_BEFORE]
    high = mem.clock[CLOCK_NOW]
    start = low
    while high - low > ROOT_TOLERANCE_S:
        t = 0.5 * (low + high)
        interpolate(t, mem, w.y)
        sense(w.y, mem.t_guess, w, pl, w.value)
        if crossed(w, m, monitored(w, m, t - start, w.value)):
            high = t
        else:
            low = t
    return high


@compiled
def keep_peaks(w: Watch) -> None:
    """What peak hold keeps: the largest value at the end of any step."""
    for k in range(w.now.size):
        w.peak[k] = max(w.peak[k], w.now[k])


@compiled
def look(mem: Memory, w: Watch, pl: Plant) -> None:
    """After a step: move the lags on, evaluate the sensors, find the first event in the step."""
    span = mem.clock[CLOCK_NOW] - mem.clock[CLOCK_BEFORE]
    sense(mem.y, mem.t_guess, w, pl, w.now)
    keep_peaks(w)
    w.pending[0] = inf
    for m in range(w.monitor_i.shape[0]):
        if crossed(w, m, monitored(w, m, span, w.now)):
            t = trace(m, mem, w, pl)
            if t < w.pending[0]:
                w.pending[0] = t
                w.pending[1] = m


@compiled
def settle_lags(dt: float, span: float, w: Watch) -> None:
    """Move every lag dt into the step of length ``span`` that ends at ``w.now``."""
    for k in range(w.now.size):
        value = lagged(w, k, dt, span, w.now[k])
        if span > 0.0:
            w.value[k] = w.before[k] + (w.now[k] - w.before[k]) * dt / span
        w.lag[k] = value
    if span > 0.0:
        copy_into(w.before, w.value)


@door
def advance(t_end: float, mem: Memory, scale: Vector, pl: Plant, w: Watch) -> int:
    """Run until t_end is inside the last step (REACHED), something happens (1 + monitor, at ``w.pending[0]``), or nothing works (FAILED)."""
    while True:
        if w.pending[0] <= t_end:
            return 1 + int(w.pending[1])
        if mem.clock[CLOCK_NOW] >= t_end:
            return REACHED
        settle_lags(
            mem.clock[CLOCK_NOW] - mem.clock[CLOCK_BEFORE],
            mem.clock[CLOCK_NOW] - mem.clock[CLOCK_BEFORE],
            w,
        )
        if not one_step(mem, scale, pl):
            return FAILED
        look(mem, w, pl)


@door
def restart(t: float, mem: Memory, w: Watch, pl: Plant) -> None:
    """Make the state at t (inside the last step) the new beginning: something was changed by hand or by a contact."""
    span = mem.clock[CLOCK_NOW] - mem.clock[CLOCK_BEFORE]
    interpolate(t, mem, w.y)
    settle_lags(t - mem.clock[CLOCK_BEFORE], span, w)
    copy_into(mem.y, w.y)
    copy_into(mem.y_before, w.y)
    mem.clock[CLOCK_NOW] = t
    mem.clock[CLOCK_BEFORE] = t
    mem.clock[CLOCK_STEP] = min(mem.clock[CLOCK_STEP], RESTART_STEP)
    mem.clock[CLOCK_READY] = 0.0
    for _ in range(2):
        sense(mem.y, mem.t_guess, w, pl, w.now)
        for i in range(pl.size[SIZE_NODES]):
            mem.t_guess[i] = w.P[i, P_T]
    keep_peaks(w)
    copy_into(w.before, w.now)
    w.pending[0] = inf


@door
def read(t: float, mem: Memory, w: Watch, pl: Plant, lags: Vector) -> None:
    """Evaluate the plant at t (inside the last step): state in ``w.y``, node table in ``w.P``, flows in ``w.F``, sensors in ``w.value``, displays in ``lags``.

    Changes nothing that the course depends on.
    """
    interpolate(t, mem, w.y)
    guess = mem.stage[ST_DL]  # room that no step expects to find as it left it
    for i in range(mem.t_guess.size):
        guess[i] = mem.t_guess[i]
    sense(w.y, guess, w, pl, w.value)
    span = mem.clock[CLOCK_NOW] - mem.clock[CLOCK_BEFORE]
    for k in range(lags.size):
        lags[k] = lagged(w, k, t - mem.clock[CLOCK_BEFORE], span, w.now[k])
