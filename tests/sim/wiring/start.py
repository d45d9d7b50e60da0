"""A start from standstill, twice: quasi-steady on the port, and in the time domain by ngspice with the machine on two fixed axes.

The time-domain machine is not our double revolving field: main winding on one axis, start winding on the other, two cage coils with their speed voltages
(P. C. Krause and others, Analysis of Electric Machinery, unsymmetrical two-phase machine). Both see the same supply, relay, capacitor and load. To
rebuild the stored answers: ``python -m tests.sim.wiring.ngspice``.
"""

from __future__ import annotations

import os
import re
import subprocess
import tempfile
from dataclasses import replace
from math import pi, sqrt, tanh
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.wiring import Circuit, State, windings
from sim.wiring.machine import HermeticMotor
from tests.sim.wiring.states import circuit

LAST_S = 0.8
STEP_S = 2e-4
SMOOTHING_S = 0.012  # the relay's armature in the time-domain run follows the mean square of its current with this lag


class Start(NamedTuple):
    """What one looks at after a start."""

    relay_opens_s: float
    settled_run_a: float
    settled_rad_s: float
    first_cycle_run_a: float


def load_nm(speed: float, full: float) -> float:
    """A fan-like load with some friction; nothing at rest."""
    return 0.05 * tanh(speed / 2.0) + 0.3 * (speed / full) ** 2


def bench(name: str) -> tuple[Circuit, State]:
    """The wiring without iron loss, only the compressor switched on, contactor and relay in."""
    wiring = circuit(name).wiring
    rated = replace(wiring.motor, core_loss_w=0.0)
    devices = tuple(replace(d, rated=rated) if isinstance(d, HermeticMotor) else d for d in wiring.devices)  # fmt: skip
    made = Circuit(replace(wiring, devices=devices))
    state = made.rest()
    for switch in ("HS-1", "HS-4"):
        made.turn(state, switch, "on")
    for coil in ("K1", "K2"):
        made.seat(state, coil, True)
    return made, state


def quasi_steady(name: str) -> Start:
    """Speed from the port's torque; the relay lets go when its current has been below drop-out for its delay."""
    made, state = bench(name)
    motor, magnet = made.wiring.motor, made.magnets["K2"]
    full = 4.0 * pi * state.hertz / motor.poles
    port, speed, below, opens = made.port(state), 0.0, 0.0, 0.0
    first = abs(port.solve(speed).main_a)
    for step in range(round(LAST_S / STEP_S)):
        solved = port.solve(speed)
        torque = windings.torque(made.row, state.hertz, speed, state.main_k, solved.main_a, solved.start_a)  # fmt: skip
        speed += STEP_S * (torque - load_nm(speed, full)) / motor.rotor_inertia_kg_m2
        below = below + STEP_S if abs(solved.main_a) < magnet.drop_out else 0.0
        if not opens and below >= magnet.delay_s:
            opens = step * STEP_S
            made.seat(state, "K2", False)
            port = made.port(state)
    return Start(opens, abs(port.solve(speed).main_a), speed, first)


def time_domain(name: str) -> Start:
    """The same start by ngspice."""
    made, state = bench(name)
    with tempfile.TemporaryDirectory() as folder:
        source, raw = Path(folder) / "start.cir", Path(folder) / "start.raw"
        source.write_text(start_deck(made, state))
        environment = {**os.environ, "SPICE_ASCIIRAWFILE": "1"}
        subprocess.run(["ngspice", "-b", "-r", str(raw), str(source)], check=True, capture_output=True, env=environment, timeout=120)  # fmt: skip
        run = waves(raw.read_text())
    cycle, time, amps = 1.0 / state.hertz, run["time"], run["i(v_run)"]
    flowing = np.abs(run["i(v_start)"]) > 0.02 * made.magnets["K2"].drop_out
    return Start(
        float(time[flowing].max()),
        rms(time, amps, LAST_S - 6.0 * cycle, LAST_S),
        float(np.mean(run["speed"][time > LAST_S - 6.0 * cycle])),
        rms(time, amps, 0.0, cycle),
    )


