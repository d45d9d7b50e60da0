"""TR-BDF2 with one Jacobian kept as long as it serves, steps that run past the frame, and contacts that switch at a root.

Method: Bank et al., IEEE Trans. Electron Devices 32 (1985) 1992-2007; stage and error formulas after Hosea & Shampine, Appl. Numer. Math. 20
(1996) 21-37, with gamma = 2 - sqrt(2). The derivative at the end of a step comes from the stage equation, so linear invariants (mass,
energy with its ledger) hold to rounding in every step and in the cubic Hermite interpolant that frames and roots are read from.

The trajectory depends on the plant, the start and the time-stamped commands only: a frame never shortens a step. A command or a contact
restarts the integrator from the interpolated state at its instant.

Over 300 lines: a method and its memory read together.
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Cube, Indices, Matrix, Vector
from sim.columns import N_VOLUME, P_T
from sim.compiled import compiled
from sim.jacobian import jacobian
from sim.kernel import rhs
from sim.plant import (
    SIZE_NODES,
    SIZE_SPECIES,
    SIZE_STATES,
    SIZE_U,
    SIZE_W,
    Plant,
)
from sim.sparse import Factors, factorise, solve

Floats = NDArray[np.float64]

GAMMA = 2.0 - sqrt(2.0)
D = GAMMA / 2.0
W = sqrt(2.0) / 4.0
C1 = 1.0 / (GAMMA * (2.0 - GAMMA))
C2 = (1.0 - GAMMA) ** 2 / (GAMMA * (2.0 - GAMMA))
# error weights of the three stages (Hosea & Shampine, with the third-order companion)
E0 = (1.0 - W) / 3.0 - W
E1 = (3.0 * W + 1.0) / 3.0 - W
E2 = D / 3.0 - D

# Measured over start-up, changeover, reversal, pump-down, stops and storms: three iterations and a shorter step beat six, because where Newton is slow it
# cycles on a kink (a cell's last liquid) that the shorter step no longer straddles. Iterates keep mass and energy whether they have converged or not.
NEWTON_TOLERANCE = 0.1  # of the error weight
NEWTON_ENOUGH = 0.3  # a last correction as small as that will do
NEWTON_LIMIT = 3  # iterations
PATIENT_BELOW = 1e-6  # s; a step as short as that has ...
PATIENT_LIMIT = 15  # ... as many, and time to be damped
KEEP_CONTRACTION = 0.25  # a Jacobian that contracts worse is renewed
KEEP_STEPS = 40.0  # and so is one that is older
GROWTH = 2.0  # largest step ratio
CAUTIOUS_STEPS = 10.0  # after a Newton failure the step does not grow for so many: a tenth cheaper than growing by 1.3, off and in pump-down a fifth
SMALLEST_STEP = 1e-9  # s
RESTART_STEP = 1e-2  # s, first step after a command or contact
LONGEST_STEP = 20.0  # s
ENERGY_SCALE = (
    3e5  # J/kg, order of a refrigerant's internal energy: turns a mass weight into an energy weight
)

# clock
(
    CLOCK_NOW,
    CLOCK_BEFORE,
    CLOCK_STEP,
    CLOCK_READY,
    CLOCK_CAUTION,
    CLOCK_FAILS,
    CLOCK_LU_STEP,
    CLOCK_FRESH,
    CLOCK_AGE,
    CLOCK_RTOL,
) = range(10)
CLOCK_SIZE = 10

# statistics
STAT_STEPS, STAT_RHS, STAT_JACOBIANS, STAT_LU, STAT_REJECTED, STAT_NEWTON = range(6)


class Memory(NamedTuple):
    """All that the integrator remembers; saving and forking copy these arrays and nothing else."""

    clock: Vector
    y: Vector  # state at CLOCK_NOW
    f: Vector
    y_before: Vector  # state at CLOCK_BEFORE
    f_before: Vector
    stage: Matrix  # rows: weights, base, Y1, f1, yn, fn, fs, dl
    jac: Matrix
    factors: Factors
    t_guess: Vector
    P: Cube  # node properties, base and perturbed
    F: Matrix  # link flows
    stats: Indices


(ST_WEIGHT, ST_BASE, ST_Y1, ST_F1, ST_YN, ST_FN, ST_FS, ST_DL) = range(8)


@compiled
def copy_into(target: Floats, source: Floats) -> None:
    """Copy an array of the same length element by element (a slice assignment would count references)."""
    for i in range(target.size):
        target[i] = source[i]


@compiled
def error_weights(y: Floats, w: Floats, scale: Floats, pl: Plant, rtol: float) -> None:
    """Size of an error that counts as one: relative for mass and energy (with a floor of half a kilogram a cubic metre), absolute elsewhere."""
    n = pl.size[SIZE_NODES]
    ns = pl.size[SIZE_SPECIES]
    for i in range(n):
        mass = 0.0
        for s in range(ns):
            mass += y[s * n + i]
        reference = mass + 0.5 * pl.node[i, N_VOLUME]
        for s in range(ns):
            w[s * n + i] = rtol * reference
        w[pl.size[SIZE_U] + i] = rtol * ENERGY_SCALE * reference
    for k in range(pl.size[SIZE_W], pl.size[SIZE_STATES]):
        w[k] = rtol * scale[k]


@compiled
def update_matrix(Y: Floats, hd: float, mem: Memory, pl: Plant, renew: bool) -> bool:
    """Make the factors fit step ``hd``; renew the Jacobian first if asked. False when the matrix is singular."""
    clock = mem.clock
    if renew:
        jacobian(Y, mem.jac, mem.t_guess, mem.P, mem.F, pl)
        mem.stats[STAT_JACOBIANS] += 1
        clock[CLOCK_FRESH] = 1.0
        clock[CLOCK_AGE] = 0.0
        clock[CLOCK_LU_STEP] = -1.0
    if clock[CLOCK_LU_STEP] != hd:
        if not factorise(mem.factors, mem.jac, hd):
            return False
        mem.stats[STAT_LU] += 1
        clock[CLOCK_LU_STEP] = hd
    return True


@compiled
def damping(Y: Floats, mem: Memory, masses: int) -> tuple[float, float]:
    """(error norm of the correction, share of it that may be taken so that no node loses more than 80 % of its refrigerant)."""
    order = mem.factors.order
    dl = mem.stage[ST_DL]
    w = mem.stage[ST_WEIGHT]
    total = 0.0
    share = 1.0
    for a in range(order.size):
        k = order[a]
        d = dl[a]
        z = d / w[k]
        total += z * z
        if k < masses and Y[k] + d < 0.2 * Y[k]:
            share = min(share, -0.8 * Y[k] / d)
    return sqrt(total / order.size), share


@compiled
def correction(Y: Floats, hd: float, mem: Memory, pl: Plant) -> bool:
    """Fill ``dl`` with the Newton correction at Y. False when the matrix is singular."""
    order = mem.factors.order
    base = mem.stage[ST_BASE]
    fs = mem.stage[ST_FS]
    dl = mem.stage[ST_DL]
    rhs(Y, fs, mem.t_guess, mem.P[0], mem.F, pl)
    mem.stats[STAT_RHS] += 1
    for i in range(pl.size[SIZE_NODES]):
        mem.t_guess[i] = mem.P[0, i, P_T]
    if not update_matrix(Y, hd, mem, pl, mem.clock[CLOCK_FRESH] == 0.0):
        return False
    for a in range(order.size):
        k = order[a]
        dl[a] = base[k] + hd * fs[k] - Y[k]
    solve(mem.factors, dl)
    return True


@compiled
def newton(Y: Floats, hd: float, mem: Memory, pl: Plant) -> bool:
    """Solve Y = base + hd f(Y) in place. False when it does not converge."""
    order = mem.factors.order
    dl = mem.stage[ST_DL]
    before = -1.0
    relax = 1.0
    for it in range(NEWTON_LIMIT if hd > PATIENT_BELOW else PATIENT_LIMIT):
        if not correction(Y, hd, mem, pl):
            return False
        e, share = damping(Y, mem, pl.size[SIZE_NODES])
        if not e < 1e200:
            return False
        contraction = e / before if before > 0.0 else 0.0
        if it > 1:
            relax = max(0.25, 0.5 * relax) if contraction > 0.5 else min(1.0, 2.0 * relax)
            share = min(share, relax)
        for a in range(order.size):
            Y[order[a]] += share * dl[a]
        if converged(it, e, contraction, share):
            return True
        if share < 1.0 or (it > 0 and contraction > KEEP_CONTRACTION):
            mem.clock[CLOCK_FRESH] = 0.0
        before = e
    return before < NEWTON_ENOUGH


@compiled
def converged(it: int, e: float, contraction: float, share: float) -> bool:
    """Is the correction just made small enough, judged by its size and by how the sizes fall?"""
    if it == 0:
        return e < 0.02 * NEWTON_TOLERANCE
    if contraction < 1.0 and share > 0.99:
        left = e * max(contraction, 1e-3) / (1.0 - contraction)
        if left < NEWTON_TOLERANCE:
            return True
    return e < 0.3 * NEWTON_TOLERANCE


@compiled
def tame(guess: Floats, known: Floats, pl: Plant) -> None:
    """Fall back on the known state when an extrapolated mass would run wild."""
    for i in range(pl.size[SIZE_NODES]):
        if guess[i] < 0.5 * known[i] or abs(guess[i] - known[i]) > 0.2 * (
            known[i] + 0.5 * pl.node[i, N_VOLUME]
        ):
            copy_into(guess, known)
            return


@compiled
def stage_start(second: bool, h: float, mem: Memory) -> None:
    """Base and first guess of a stage: the trapezoid to gamma h, then the BDF2 formula to h (extrapolated as a parabola)."""
    y, f0 = mem.y, mem.f
    base = mem.stage[ST_BASE]
    y1 = mem.stage[ST_Y1]
    guess = mem.stage[ST_YN]
    if not second:
        for i in range(y.size):
            base[i] = y[i] + D * h * f0[i]
            guess[i] = y[i] + GAMMA * h * f0[i]
        return
    f1 = mem.stage[ST_F1]
    for i in range(y.size):
        y1[i] = guess[i]
        f1[i] = (y1[i] - base[i]) / (D * h)
        base[i] = C1 * y1[i] - C2 * y[i]
        guess[i] = y[i] + h * f0[i] + (y1[i] - y[i] - GAMMA * h * f0[i]) / (GAMMA * GAMMA)


@compiled
def step_error(h: float, mem: Memory) -> float:
    """Derivative at the end of the step from its stage equation, and the norm of the step's error (1 is just acceptable)."""
    f0, f1, fn = mem.f, mem.stage[ST_F1], mem.stage[ST_FN]
    base, yn, dl = mem.stage[ST_BASE], mem.stage[ST_YN], mem.stage[ST_DL]
    order = mem.factors.order
    for i in range(yn.size):
        fn[i] = (yn[i] - base[i]) / (D * h)
    for a in range(order.size):
        k = order[a]
        dl[a] = h * (E0 * f0[k] + E1 * f1[k] + E2 * fn[k])
    solve(mem.factors, dl)
    total = 0.0
    for a in range(order.size):
        z = dl[a] / mem.stage[ST_WEIGHT, order[a]]
        total += z * z
    return sqrt(total / order.size)


