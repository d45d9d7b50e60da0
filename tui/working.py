"""Readings and working: which set is worked on, where the cursor stands, and every line of the page in the learner's words and units.

The arithmetic is ``sim.working``'s. Only what instruments show goes in. Where the learner works it out first, a line has its name and nothing else until there is a result
of the learner's own; that one then stands.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite, isnan
from typing import NamedTuple

from sim.units import is_difference, screen_unit, to_si
from sim.working.scales import Scale
from sim.working.sheet import Held, Line, Sheet
from sim.working.steps import GIVEN, GIVENS, GROUPS, STEPS, Step, ground_of, symbol_of
from tui.fluid_chart import FluidChart
from tui.marking import Answer, Place, answer_lines, mark, parsed
from tui.plant import Snapshot
from tui.report import NO_SCALES
from tui.seen import PLACES, heating
from tui.words import MISSING, SYMBOL_SHOWN, Units, in_words, label_of

NO_RESULT = "no result"
ABSOLUTE = ("absolute_pa", "atmosphere_pa", "atmospheric_pressure_pa")
"""Ends of the names of pressures that count from nothing."""
UNMEASURED = (
    ("evaporator_air_flow_kg_s", "air flow: no instrument. The heat that the air gives up or takes on cannot be worked out."),
    ("compressor_power_w", "the compressor's own watts: no meter. The panel's wattmeter has fans and controls in its reading too."),
    ("condenser_outlet_temperature_k", "condenser outlet: no thermometer. Subcooling is that before the device, behind receiver, drier and liquid line."),
    ("evaporator_outlet_pressure_pa", "pressures at the coils: no gauges. Both pressure gauges hang at the compressor; what the pipes drop is in every result."),
    ("atmospheric_pressure_pa", "air pressure: no barometer. It is given for the room."),
)  # fmt: skip
"""(reading that an instrument would show, what is said when there is none)."""
NOT_KEPT = "this set was taken before numbers were kept; it cannot be worked on"


class Row(NamedTuple):
    """A row of the page: what stands left, right, and below it."""

    kind: str
    """head, given, step, none (a step without result), covered, right, near, wrong, words."""
    key: str
    left: str
    right: str = ""
    below: tuple[str, ...] = ()


@dataclass
class WorkingDesk:
    """What a person has chosen here."""

    chosen: int | None = None
    """Number of the reading set, from 0; None: now, held."""
    now: Held | None = None
    cursor: str = GIVEN[0].key
    covered: bool = False
    """Practise: results stay covered until there is one of one's own."""
    begun: bool = False
    """Sentences: has a step of this set been read out?"""
    _sheet: tuple[Held, Sheet] | None = field(default=None, repr=False)

    def sheet(self, held: Held, scales: Mapping[str, Scale], fluid: FluidChart) -> Sheet:
        """The set worked out; once a set."""
        if self._sheet is None or self._sheet[0] is not held:
            self._sheet = (held, Sheet(held, scales, fluid))
        return self._sheet[1]

    def step(self, steps: int, rows: Sequence[Row]) -> None:
        """The cursor along the rows."""
        order = [row.key for row in rows if row.key]
        if order:
            here = order.index(self.cursor) if self.cursor in order else 0
            self.cursor = order[max(0, min(len(order) - 1, here + steps))]

    def next_set(self, count: int) -> None:
        """The next recorded set; after the last one now again."""
        after = 0 if self.chosen is None else self.chosen + 1
        self.chosen = after if after < count else None
        self.to_top()

    def to_top(self) -> None:
        """A set that is new to the reader begins with its readings."""
        self.cursor = GIVEN[0].key


@dataclass(frozen=True)
class WorkingFrame:
    """What the page needs: its rows, where the cursor stands, which set it is."""

    rows: Sequence[Row] = ()
    cursor: str = ""
    title: str = ""


def held_of(snapshot: Snapshot, atmosphere_pa: float) -> Held:
    """What the instruments show now, to be held."""
    shown = {name.removesuffix("_shown"): value for name, value in snapshot.readings.items() if name.endswith("_shown")}  # fmt: skip
    return Held(snapshot.time_s, shown, atmosphere_pa, snapshot.running, heating(snapshot))


