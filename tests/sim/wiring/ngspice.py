"""Every state of ``states.py`` through ngspice, and its answers kept in tests/data/wiring/ngspice_*.

ngspice is a circuit simulator of its own making (Debian package ngspice). To rebuild the stored answers:

    python -m tests.sim.wiring.ngspice
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.wiring import Circuit, State, deck
from sim.wiring.netlist import EARTH
from sim.wiring.spice import ammeter, node_name
from tests.sim.wiring.start import time_domain
from tests.sim.wiring.states import NAMES, circuit, states

DATA = Path(__file__).parents[2] / "data" / "wiring"
Phasors = NDArray[np.complex128]


def present() -> bool:
    """Is ngspice installed here?"""
    return shutil.which("ngspice") is not None


def run(circuit: Circuit, state: State) -> tuple[Phasors, Phasors]:
    """Voltage of every node (inner ends of the windings last) and current of every branch, as ngspice computes them."""
    with tempfile.TemporaryDirectory() as folder:
        source, raw = Path(folder) / "deck.cir", Path(folder) / "out.raw"
        source.write_text(deck(circuit, state))
        environment = {**os.environ, "SPICE_ASCIIRAWFILE": "1"}
        subprocess.run(
            ["ngspice", "-b", "-r", str(raw), str(source)],
            check=True,
            capture_output=True,
            env=environment,
            timeout=60,
        )
        found = parse(raw.read_text())
    volts = [0j if name == EARTH else found[node_name(name)] for name in circuit.node]
    amps = [found[f"i({ammeter(branch.name)})"] for branch in circuit.branches]
    return np.array(volts), np.array(amps)


def parse(raw: str) -> dict[str, complex]:
    """Names and values of an ASCII raw file with one point."""
    head, _, body = raw.partition("Values:")
    names = re.findall(r"^\s*\d+\s+(\S+)\s+(?:voltage|current|frequency)", head, re.MULTILINE)
    values = [line.split()[-1].split(",") for line in body.splitlines() if "," in line]
    # split, not matched: ngspice may leave the frequency with an imaginary part that is no number
    assert len(names) == len(values), "ngspice wrote a file that we do not understand"
    pairs = zip(names, values, strict=True)
    return {
        re.sub(r"^v\((.*)\)$", r"\1", name): complex(float(re_), float(im))
        for name, (re_, im) in pairs
    }


def stored(name: str) -> dict[str, Phasors]:
    """The stored answers of a wiring: "STATE|volts" and "STATE|amps"."""
    with np.load(DATA / f"ngspice_{name}.npz") as kept:
        return dict(kept)


def rebuild() -> None:
    """Run ngspice on every state of both wirings and keep what it says."""
    for name in NAMES:
        wired = circuit(name)
        kept: dict[str, Any] = {}
        for title, state in states(wired):
            kept[f"{title}|volts"], kept[f"{title}|amps"] = run(wired, state)
        np.savez_compressed(DATA / f"ngspice_{name}.npz", **kept)
        print(f"{name}: {len(kept) // 2} states", file=sys.stderr)
    starts = {name: time_domain(name)._asdict() for name in NAMES}
    (DATA / "ngspice_start.json").write_text(json.dumps(starts, indent=1) + "\n")


if __name__ == "__main__":
    rebuild()
