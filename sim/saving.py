"""Saving and loading a bench: one zip of plain arrays and one JSON text, no code, readable by numpy.

Everything that decides the further course is in it, bit for bit: integrator memory, lags, commands, contacts, faults, what is put off to later.
The rig itself is not: a save names its rig, and says so when that has changed since.

The text is packed (zlib), so that a text editor or an unpacked zip does not show a learner which faults are in. That hides them from a glance and is no security: a few
lines of Python read it.
"""

from __future__ import annotations

import hashlib
import heapq
import json
import zlib
from dataclasses import asdict
from inspect import signature
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from sim.clock import Due
from sim.errors import InputError
from sim.events import Event
from sim.faulting import ActiveFault, spoil_instruments
from sim.moisture import Moisture
from sim.onset import Onset
from sim.recharging import use_fluid
from sim.rig import Rig, load_rig
from sim.rig_find import find_rig, wirings
from sim.surroundings import Surroundings
from sim.tags import checked
from sim.whole_file import write_whole
from sim.wiring import wiring_of

if TYPE_CHECKING:
    from sim.bench import Bench

FORMAT = 10
CLOSED = 1e-4
"""A hundred times what the books of any course may miss (see ``sim.ledger``): more, and somebody has changed a number in the file. Who changes what the books count needs a new ``FORMAT``."""
MEMORY = ("clock", "y", "f", "y_before", "f_before", "stage", "jac", "t_guess", "P", "F", "stats")
WATCH = ("sensor", "tau", "lag", "before", "now", "monitor", "pending")
LATER = {
    "arm",
    "armature",
    "protection",
    "stall_check",
    "charge_step",
    "fault_step",
    "moisture_step",
    "time_over",
}
"""What can be put off to a later tick."""
PLANT = (
    "node",
    "coil",
    "coil_i",
    "link",
    "bulb",
    "wear",
    "link_i",
    "slide",
    "feed",
    "glob",
    "machine",
    "motor",
    "wall",
)


def rig_key(rig: Rig) -> str:
    """Hash of what the rig's files say that a run depends on, its wiring's among them."""
    wiring = wiring_of(rig) if rig.wiring else None
    wired = (wiring.supply, wiring.devices, wiring.wires) if wiring is not None else ()
    plant = (rig.fluid_name, rig.charge_kg, rig.ps_pa, rig.nodes, rig.parts, rig.walls, rig.airs)
    said = (*plant, rig.switches, rig.instruments, rig.line_ups, *wired)
    return hashlib.sha256(repr(said).encode()).hexdigest()[:16]


def frozen(bench: Bench) -> tuple[dict[str, np.ndarray[Any, Any]], dict[str, Any]]:
    """(arrays, plain values) that hold the whole bench."""
    arrays = {f"memory.{n}": getattr(bench._memory, n) for n in MEMORY}
    arrays |= {f"watch.{n}": getattr(bench.watch, n) for n in WATCH}
    arrays |= {f"plant.{n}": getattr(bench.plant, n) for n in PLANT}
    arrays["factors"] = bench._memory.factors.value
    h = bench.happenings
    values = {
        "format": FORMAT,
        "rig": str(bench.rig.folder),
        "rig_name": bench.rig.name,
        "wiring": bench.rig.wiring,
        "rig_key": rig_key(bench.rig),
        "seed": bench.seed,
        "assessed": bench.assessed,
        "species": bench.layout.n_species,
        "charged_with": bench.charged_with,
        "tick": bench._tick,
        "count": bench._count,
        "commands": bench.commands,
        "position": bench.controls.position,
        "open_contacts": sorted(bench.controls.open_contacts),
        "latched": sorted(bench.controls.latched),
        "surroundings": asdict(bench.surroundings),
        "events": [asdict(e) for e in bench.events],
        "warnings": bench.warnings,
        "faults": {key: asdict(fault) for key, fault in bench.faults.items()},
        "due": [[d.tick, d.number, d.method, list(d.arguments)] for d in sorted(bench._due)],
        "happenings": [
            sorted(h.magnets.moving),
            h.magnets.moved,
            h.was_on,
            h.off_tick,
            h.was_closed,
            h.damage,
        ],
        "moisture": bench.moisture.plain(),
        "supply": bench.supply.frozen(),
        "initial": [bench.initial_mass_kg, bench.initial_energy_j, bench.joined_energy_j],
    }
    return arrays, values


def put(target: np.ndarray[Any, Any], values: np.ndarray[Any, Any]) -> None:
    """Copy values into an array of the same shape. Raises ValueError."""
    if values.shape != target.shape:
        raise ValueError(f"{values.shape} does not fit {target.shape}")
    target[...] = values


