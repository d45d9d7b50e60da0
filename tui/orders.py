"""What the screen can ask of the plant. Orders cross from the screen's thread to the plant's, so they are plain frozen data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from tui.goal import STEADY, Goal
from tui.meter import FIRST_USE, Use
from tui.plant import Bench, Setting


@dataclass(frozen=True, slots=True)
class Order:
    """Base of all orders. ``number`` is given by the runner."""

    number: int = 0
    pace: int | None = None
    """Change of pace that comes with it."""
    to_fork: bool = False
    """For the copy beside the bench."""


@dataclass(frozen=True, slots=True)
class SetTag(Order):
    """Put ``tag`` to ``value``."""

    tag: str = ""
    value: Setting = 0.0


@dataclass(frozen=True, slots=True)
class Pace(Order):
    """Change of pace only."""


@dataclass(frozen=True, slots=True)
class Repair(Order):
    """Mend what was damaged on ``tag``."""

    tag: str = ""


@dataclass(frozen=True, slots=True)
class Keep(Order):
    """Hand the bench to ``keep``, which writes it somewhere; what that raises is the refusal."""

    keep: Callable[[Any], object] = id


@dataclass(frozen=True, slots=True)
class Measure(Order):
    """Use the meter so from now on."""

    use: Use = FIRST_USE


@dataclass(frozen=True, slots=True)
class Record(Order):
    """Put what the meter shows now into the list of events."""

    use: Use = FIRST_USE


@dataclass(frozen=True, slots=True)
class Touch(Order):
    """Lay a bare hand on a place."""

    place: str = ""


@dataclass(frozen=True, slots=True)
class Step(Order):
    """Let a held plant live for so long."""

    seconds: float = 1.0


@dataclass(frozen=True, slots=True)
class Until(Order):
    """Go on until something happens, then hold."""

    goal: Goal = STEADY


@dataclass(frozen=True, slots=True)
class Rewind(Order):
    """Go back to an instant, and hold there."""

    to_s: float = 0.0


@dataclass(frozen=True, slots=True)
class InsertFault(Order):
    """Put a fault in; ``in_s`` counts from the instant at which the order arrives."""

    name: str = ""
    severity: float = 1.0
    place: str | None = None
    ramp_s: float = 0.0
    in_s: float = 0.0
    on: str = ""
    period_s: float = 0.0
    duty: float = 0.5


@dataclass(frozen=True, slots=True)
class RemoveFault(Order):
    """Take a fault out."""

    name: str = ""
    place: str | None = None


@dataclass(frozen=True, slots=True)
class LookAhead(Order):
    """Let a copy run on; ``first`` is done on the copy before."""

    first: tuple[str, Setting] | None = None
    words: str = ""
    """How a person says what is done first: ``HS-4 on``."""


@dataclass(frozen=True, slots=True)
class Fork(Order):
    """Something with copies of the bench.

    ``begin``: a copy of this instant runs on beside the bench. ``end``: it is gone. ``keep``: the plant at hand, as it is now, is put by under ``name``. ``take``: what was put by
    runs on beside the bench. ``adopt``: it becomes the bench, and the bench is put by. ``drop``: it is forgotten.
    """

    what: Literal["begin", "end", "keep", "take", "adopt", "drop"] = "begin"
    name: str = ""


@dataclass(frozen=True, slots=True)
class Begin(Order):
    """Open a bench anew."""

    rig: str = "fennick_bench"
    start: Literal["off", "steady"] = "off"
    device: str | None = None
    room_c: float | None = None
    load: str | None = None
    first_pace: int = 1
    instructor: bool = False
    """Opened as the instructor's: only then does the screen get to know of faults."""
    assessed: bool = False
    """What is opened is assessed from then on, and its saves say so."""


@dataclass(frozen=True, slots=True)
class Refused:
    """An order that the bench did not take, and its reason."""

    number: int
    tag: str
    reason: str


def changes_plant(order: Order) -> bool:
    """Does the plant's course depend on it? Then it has to be given again when that course is computed again."""
    about_others = Begin | Fork | LookAhead | Measure | Pace | Rewind | Keep | Step | Until
    return not order.to_fork and not isinstance(order, about_others)


def obey(order: Order, bench: Bench | None) -> Refused | None:
    """Carry out an order on the bench; what it raises becomes a refusal."""
    if isinstance(order, Pace | Measure | LookAhead | Fork):
        return None
    tag = getattr(order, "tag", "")
    if bench is None:
        return Refused(order.number, tag, "the plant is not ready")
    try:
        _carry_out(order, bench)
    except Exception as error:  # a wrong value, a closed disk: all of it is for the person, none of it ends the session
        return Refused(order.number, tag, reason_of(error))
    return None


def reason_of(error: Exception) -> str:
    """What went wrong, in the words that an exception brings."""
    return str(error.args[0]) if isinstance(error, KeyError) and error.args else str(error) or type(error).__name__  # fmt: skip


def probing_of(use: Use) -> Any:
    """What the model's meter is asked."""
    from sim.probing import Probing

    return Probing(mode=use.mode, between=use.between, around=use.around, leads_zeroed=use.leads_zeroed)  # fmt: skip


def _carry_out(order: Order, bench: Any) -> None:
    if isinstance(order, SetTag):
        bench.set(order.tag, order.value)
    elif isinstance(order, Repair):
        bench.repair(order.tag)
    elif isinstance(order, Record):
        bench.wiring.record(probing_of(order.use))
    elif isinstance(order, Touch):
        bench.touch(order.place)
    elif isinstance(order, Keep):
        order.keep(bench)
    elif isinstance(order, InsertFault):
        _insert(order, bench)
    elif isinstance(order, RemoveFault):
        bench.remove_fault(order.name, place=order.place)


def _insert(order: InsertFault, bench: Any) -> None:
    from sim.onset import Onset

    at_s = bench.time_s + order.in_s if order.in_s else None
    # another seed every time: nobody can set a watch by what comes and goes, and a bench with the same commands repeats it, whatever else is on its record
    seed = sum(event.kind in ("command", "fault") for event in bench.events)
    onset = Onset(order.ramp_s, at_s, order.on, order.period_s, order.duty, seed=seed)
    bench.insert_fault(order.name, order.severity, place=order.place, onset=onset)
