"""Hold a run sheet against its rig: does every tag exist, does it have that position, is there such a fault, is there a line-up for the device."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from pathlib import Path

from sim.errors import InputError, Mistake
from sim.record import did_you_mean
from sim.rig import Rig
from sim.run_sheet import RunSheet, Setting, SheetDraft, TagLike, draft_sheet
from sim.starts import DEVICES, MODES, Start
from sim.surroundings import NAMES as SURROUNDINGS
from sim.surroundings import SurroundingsTable
from sim.switches import LoadBox
from sim.tomlfile import Key

RigOf = Callable[[str, Path], Rig]
"""The rig of a name or path, which may be relative to a folder."""


def check_sheet(
    path: Path,
    rig_of: RigOf,
    tags_of: Callable[[Rig], Sequence[TagLike]],
    faults: Collection[str],
) -> tuple[RunSheet | None, Rig | None, list[Mistake]]:
    """The sheet and its rig if both are right, and every mistake. Raises InputError only if ``path`` is no TOML at all."""
    draft = draft_sheet(path)
    mistakes = [*draft.mistakes, *check_faults(draft, faults)]
    name = draft.document.values.get("rig")
    rig = None
    if isinstance(name, str):
        try:
            rig = rig_of(name, path.parent)
            mistakes += check_against(draft, rig, tags_of(rig))
        except InputError as error:
            what = f"the rig {name} is wrong."
            mistakes.append(draft.document.mistake(("rig",), what, "See its own lines."))
            mistakes += error.mistakes
    mistakes.sort(key=lambda one: (one.file != draft.document.file, one.file, one.line))
    return (None, None, mistakes) if mistakes else (draft.sheet, rig, [])


def check_faults(draft: SheetDraft, known: Collection[str]) -> Iterator[Mistake]:
    """Every named fault is one that the bench knows."""
    for path, fault in draft.faults:
        if fault.name not in known:
            what = f"there is no fault {fault.name}."
            yield draft.document.mistake((*path, "name"), what, did_you_mean(fault.name, known))


def check_against(draft: SheetDraft, rig: Rig, tags: Sequence[TagLike]) -> Iterator[Mistake]:
    """What only the rig can tell."""
    yield from _check_places(draft, rig)
    by_tag = {info.tag: info for info in tags}
    yield from _check_waits(draft, rig, by_tag)
    for path, action in draft.actions:
        for tag, value in action.set.items():
            if isinstance(value, bool) or not isinstance(value, int | float | str):
                continue  # told with the sheet's own mistakes
            yield from _check_setting(draft, (*path, "set", tag), tag, value, by_tag)
    yield from _check_line_up(draft, rig)
    yield from _check_wiring(draft, rig)


def _check_places(draft: SheetDraft, rig: Rig) -> Iterator[Mistake]:
    """A fault with a place: can it sit there on this rig? One that comes and goes: can it?"""
    special = [(path, one) for path, one in draft.faults if one.place is not None or one.period_s]
    if not special:
        return
    from sim.faults import all_faults  # brings the knobs, and a compiler behind them
    from sim.places import places_on

    for path, fault in special:
        known, place = all_faults().get(fault.name), fault.place
        if known is None:
            continue
        if fault.period_s and known.charge:
            what = f"fault {fault.name} moves charge and so cannot come and go."
            yield draft.document.mistake((*path, "period_s"), what, "Leave out period_s.")
        places = places_on(rig, known.places)
        if place is not None and place not in places:
            what = f"fault {fault.name} cannot sit at {place} of rig {rig.name}."
            remedy = did_you_mean(place, places) if places else "It has no places; leave out place."
            yield draft.document.mistake((*path, "place"), what, remedy)


def _check_waits(draft: SheetDraft, rig: Rig, by_tag: Mapping[str, TagLike]) -> Iterator[Mistake]:
    """A fault that waits for an event of a tag: can that ever come? Events come from parts, nodes and devices, from whatever a hand moves, and from a load box's limiter."""
    waiting = [(path, one.on.partition(":")[2]) for path, one in draft.faults if ":" in one.on]
    if not waiting:
        return
    known = {*rig.tags, *(node.name for node in rig.nodes), *by_tag, *SURROUNDINGS}
    known |= {f"{switch.tag}.limit" for switch in rig.switches if isinstance(switch, LoadBox)}
    if rig.wiring:
        from sim.wiring import wiring_of

        known |= {device.tag for device in wiring_of(rig).devices}
    for path, tag in waiting:
        if tag not in known:
            what = f"the fault waits for an event of {tag}, which rig {rig.name} has not."
            yield draft.document.mistake((*path, "on"), what, did_you_mean(tag, known))


