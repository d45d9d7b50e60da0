"""What faults do to instruments: how they come to show something else than what is there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.instruments import Wrong
from sim.layout import coil_tables
from sim.watching import EVAPORATOR

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.knobs import Combined


def wrong_at(bench: Bench, place: str) -> Wrong:
    """What is wrong with an instrument so far."""
    return bench.wrong.setdefault(place, Wrong())


def write_offset(bench: Bench, place: str, change: Combined) -> None:
    """By how much it reads too high, in SI."""
    wrong_at(bench, place).offset = change.of(0.0)


def write_scale(bench: Bench, place: str, change: Combined) -> None:
    """What it shows over what it should."""
    wrong_at(bench, place).scale = change.of(1.0)


def write_bare(bench: Bench, place: str, change: Combined) -> None:
    """Share of the way to the room at which it reads."""
    wrong_at(bench, place).bare = min(max(change.of(0.0), 0.0), 1.0)


def write_swapped(bench: Bench, place: str, change: Combined) -> None:
    """1: two thermometers have changed places."""
    if change.of(0.0) > 0.0:
        one, other = place.split("/")
        wrong_at(bench, one).swapped, wrong_at(bench, other).swapped = other, one


def write_lag(bench: Bench, place: str, change: Combined) -> None:
    """Its lag, s; a dead instrument has one of decades."""
    sensor = bench.watching.shown[place]
    bench.watch.tau[sensor] = change.of(bench.watch.tau[sensor])


def write_backwards(bench: Bench, place: str, change: Combined) -> None:
    """1: a fan turns the wrong way, so that the air comes out where the thermometer of the entering air hangs, and the other way round."""
    if change.of(0.0) <= 0.0:
        return
    bench.appliance.backwards.add(place)
    streams = {air.tag for air in bench.rig.airs if air.fan == place}
    for k, coil in enumerate(coil_tables(bench.rig)):
        side = "evaporator" if k == EVAPORATOR else "condenser"
        ends = [one.tag for one in bench.rig.instruments if one.reading in (f"{side}_air_in_k", f"{side}_air_out_k")]  # fmt: skip
        if coil.air in streams and len(ends) == 2:
            one, other = ends
            wrong_at(bench, one).swapped, wrong_at(bench, other).swapped = other, one
