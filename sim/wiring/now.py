"""The wiring at one instant, for a screen to draw: nobody changes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from sim.wiring.solution import Port

PROBE_OHM = (
    1e5  # guess: a conductor counts as live when it can drive a milliampere or so; a ghost cannot
)


@dataclass(frozen=True, slots=True)
class CircuitNow:
    """Volts, amps and positions."""

    volts: Mapping[str, float]
    """Terminal to its rms volts to earth with a light load on it, so that ghosts do not count."""
    amps: Mapping[str, float]
    """Branch (wires among them) to its rms current."""
    closed: Mapping[str, bool]
    """Contact to whether it is closed."""
    seated: Mapping[str, bool]
    """Coil to whether its armature is in."""
    turning: Mapping[str, bool]
    """Fan to whether it turns."""


def loading(port: Port) -> NDArray[np.complex128]:
    """What a light load leaves of the voltage of every node (the motor's own path left out)."""
    inside = np.linalg.inv(port.matrix)
    share = np.ones(len(inside) + 1, dtype=complex)
    share[1:] = 1.0 / (1.0 + np.diag(inside) / PROBE_OHM)
    return share


def circuit_now(
    port: Port, share: NDArray[np.complex128], main_a: complex, start_a: complex
) -> CircuitNow:
    """The circuit of ``port`` with these winding currents; ``share`` is its ``loading``."""
    circuit, state = port.circuit, port.state
    node_v = port.basis @ np.array((1.0, main_a, start_a))
    volts = np.abs(node_v * share)
    amps = np.abs(port.siemens * (node_v[circuit.a] - node_v[circuit.b]))
    return CircuitNow(
        MappingProxyType({name: float(volts[circuit.node[name]]) for name in circuit.terminals}),
        MappingProxyType(dict(zip(circuit.index, amps.tolist(), strict=True))),
        MappingProxyType(dict(state.closed)),
        MappingProxyType(dict(state.seated)),
        MappingProxyType(dict(state.fan_turning)),
    )