@compiled
def step(h: float, mem: Memory, scale: Floats, pl: Plant) -> float:
    """One attempt of length h from mem.y. Returns the error norm (accept below 1), or -1 when Newton failed."""
    error_weights(mem.y, mem.stage[ST_WEIGHT], scale, pl, mem.clock[CLOCK_RTOL])
    for stage in range(2):
        stage_start(stage == 1, h, mem)
        tame(mem.stage[ST_YN], mem.y if stage == 0 else mem.stage[ST_Y1], pl)
        if not newton(mem.stage[ST_YN], D * h, mem, pl):
            return -1.0
    return step_error(h, mem)


@compiled
def start(mem: Memory, pl: Plant) -> None:
    """Evaluate the derivative at mem.y and forget everything that belonged to an earlier course."""
    for _ in range(2):
        rhs(mem.y, mem.f, mem.t_guess, mem.P[0], mem.F, pl)
        for i in range(pl.size[SIZE_NODES]):
            mem.t_guess[i] = mem.P[0, i, P_T]
    copy_into(mem.y_before, mem.y)
    copy_into(mem.f_before, mem.f)
    mem.clock[CLOCK_BEFORE] = mem.clock[CLOCK_NOW]
    mem.clock[CLOCK_READY] = 1.0
    mem.clock[CLOCK_FRESH] = 0.0
    mem.clock[CLOCK_FAILS] = 0.0