@dataclass(frozen=True)
class Page:
    """The rows of one sheet, for one person."""

    sheet: Sheet
    units: Units
    fluid_name: str
    answers: Mapping[str, Answer]
    covered: bool

    def words(self, key: str, value: float, *, short: bool = True) -> str:
        """A number of the sheet with its unit."""
        return number_words(key, value, self.units, self.sheet.held.atmosphere_pa, short=short)

    def doubt(self, key: str, value: float) -> str:
        """How far a number may be off, with its unit."""
        return difference_words(key, value, self.units)

    def rows(self) -> list[Row]:
        """All of it."""
        found = [Row("head", "", "measured, and given"), *(self._given(one.key) for one in GIVEN)]
        for group in GROUPS:
            found += [Row("head", "", group.name), *(self._step(step) for step in group.steps)]
        found.append(Row("head", "", "what no instrument here gives"))
        return [*found, *(Row("words", key, "", "", (said,)) for key, said in UNMEASURED if key not in self.sheet.scales)]  # fmt: skip

    def _given(self, key: str) -> Row:
        given, scale = GIVENS[key], self.sheet.scale(key)
        tag = scale.tag if scale is not None else ""
        value = self.sheet.given[key]
        name = scale.what if scale is not None else given.name
        if self.sheet.held.heating and given.reading in PLACES:
            name = PLACES[given.reading]
        if isnan(value):
            return Row("none", key, f"{tag:<6}{given.symbol}  {name}", "no instrument")
        limit = f" ± {self.doubt(key, scale.limit_si)}" if scale is not None else ""
        return Row("given", key, f"{tag:<6}{given.symbol}  {name}", self.words(key, value) + limit)  # fmt: skip

    def _step(self, step: Step) -> Row:
        answer = self.answers.get(step.key)
        if self.covered and answer is None:
            unit = unit_of(step.key, self.units)
            return Row("covered", step.key, f"{step.name}  {step.symbol}", f"your result{', in ' if unit else ''}{unit}")  # fmt: skip
        line = self.sheet.line(step.key)
        own = () if answer is None else answer_lines(answer, self.words, self.doubt)
        kind = "none" if line.why else "step"
        if answer is not None:
            kind = {Place.AGREES: "right", Place.WITHIN: "near", Place.OUTSIDE: "wrong"}[answer.place]  # fmt: skip
        left = f"{step.name}  {step.symbol} = {self.filled(step, symbol_of)}"
        return Row(kind, step.key, left, self._result(line), (*self._below(line), *own))

    def _result(self, line: Line) -> str:
        if line.why:
            return NO_RESULT
        key = line.step.key
        return f"{self.words(key, line.value, short=False)} ± {self.doubt(key, line.tolerance)}"

    def _below(self, line: Line) -> tuple[str, ...]:
        if line.why and not line.numbers:
            return (line.why,)
        numbers = dict(zip(line.step.inputs, line.numbers, strict=True))
        filled = self.filled(line.step, lambda key: symbol_of(key) if self.hidden(key) else _bracketed(self.words(key, numbers[key])))  # fmt: skip
        said = f"= {filled}   from {self.sources(line.step)}"
        return tuple(part for part in (said, line.why or line.note) if part)

    def hidden(self, key: str) -> bool:
        """Is it a result that has to be worked out first?"""
        return self.covered and key in STEPS and key not in self.answers

    def filled(self, step: Step, words: Callable[[str], str]) -> str:
        """A step's formula with something in its places."""
        return step.form.format(*(words(key) for key in step.inputs))

    def sources(self, step: Step) -> str:
        """Which instrument each number comes from."""
        found = [self.source(key) for key in step.inputs]
        return ", ".join(dict.fromkeys([*found, *([f"table {self.fluid_name}"] if step.asks else [])]))  # fmt: skip

    def source(self, key: str) -> str:
        """Where one number comes from: an instrument, or what a result rests on."""
        if key in STEPS:
            tags = dict.fromkeys(scale.tag for scale in map(self.sheet.scale, ground_of(key)) if scale is not None)  # fmt: skip
            return f"{symbol_of(key)} ({', '.join(tags)})"
        scale = self.sheet.scale(key)
        if scale is not None:
            return scale.tag
        return "the room, given" if key.startswith("atmosphere") else "the flowmeter's plate"


def _bracketed(words: str) -> str:
    return f"({words})" if words.startswith("-") else words


def number_words(key: str, value: float, units: Units, atmosphere_pa: float, *, short: bool = True) -> str:  # fmt: skip
    """A number of a sheet with its unit; a gauge's is counted from the room's pressure."""
    gauge = atmosphere_pa if key.endswith("gauge_pa") else 0.0
    words = in_words(key, value + gauge, units, atmosphere_pa, short=short) or MISSING
    return _absolute(key, words)


