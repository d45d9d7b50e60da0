"""What the instruments display: the true value after place, lag, a fixed error within its class, noise, resolution and range.

A dial's fixed error and its noise come from the bench's seed and the instrument's tag, so the same bench always shows the same. Gauge dials are
converted with the room's pressure. A strap-on thermometer left bare is drawn towards the room by a tenth of the difference (common practice:
5 to 15 %). What sticks shows what it showed, without noise.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING

import numpy as np

from sim.rig import Instrument
from sim.units import SYMBOLS, from_si, to_si

if TYPE_CHECKING:
    from sim.bench import Bench

BARE_SHARE = 0.1  # common practice: a bare strap-on sensor reads 5 to 15 % of the way to the room
ERROR_SHARE = 0.5  # guess: a sound instrument's fixed error stays within half of its class
NOISE_SHARE = 0.001  # common practice: one sigma is a thousandth of the span
NOISE_PERIOD_S = 0.5  # guess: a display settles on a new value twice a second
STUCK_S = 1e6  # guess: nobody waits for a lag of twelve days; the works do not move


@dataclass
class Wrong:
    """What faults have done to one instrument."""

    offset: float = 0.0
    """By how much it reads too high, SI."""
    scale: float = 1.0
    bare: float = 0.0
    """Share of the way to the room at which a thermometer reads."""
    swapped: str = ""
    """The instrument that feels what this one should, and the other way round."""


SOUND = Wrong()


@cache
def fixed_error(seed: int, instrument: Instrument) -> float:
    """The instrument's own error, in its scale's unit."""
    rng = np.random.default_rng([seed, zlib.crc32(instrument.tag.encode())])
    span = instrument.high - instrument.low
    return float(ERROR_SHARE * instrument.class_percent / 100.0 * span * rng.uniform(-1.0, 1.0))


@lru_cache(maxsize=4)
def draws(seed: int, tick: int, count: int) -> tuple[float, ...]:
    """Standard normal numbers for all displays of a bench in one noise period."""
    return tuple(np.random.default_rng([seed, tick]).normal(size=count))


def noise(bench: Bench, number: int) -> float:
    """Noise of a display now (its number among the rig's instruments), in its scale's unit."""
    instruments = bench.rig.instruments
    instrument = instruments[number]
    tick = int(bench.time_s / NOISE_PERIOD_S)
    draw = draws(bench.seed, tick, len(instruments))[number]
    return NOISE_SHARE * (instrument.high - instrument.low) * draw


def sticks(bench: Bench, tag: str) -> bool:
    """True when an instrument's works no longer move."""
    return bool(bench.watch.tau[bench.watching.shown[tag]] > STUCK_S)


def displayed(bench: Bench, number: int, value: float, live: bool) -> float:
    """What an instrument (its number among the rig's) shows, in its scale's unit, for a lagged true value in SI."""
    instrument = bench.rig.instruments[number]
    atmosphere = bench.surroundings.atmospheric_pressure_pa
    bare = bench.commands.get(f"{instrument.tag}.insulated", "yes") == "no"
    if instrument.kind == "thermometer" and (bare or not instrument.insulated):
        value += BARE_SHARE * (bench.surroundings.room_temperature_k - value)
    wrong = bench.wrong.get(instrument.tag, SOUND)
    value += wrong.bare * (bench.surroundings.room_temperature_k - value)
    value = wrong.scale * value + wrong.offset
    shown = (
        float(from_si(value, SYMBOLS[instrument.unit], atmosphere)) if instrument.unit else value
    )
    if live:
        shown += fixed_error(bench.seed, instrument)
        shown += 0.0 if sticks(bench, instrument.tag) else noise(bench, number)
    if instrument.resolution > 0.0:
        shown = round(shown / instrument.resolution) * instrument.resolution
    if instrument.kind == "flowmeter" and shown < instrument.low:
        return 0.0  # the float rests on its stop below the first mark
    return min(max(shown, instrument.low), instrument.high)


def shown_readings(bench: Bench, lags: np.ndarray, true: dict[str, float | str]) -> dict[str, float | str]:  # fmt: skip
    """``X_shown`` of every instrument, in X's unit (the flowmeter in its scale's)."""
    out: dict[str, float | str] = {}
    for number, instrument in enumerate(bench.rig.instruments):
        if instrument.kind == "glass":
            if instrument.reading == "sight_glass":
                glass = true["sight_glass"]
                out["sight_glass_shown"] = "clear" if glass == "empty" else glass
            continue
        live = bench.supply.powered() or instrument.kind != "meter"
        feels = bench.wrong.get(instrument.tag, SOUND).swapped or instrument.tag
        value = float(lags[bench.watching.shown[feels]]) if live else 0.0
        shown = displayed(bench, number, value, live)
        name = (
            "flowmeter_shown" if instrument.kind == "flowmeter" else f"{instrument.reading}_shown"
        )
        if instrument.kind != "flowmeter" and instrument.unit:
            shown = float(
                to_si(shown, SYMBOLS[instrument.unit], bench.surroundings.atmospheric_pressure_pa)
            )
        out.setdefault(name, shown)
    return out
