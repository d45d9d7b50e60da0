"""Occasions: what hands do so that a fault shows which does not show while the plant simply runs. They are data, beside the faults, in ``rigs/faults.toml``.

A stuck gauge shows at a stop, an open start relay at the next start, a slide that sticks at a reversal. The acts are done at their times after the fault.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import ClassVar

from sim.record import NOT_IN_FILE, Reader
from sim.rig import Device, Mode, Rig
from sim.tomlfile import Key

MODE_SWITCH = "HS-5"  # contract of the rigs, as in their line-ups


@dataclass(frozen=True, kw_only=True)
class Act:
    """At ``at_s`` a hand puts ``set`` to ``to``."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {"at_s": (0.0, 3600.0)}

    at_s: float
    set: str
    to: float | str


@dataclass(frozen=True, kw_only=True)
class Occasion:
    """A named series of acts, on a bench that runs steady."""

    name: str
    what: str
    """What happens, in one plain sentence."""
    source: str
    device: Device | None = None
    """The device that the acts need in line; none when any will do."""
    acts: tuple[Act, ...] = field(default=(), metadata=NOT_IN_FILE)

    @property
    def last_s(self) -> float:
        """When the last act is done."""
        return max(act.at_s for act in self.acts)

    def hindered_on(self, rig: Rig, device: Device, mode: Mode) -> str:
        """Why it cannot be on a rig that runs on a device in a mode; nothing when it can."""
        missing = [act.set for act in self.acts if act.set.partition(".")[0] not in rig.tags]
        if missing:
            return f"{rig.title} has no {', '.join(dict.fromkeys(missing))}"
        if any((act.set, act.to) == (MODE_SWITCH, mode) for act in self.acts):
            return f"the plant is in {mode} already"
        if self.device not in (None, device):
            return f"it needs the {self.device} device"
        return ""


def position(to: float | str) -> str:
    """Where a handle is put, in words."""
    if isinstance(to, str):
        return to
    return {0.0: "shut", 1.0: "open"}.get(float(to), f"to {to:g}")


def read_occasions(reader: Reader) -> dict[str, Occasion]:
    """The occasions of a file of faults; the reader collects what is wrong with them."""
    found: dict[str, Occasion] = {}
    for i, entry in enumerate(_tables(reader, ("occasion",), reader.document.values)):
        path: Key = ("occasion", i)
        occasion = reader.read(Occasion, path, f"occasion {i + 1}", other_keys=("act",))
        acts = _acts(reader, path, entry)
        if occasion is None:
            continue
        if occasion.name in found:
            reader.wrong((*path, "name"), f"occasion {occasion.name} is given twice.", "Rename one.")  # fmt: skip
        if acts:
            found[occasion.name] = replace(occasion, acts=acts)
        else:
            reader.wrong(path, f"occasion {occasion.name}: nothing is done.", "Add [[occasion.act]].")  # fmt: skip
    return found


def _acts(reader: Reader, path: Key, entry: Mapping[str, object]) -> tuple[Act, ...]:
    tables = _tables(reader, (*path, "act"), entry)
    read = [reader.read(Act, (*path, "act", j), "act") for j in range(len(tables))]
    acts = tuple(act for act in read if act is not None)
    if list(acts) != sorted(acts, key=lambda act: act.at_s):
        reader.wrong((*path, "act"), "the acts of an occasion stand in the order in which they are done.", "Sort them by at_s.")  # fmt: skip
    return acts


def _tables(reader: Reader, path: Key, table: Mapping[str, object]) -> list[Mapping[str, object]]:
    entries = table.get(str(path[-1]), [])
    if isinstance(entries, list) and all(isinstance(entry, dict) for entry in entries):
        return entries
    reader.wrong(path, f"{path[-1]} must be an array of tables.", "Write it with two brackets.")
    return []