def rms(time: NDArray[np.float64], amps: NDArray[np.float64], begin: float, end: float) -> float:
    """Root mean square over a stretch of time with uneven steps."""
    grid = np.linspace(begin, end, 4000)
    return float(sqrt(np.mean(np.interp(grid, time, amps) ** 2)))


def waves(raw: str) -> dict[str, NDArray[np.float64]]:
    """Columns of an ASCII raw file of real values."""
    head, _, body = raw.partition("Values:")
    names = re.findall(r"^\s*\d+\s+(\S+)\s+(?:voltage|current|time)", head, re.MULTILINE)
    numbers = np.array([float(line.split()[-1]) for line in body.splitlines() if line.strip()])
    table = numbers.reshape(-1, len(names))
    return {re.sub(r"^v\((.*)\)$", r"\1", name): table[:, i] for i, name in enumerate(names)}


def start_deck(made: Circuit, state: State) -> str:
    """Supply, common lead, relay, capacitor from the port at standstill; the machine in its own equations."""
    port, omega = made.port(state), 2.0 * pi * state.hertz
    m, magnet = made.wiring.motor, made.magnets["K2"]
    common, run, start = port.impedance[0, 1], port.impedance[0, 0], port.impedance[1, 1]
    run, start = run - common, start - common
    lm, l2 = m.magnetising_reactance_ohm / omega, m.rotor_reactance_ohm / omega
    a, poles, full = m.turns_ratio, m.poles, 4.0 * pi * state.hertz / m.poles
    squares = magnet.pull_in**2, magnet.drop_out**2
    cage_d = f"({l2 + lm:.9g}*(0-i(v_jd))+{lm * a:.9g}*i(v_start))"
    cage_q = f"({l2 + lm:.9g}*(0-i(v_jq))+{lm:.9g}*i(v_run))"
    torque = f"{poles / 2 * lm:.9g}*({a}*i(v_start)*i(v_jq)-i(v_run)*i(v_jd))"
    load = f"(0.05*tanh(v(speed)/2)+0.3*(v(speed)/{full:.9g})^2)"
    crest = sqrt(2.0) * abs(port.open_v[0])
    return f"""* start of the compressor on {made.wiring.table.title}
v_line line 0 sin(0 {crest:.9g} {state.hertz})
r_line line line_a {common.real:.9g}
l_line line_a c {common.imag / omega:.9g}
v_run c run_a 0
r_run run_a run_b {run.real + m.main_resistance_ohm:.9g}
l_run run_b gap_q {(run.imag + m.main_reactance_ohm) / omega:.9g}
l_q gap_q 0 {lm:.9g}
v_jq gap_q q_a 0
r_q q_a q_b {m.rotor_resistance_ohm:.9g}
l_jq q_b q_c {l2:.9g}
b_q q_c 0 v={poles / 2}*v(speed)*{cage_d}
v_start c start_a 0
s_start start_a start_b square 0 relay on
r_start start_b start_c {start.real + m.start_resistance_ohm:.9g}
c_start start_c start_d {-1.0 / (omega * start.imag):.9g}
l_start start_d start_e {m.start_reactance_ohm / omega:.9g}
e_start start_e 0 gap_d 0 {a}
f_start 0 gap_d v_start {a}
l_d gap_d 0 {lm:.9g}
v_jd gap_d d_a 0
r_d d_a d_b {m.rotor_resistance_ohm:.9g}
l_jd d_b d_c {l2:.9g}
b_d d_c 0 v=0-{poles / 2}*v(speed)*{cage_q}
b_torque 0 speed i={torque}-{load}
c_speed speed 0 {m.rotor_inertia_kg_m2:.9g} ic=0
b_square 0 square i=i(v_run)^2
r_square square 0 1
c_square square 0 {SMOOTHING_S} ic={1.5 * squares[0]:.9g}
.model relay sw(ron=0.001 roff=1e6 vt={(squares[0] + squares[1]) / 2:.9g} vh={(squares[0] - squares[1]) / 2:.9g})
.options reltol=1e-5 method=gear
.tran 50u {LAST_S} 0 50u uic
.end
"""