@compiled
def accept(h: float, err: float, wanted: float, mem: Memory) -> None:
    """Take the step and choose the next length."""
    clock = mem.clock
    copy_into(mem.y_before, mem.y)
    copy_into(mem.f_before, mem.f)
    copy_into(mem.y, mem.stage[ST_YN])
    copy_into(mem.f, mem.stage[ST_FN])
    clock[CLOCK_BEFORE] = clock[CLOCK_NOW]
    clock[CLOCK_NOW] += h
    factor = 0.9 * max(err, 1e-9) ** (-1.0 / 3.0)
    if clock[CLOCK_FAILS] > 0.0:
        clock[CLOCK_CAUTION] = CAUTIOUS_STEPS
    clock[CLOCK_FAILS] = 0.0
    if clock[CLOCK_CAUTION] > 0.0:
        clock[CLOCK_CAUTION] -= 1.0
        factor = min(factor, 1.0)
    factor = min(factor, GROWTH)
    if 0.95 < factor < 1.2:
        factor = 1.0  # not worth a new factorisation
    clock[CLOCK_STEP] = h * factor if h > 0.99 * wanted else max(h * factor, wanted)


@compiled
def one_step(mem: Memory, scale: Floats, pl: Plant) -> bool:
    """Advance by one accepted step, retrying as needed. False when no step however small succeeds."""
    clock = mem.clock
    if clock[CLOCK_READY] == 0.0:
        start(mem, pl)
    while True:
        h = min(clock[CLOCK_STEP], LONGEST_STEP)
        clock[CLOCK_AGE] += 1.0
        if clock[CLOCK_AGE] > KEEP_STEPS:
            clock[CLOCK_FRESH] = 0.0
        err = step(h, mem, scale, pl)
        mem.stats[STAT_STEPS] += 1
        if err < 0.0:
            mem.stats[STAT_NEWTON] += 1
            clock[CLOCK_FAILS] += 1.0
            clock[CLOCK_STEP] = 0.5 * h
            clock[CLOCK_FRESH] = 0.0
            if clock[CLOCK_STEP] < SMALLEST_STEP:
                return False
        elif err <= 1.0 or h < 1e-8:
            accept(h, err, h, mem)
            return True
        else:
            mem.stats[STAT_REJECTED] += 1
            factor = 0.9 * err ** (-1.0 / 3.0)
            clock[CLOCK_STEP] = h * max(0.15, min(factor, 0.8))
            if err > 5.0:
                clock[CLOCK_FRESH] = 0.0


@compiled
def interpolate(t: float, mem: Memory, out: Floats) -> None:
    """State at an instant of the last step, by the cubic Hermite polynomial."""
    span = mem.clock[CLOCK_NOW] - mem.clock[CLOCK_BEFORE]
    if span <= 0.0 or t >= mem.clock[CLOCK_NOW]:
        copy_into(out, mem.y)
        return
    s = (t - mem.clock[CLOCK_BEFORE]) / span
    a = (1.0 + 2.0 * s) * (1.0 - s) ** 2
    b = s * (1.0 - s) ** 2 * span
    c = s * s * (3.0 - 2.0 * s)
    d = s * s * (s - 1.0) * span
    for i in range(out.size):
        out[i] = a * mem.y_before[i] + b * mem.f_before[i] + c * mem.y[i] + d * mem.f[i]
