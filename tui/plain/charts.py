"""Charts in sentences: the refrigerant's saturation card, and how a reading has gone."""

from __future__ import annotations

import math

import numpy as np

from sim.errors import UsageError
from sim.units import STANDARD_ATMOSPHERE_PA
from tui.assessed import RESULT
from tui.derived import DERIVED
from tui.fluid_card import has_glide, notes_of, rows_of
from tui.fluid_chart import Array, FluidChart
from tui.plain.aloud import capital, time_words
from tui.plain.naming import look_at
from tui.plain.talk import Talk
from tui.plain.values import quantity_in_si, seconds_of
from tui.words import in_words

PIECES = 5
"""A trend is said at so many moments besides now."""
SPAN_S = 600.0


def saturation(talk: Talk, typed: str) -> None:
    """``saturation``: the card's rows; ``saturation 1.2 bar``, ``saturation 5 C``: the rows on either side."""
    fluid = talk.scene.fluid
    if fluid is None:
        raise UsageError("The refrigerant of this rig has no card.")
    lines = [("", fluid.dew_k)] if not has_glide(fluid) else [("Dew, for superheat", fluid.dew_k), ("Bubble, for subcooling", fluid.bubble_k)]  # fmt: skip
    if not typed:
        talk.voice.say_all(notes_of_card(fluid))
    for name, line in lines:
        if name:
            talk.voice.say(f"{name}:")
        _rows(talk, fluid, line, typed)


def notes_of_card(fluid: FluidChart) -> list[str]:
    """Fluid, gauge zero, cautions; a paragraph."""
    return [" ".join(notes_of(fluid))]


def _rows(talk: Talk, fluid: FluidChart, line: Array, typed: str) -> None:
    rows = rows_of(fluid, line)
    if typed:
        axis, wanted = _wanted(talk, typed)
        at = int(np.searchsorted([row[axis] for row in rows], wanted))
        if not 0 < at < len(rows):
            ends = [_row(talk, row.temperature_k, row.pressure_pa) for row in (rows[0], rows[-1])]
            raise UsageError(f"That is beyond the card. It goes from {ends[0]} to {ends[1]}.")
        rows = rows[at - 1 : at + 1]
        if math.isclose(rows[1][axis], wanted, abs_tol=1e-6):
            rows = rows[1:]
    talk.voice.say_all(f"At {_row(talk, row.temperature_k, row.pressure_pa)}." for row in rows)  # fmt: skip


def _row(talk: Talk, temperature_k: float, pressure_pa: float) -> str:
    temperature = in_words("temperature_k", temperature_k, talk.scene.units, short=True)
    pressure = in_words("pressure_pa", pressure_pa, talk.scene.units, STANDARD_ATMOSPHERE_PA, short=True)  # fmt: skip
    return f"{temperature}: {pressure}"


def _wanted(talk: Talk, typed: str) -> tuple[int, float]:
    """(0 temperature or 1 pressure, value in SI). Raises UsageError."""
    system = talk.scene.units.system
    for axis, key in enumerate(("temperature_k", "pressure_pa")):
        try:
            value = quantity_in_si(key, typed, system, STANDARD_ATMOSPHERE_PA)
        except UsageError:
            continue
        if typed.strip()[-1:].isalpha():
            return axis, value
    raise UsageError(f"{typed} is no pressure and no temperature with its unit. Write saturation 1.2 bar, or saturation 5 C.")  # fmt: skip


def trend(talk: Talk, typed: str) -> None:
    """``trend PI-1``, ``trend superheat over 30 min``: how a reading has gone."""
    name, _, span = typed.partition(" over ")
    if not name:
        raise UsageError("Say of what, as in: trend PI-1, or: trend superheat over 30 min.")
    now = talk.look().time_s
    look = look_at(talk, name)
    if look.key in DERIVED and talk.scene.own_work:
        raise UsageError(f"{capital(RESULT)}.")
    begun = max(talk.history.start_s, now - (seconds_of(span) if span else SPAN_S))
    times, (low,), (high,) = talk.history.window((look.key,), begun, now, talk.scene.instructor)
    if len(times) < 2 or not np.isfinite(high).any():
        raise UsageError(f"{look.name}: there is nothing to tell yet. Type wait, and ask again.")
    talk.voice.say(f"{look.name}, over {time_words(round(now - begun))}:")
    for back in range(PIECES, -1, -1):
        at_s = now - back * (now - begun) / PIECES
        at = min(int(np.searchsorted(times, at_s)), len(times) - 1)
        when = f"{time_words(round(now - float(times[at])))} ago" if back else "Now"
        talk.voice.say(f"{when}: {_words(talk, look.key, float(high[at]))}.")
    for word, at in (("Lowest", int(np.nanargmin(low))), ("Highest", int(np.nanargmax(high)))):
        value = float((low if word == "Lowest" else high)[at])
        talk.voice.say(f"{word}: {_words(talk, look.key, value)}, {time_words(round(now - float(times[at])))} ago.")  # fmt: skip


def _words(talk: Talk, key: str, value: float) -> str:
    return in_words(key, value, talk.scene.units, talk.scene.atmosphere_pa, short=True)