def _check_wiring(draft: SheetDraft, rig: Rig) -> Iterator[Mistake]:
    """Faults of the wiring and meter readings: both need terminals, and these terminals."""
    if not draft.wiring_faults and not draft.measures:
        return
    if not rig.wiring:
        for path, _ in (*draft.wiring_faults, *draft.measures):
            what = f"this needs a wiring, and rig {rig.name} has none."
            remedy = "Remove it, or name a rig with its wiring (RIG:WIRING)."
            yield draft.document.mistake(path, what, remedy)
        return
    from sim.wiring import Circuit, wiring_of

    circuit = Circuit(wiring_of(rig))
    for path, fault in draft.wiring_faults:
        try:
            fault.fault.put_on(circuit, circuit.rest())
        except InputError as error:
            yield draft.document.mistake(path, f"{error}", "")
    for path, measure in draft.measures:
        named: list[tuple[Callable[[str], object], str]]
        named = [(circuit.number, terminal) for terminal in measure.between]
        named += [(circuit.branch, conductor.removeprefix("-")) for conductor in measure.around]
        for find, name in named:
            try:
                find(name)
            except InputError as error:
                yield draft.document.mistake(path, f"{error}", "")


def _check_line_up(draft: SheetDraft, rig: Rig) -> Iterator[Mistake]:
    """Is there one for the sheet's device and mode? Those that are wrong in themselves have been told."""
    known = {(one.device, one.mode or "cooling") for one in rig.line_ups if one.device}
    usual = Start()
    device = draft.document.values.get("device", usual.device)
    mode = draft.document.values.get("mode", usual.mode)
    if device in DEVICES and mode in MODES and (device, mode) not in known:
        what = f"rig {rig.name} has no line-up for {device} in {mode}."
        has = ", ".join(f"{device} in {mode}" for device, mode in sorted(known))
        key = next((key for key in ("device", "mode") if key in draft.document.values), "rig")
        yield draft.document.mistake((key,), what, f"It has: {has or 'none'}.")


def _check_setting(
    draft: SheetDraft, path: Key, tag: str, value: Setting, by_tag: Mapping[str, TagLike]
) -> Iterator[Mistake]:
    found = setting_fault(tag, value, by_tag)
    if found:
        yield draft.document.mistake(path, *found)


def setting_fault(tag: str, value: Setting, by_tag: Mapping[str, TagLike]) -> tuple[str, str] | None:  # fmt: skip
    """(what is wrong, remedy) when a tag or a key of [surroundings] cannot be set to a value."""
    if tag in SURROUNDINGS:
        low, high = SurroundingsTable.RANGES[tag]
        choices: Sequence[str] = ()
    elif tag in by_tag:
        info = by_tag[tag]
        choices = tuple(info.choices)
        low = -float("inf") if info.low is None else info.low
        high = float("inf") if info.high is None else info.high
    else:
        return f"there is no {tag} to set.", did_you_mean(tag, [*by_tag, *SURROUNDINGS])
    if choices:
        if value not in choices:
            return f"{tag} has no position {value!r}.", did_you_mean(str(value), choices)
    elif isinstance(value, str):
        return f"{tag} is {value!r}; it takes a number.", f"Give {low:g} to {high:g}."
    elif not low <= value <= high:
        return f"{tag} is {value:g}, outside its range.", f"Give {low:g} to {high:g}."
    return None