def thawed(bench: Bench, arrays: dict[str, np.ndarray[Any, Any]], values: dict[str, Any]) -> None:
    """Put a frozen bench's values into a new bench of the same rig."""
    if values["charged_with"] != bench.charged_with:
        use_fluid(bench, values["charged_with"])
    for group, names, target in (("memory", MEMORY, bench._memory), ("watch", WATCH, bench.watch), ("plant", PLANT, bench.plant)):  # fmt: skip
        for name in names:
            put(getattr(target, name), arrays[f"{group}.{name}"])
    put(bench._memory.factors.value, arrays["factors"])
    _refuse_nonsense(bench, values)
    bench._tick, bench._count = values["tick"], values["count"]
    bench.assessed = bool(values.get("assessed", False))
    bench.commands.update(values["commands"])
    bench.controls.position.update(values["position"])
    bench.controls.open_contacts = set(values["open_contacts"])
    bench.controls.latched = set(values["latched"])
    bench.surroundings = Surroundings(**values["surroundings"])
    bench.events[:] = [Event(**e) for e in values["events"]]
    bench.warnings[:] = values["warnings"]
    bench.faults = {key: ActiveFault(**{**f, "onset": Onset(**f["onset"])}) for key, f in values["faults"].items()}  # fmt: skip
    bench._due = [Due(t, n, m, tuple(a)) for t, n, m, a in values["due"]]
    if not {due.method for due in bench._due} <= LATER:
        raise ValueError("something unknown was put off to later")
    for due in bench._due:
        signature(getattr(bench.happenings, due.method)).bind(*due.arguments)
    heapq.heapify(bench._due)
    bench.moisture = Moisture(**values["moisture"])
    h = bench.happenings
    moving, h.magnets.moved, h.was_on, h.off_tick, h.was_closed, h.damage = values["happenings"]
    h.magnets.moving = set(moving)
    bench.supply.thawed(values["supply"])
    bench.initial_mass_kg, bench.initial_energy_j, bench.joined_energy_j = values["initial"]
    spoil_instruments(bench)


def _refuse_nonsense(bench: Bench, values: dict[str, Any]) -> None:
    """What no bench has ever saved. Raises ValueError, InputError."""
    if not np.isfinite(bench._memory.y).all():
        raise ValueError("the state is not made of numbers")
    for tag, setting in values["commands"].items():
        if tag in bench._infos:
            checked(bench._infos[tag], setting)
    if not values["tick"] >= 0 or not bench.watch.pending[0] >= 0:
        raise ValueError("the clock, or what comes next, stands before the beginning")


def hidden(values: dict[str, Any]) -> np.ndarray[Any, Any]:
    """Plain values as bytes that show no text."""
    return np.frombuffer(zlib.compress(json.dumps(values).encode()), np.uint8)


def text_of(stored: np.ndarray[Any, Any]) -> str:
    """The JSON text; formats up to 4 kept it plain, and are told by it that they are old."""
    return str(stored) if stored.dtype.kind == "U" else zlib.decompress(stored.tobytes()).decode()


def packed(bench: Bench) -> bytes:
    """What a saved bench holds."""
    arrays, values = frozen(bench)
    buffer = BytesIO()
    np.savez_compressed(buffer, values=hidden(values), **arrays)  # type: ignore[arg-type]
    return buffer.getvalue()


def write_bench(bench: Bench, path: Path) -> None:
    """Put a bench's file in place whole, or raise InputError and keep what was there."""
    blob = packed(bench)
    try:
        write_whole(path, blob)
    except OSError as error:
        raise InputError(f"{path}: the bench could not be saved ({error.strerror}). Choose a folder that can be written and has room.") from None  # fmt: skip


def read_bench(path: Path) -> Bench:
    """A bench from a file. Raises InputError with the reason when that is not possible."""
    from sim.bench import Bench

    arrays, values = opened(path)
    folder, name, key = str(values["rig"]), str(values["rig_name"]), values["rig_key"]
    try:
        rig = rig_of(folder if Path(folder).is_dir() else name, str(values.get("wiring", "")))
    except InputError as error:
        raise InputError(f"{path}: its rig {name} cannot be loaded: {error}") from None
    if rig_key(rig) != key:
        raise InputError(f"{path}: the rig {rig.name} has changed since this was saved.")
    try:
        bench = Bench(rig, seed=int(values["seed"]), species=int(values["species"]))
        thawed(bench, arrays, values)
        books = bench.fork().ledger()  # to look at a bench changes its memory by a bit
        if not all(abs(books[one]) <= CLOSED for one in ("mass_closure", "energy_closure")):
            raise ValueError("its books do not close")
    except (ValueError, KeyError, TypeError, AttributeError, ArithmeticError, InputError):
        raise InputError(f"{path}: this saved bench is damaged.") from None
    return bench


def rig_of(where: str, wiring: str) -> Rig:
    """The rig in a folder or of a name, with its wiring of that name if it still has one. Raises InputError."""
    there = wirings(find_rig(where).folder)
    return load_rig(f"{where}:{wiring}" if wiring in there else where)


def opened(path: Path) -> tuple[dict[str, np.ndarray[Any, Any]], dict[str, Any]]:
    """(arrays, plain values) of a saved bench. Raises InputError when it is none, or none of this format."""
    try:
        arrays, values = unpacked(path.read_bytes())
        known = values["format"], values["rig"], values["rig_name"], values["rig_key"]
    except OSError as error:
        raise InputError(f"{path}: cannot be read ({error.strerror or error}).") from None
    except Exception:  # a stranger's bytes can make the unpackers raise anything
        raise InputError(f"{path}: this is no saved bench, or it is damaged.") from None
    if known[0] != FORMAT:
        raise InputError(f"{path}: saved by another version of the program (format {known[0]}).")
    return arrays, values


def unpacked(blob: bytes) -> tuple[dict[str, np.ndarray[Any, Any]], dict[str, Any]]:
    """(arrays, plain values) of what ``packed`` made. A stranger's bytes make it raise anything."""
    with np.load(BytesIO(blob), allow_pickle=False) as file:
        arrays = {name: file[name] for name in file.files}
    return arrays, json.loads(text_of(arrays.pop("values")))
