"""A result of the learner's own beside the computed one: how far apart, and what that means with these instruments."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from math import isclose, isnan, nan

from sim.working.sheet import Line, Sheet
from sim.working.steps import STEPS

NONE_WORDS = ("none", "no", "-", "—")
"""How a person says that there is no result."""
AS_CLOSE = 0.02
"""guess: a slip is recognised within a fiftieth, as table and rounding go."""


class Place(Enum):
    """Where an own result lies."""

    AGREES = "agrees, as closely as the scales can be read"
    WITHIN = "within what the instruments allow, but further off than reading explains: look at the arithmetic"
    OUTSIDE = "outside what the instruments allow"


@dataclass(frozen=True)
class Answer:
    """One result of one's own. SI; None stands for no result."""

    step: str
    own: float | None
    computed: float | None
    tolerance: float = 0.0
    reading: float = 0.0
    """The part of the tolerance that comes from the scales' steps."""
    rounding: float = 0.0
    """Half of the last figure that was given."""
    why: str = ""
    """Why there is no result."""
    slip: str = ""
    """A usual mistake that gives this number."""

    @property
    def place(self) -> Place:
        """Where it lies."""
        if self.own is None or self.computed is None:
            return Place.AGREES if self.own is self.computed else Place.OUTSIDE
        off = abs(self.own - self.computed)
        if off <= self.reading + self.rounding:
            return Place.AGREES
        return Place.WITHIN if off <= self.tolerance else Place.OUTSIDE


def mark(line: Line, sheet: Sheet, own: float | None, rounding: float) -> Answer:
    """Lay an own result beside a line's."""
    if line.why:
        return Answer(line.step.key, own, None, rounding=rounding, why=line.why)
    made = Answer(line.step.key, own, line.value, line.tolerance, line.reading, rounding)
    if own is None or made.place is not Place.OUTSIDE:
        return made
    return Answer(line.step.key, own, line.value, line.tolerance, line.reading, rounding, slip=slip_of(sheet, line.step.key, own))  # fmt: skip


def slip_of(sheet: Sheet, key: str, own: float) -> str:
    """The usual mistake that an own result looks like, or ''."""
    number = sheet.number
    slips: dict[str, tuple[Callable[[], float], str]] = {
        "compression_ratio": (lambda: number("discharge_gauge_pa") / number("suction_gauge_pa"), "this is what gauge pressures give; a ratio takes absolute ones"),
        "evaporating_point_k": (lambda: sheet.fluid.boiling_k(number("suction_gauge_pa")), "this is the table's line for the gauge value taken as absolute"),
        "condensing_point_k": (lambda: sheet.fluid.bubbling_k(number("discharge_gauge_pa")), "this is the table's line for the gauge value taken as absolute"),
        "suction_absolute_pa": (lambda: number("suction_gauge_pa"), "this is the gauge value"),
        "discharge_absolute_pa": (lambda: number("discharge_gauge_pa"), "this is the gauge value"),
        "liquid_m3_s": (lambda: number("flowmeter_m3_s"), "this is the scale's value; the liquid is not the one that the scale is drawn for"),
        "cop_of_panel": (lambda: number("cop_of_gas"), "this is the refrigerant's side; the panel takes in more"),
    }  # fmt: skip
    backwards = STEPS[key].form.startswith("{0} − {1}") and isclose(own, -number(key), rel_tol=AS_CLOSE)  # fmt: skip
    if backwards:
        return "the two are taken from each other the wrong way round"
    made, words = slips.get(key, (lambda: nan, ""))
    try:
        would = made()
    except ZeroDivisionError:
        return ""
    # temperatures are compared by what a thermometer tells, everything else by share
    close = abs(own - would) <= 0.5 if key.endswith("point_k") else isclose(own, would, rel_tol=AS_CLOSE)  # fmt: skip
    return words if not isnan(would) and close else ""


def answer_lines(answer: Answer, words: Callable[[str, float], str], doubt: Callable[[str, float], str]) -> tuple[str, ...]:  # fmt: skip
    """What is said of an own result."""
    key = answer.step
    own = "no result" if answer.own is None else words(key, answer.own)
    if answer.own is None or answer.computed is None:
        right = "right: there is none" if answer.place is Place.AGREES else "there is none" if answer.computed is None else "there is one"  # fmt: skip
        return (f"own: {own}; {right}",)
    off = answer.own - answer.computed
    side = f"{doubt(key, abs(off))} {'more' if off > 0 else 'less'}"
    said = f"own {own}, computed {words(key, answer.computed)}: {side}, tolerance ± {doubt(key, answer.tolerance)}; {answer.place.value}"  # fmt: skip
    return (said, answer.slip) if answer.slip else (said,)


def parsed(text: str) -> tuple[float | None, float]:
    """(number, half of its last figure) of what was typed; None for no result. Raises ValueError with a sentence."""
    typed = text.strip().lower().replace("−", "-").replace(",", ".")
    if typed in NONE_WORDS:
        return None, 0.0
    try:
        number = float(typed)
    except ValueError:
        number = nan
    if isnan(number) or abs(number) > 1e12:
        raise ValueError('Type a number, or "none" where there is no result.')
    figures, _, power = typed.partition("e")
    decimals = len(figures.partition(".")[2]) - int(power or 0)
    return number, 0.5 * 10.0**-decimals


def wrong_with(text: str) -> str:
    """What speaks against a typed result, or ''."""
    try:
        parsed(text)
    except ValueError as error:
        return str(error)
    return ""