def _absolute(key: str, words: str) -> str:
    """A pressure that counts from nothing says so, where its unit does not."""
    return f"{words} abs" if key.endswith(ABSOLUTE) and words.endswith(("bar", "kPa", "inHg")) else words  # fmt: skip


def set_words(held: Held, units: Units) -> list[tuple[str, str]]:
    """(name, words) of every display of a held set, as the notebook keeps them."""
    return [(label_of(key), in_words(key, value, units, held.atmosphere_pa, short=True)) for key, value in held.shown.items()]  # fmt: skip


def answer_cells(answer: Answer, held: Held, units: Units) -> tuple[str, ...]:
    """(result, own, computed, apart, tolerance, what that means) as the report has it."""
    key = answer.step
    own, computed = (NO_RESULT if value is None else number_words(key, value, units, held.atmosphere_pa) for value in (answer.own, answer.computed))  # fmt: skip
    apart = limit = ""
    if answer.own is not None and answer.computed is not None:
        apart = difference_words(key, answer.own - answer.computed, units)
        limit = f"± {difference_words(key, answer.tolerance, units)}"
    name = STEPS[key].name if key in STEPS else key
    return name, own, computed, apart, limit, "; ".join(filter(None, (answer.place.value, answer.slip or answer.why)))  # fmt: skip


def unit_of(key: str, units: Units) -> str:
    """In which unit a person gives a result."""
    symbol = screen_unit(key, units.system).symbol
    return _absolute(key, SYMBOL_SHOWN.get(symbol, symbol))


def difference_words(key: str, value: float, units: Units) -> str:
    """A difference of two such numbers, with its unit and two figures that count."""
    unit = screen_unit(key, units.system)
    number = value / unit.factor
    if not isfinite(number):
        return MISSING
    least = 2 if unit.symbol or abs(number) >= 0.1 else 3
    digits = 0 if abs(number) >= 10 else 1 if abs(number) >= 1 else least
    symbol = {"°C": "K", "psi g": "psi"}.get(unit.symbol, unit.symbol.removesuffix(" g"))
    return units.figure(f"{number:.{digits}f} {symbol}".rstrip())


def si_of(key: str, number: float, units: Units, atmosphere_pa: float) -> float:
    """A result as a person gives it, in SI."""
    return to_si(number, screen_unit(key, units.system), atmosphere_pa, difference=is_difference(key))  # fmt: skip


def own_answer(sheet: Sheet, key: str, text: str, units: Units) -> Answer:
    """A result as a person types it, laid beside the computed one. Raises ValueError with a sentence."""
    number, half = parsed(text)
    if number is None:
        return mark(sheet.line(key), sheet, None, 0.0)
    atmosphere = sheet.held.atmosphere_pa
    own = si_of(key, number, units, atmosphere)
    return mark(sheet.line(key), sheet, own, abs(si_of(key, number + half, units, atmosphere) - own))  # fmt: skip


def page_rows(held: Held | None, desk: WorkingDesk, scales: Mapping[str, Scale] = NO_SCALES, fluid: FluidChart | None = None, units: Units | None = None, answers: Sequence[Answer] = (), covered: bool = False) -> list[Row]:  # fmt: skip
    """The page for a set; one sentence when there is nothing to work on."""
    if held is None or fluid is None or units is None:
        return [Row("words", "", "", "", (NOT_KEPT,))]
    sheet = desk.sheet(held, scales, fluid)
    rows = Page(sheet, units, fluid.name, {one.step: one for one in answers}, covered).rows()
    return said_once(rows, desk.cursor)


def said_once(rows: Sequence[Row], cursor: str) -> list[Row]:
    """A reason that several results share stands at the first of them, and at the one under the cursor; the others name the first."""
    first: dict[str, str] = {}
    for row in rows:
        if _reason(row):
            first.setdefault(_reason(row), row.key)
    return [_refers(row, first[_reason(row)]) if _reason(row) and row.key not in (cursor, first[_reason(row)]) else row for row in rows]  # fmt: skip


def _reason(row: Row) -> str:
    """Why a step has no result; '' for every other row."""
    return row.below[-1] if row.kind == "none" and row.below else ""


def _refers(row: Row, to: str) -> Row:
    """The same row, with the name of the step that says why instead of the reason."""
    return row._replace(right=f"{row.right}, as for {symbol_of(to)}", below=row.below[:-1])
