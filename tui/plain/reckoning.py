"""Readings and working in sentences: what the instruments show, held at one instant, and the calculation from it a step at a time, with results of one's own.

Arithmetic, reasons, tolerances and marks are those of the screen's page (``tui.working``); here a formula has names where the page has symbols.
"""

from __future__ import annotations

from collections.abc import Sequence

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.working.sheet import GAS, Held
from sim.working.steps import GIVEN, GIVENS, GROUPS, STEPS, Step, ground_of
from tui.assessed import COVERED, sentence
from tui.marking import Answer, answer_lines
from tui.plain.aloud import aloud, capital, clock_words, formula_words, unit_words
from tui.plain.talk import Talk
from tui.words import listed
from tui.working import (  # fmt: skip
    NO_RESULT,
    NOT_KEPT,
    UNMEASURED,
    Page,
    held_of,
    own_answer,
    set_words,
    unit_of,
)

ORDER = tuple(STEPS)
ENTHALPIES = (*GAS, "liquid_j_kg")
HOW = (
    "Type next for the first step, working and a name for one of them, working all for everything."
)
OWN = "Type result and a number, or result none."
STANDS = "There is a result of yours already: the first one stands."


def working(talk: Talk, typed: str) -> None:
    """``working``: hold what the instruments show now; ``working readings``, ``working superheat``, ``working all``, ``working set 2``."""
    text = " ".join(typed.lower().split())
    if text in ("", "now"):
        _hold(talk)
        return
    if text.startswith("set "):
        _choose(talk, text.removeprefix("set ").strip())
        return
    page = _page(talk)
    if text == "readings":
        talk.voice.say_all(_given(page, key) for key in GIVENS)
        talk.voice.say_all(capital(said) for key, said in UNMEASURED if key not in page.sheet.scales)  # fmt: skip
    elif text == "all":
        for group in GROUPS:
            talk.voice.say(f"{capital(group.name)}.")
            for step in group.steps:
                talk.voice.say_all(_step(page, step))
    else:
        _go_to(talk, page, step_called(typed))


def following(talk: Talk, typed: str) -> None:
    """``next``: the next step."""
    page = _page(talk)
    here = talk.working.cursor if talk.working.begun else ""
    number = ORDER.index(here) + 1 if here in ORDER else 0
    if number >= len(ORDER):
        raise UsageError("That was the last step. Type working for new readings, or working and a name for one step.")  # fmt: skip
    _go_to(talk, page, STEPS[ORDER[number]])


def result(talk: Talk, typed: str) -> None:
    """``result 6.5``, ``result none``, ``result superheat at the evaporator 6.5``: a result of one's own, before the computed one is heard."""
    name, _, text = typed.rpartition(" ")
    if not text:
        raise UsageError("Say your result for the step that was read last, as in: result 6.5, or: result none.")  # fmt: skip
    page = _page(talk)
    if not name and not talk.working.begun:
        raise UsageError("No step was read yet. Type next, or name it, as in: result compression ratio 4.2.")  # fmt: skip
    step = step_called(name) if name else STEPS[talk.working.cursor]
    if step.key in page.answers:
        raise UsageError(STANDS)
    if not page.covered:
        raise UsageError("This result is worked out already. Type cover first, to practise.")
    try:
        answer = own_answer(page.sheet, step.key, text, talk.scene.units)
    except ValueError as error:
        raise UsageError(f"{error} As in: result 6.5, or: result none.") from None
    if talk.working.chosen is None:
        talk.notebook.take(page.sheet.held.time_s, set_words(page.sheet.held, talk.scene.units), page.sheet.held)  # fmt: skip
        talk.working.chosen = len(talk.notebook.sets) - 1
    talk.notebook.answer(talk.working.chosen, answer)
    talk.unsaved = True
    _go_to(talk, _page(talk), step)


def cover(talk: Talk, typed: str) -> None:
    """``cover``, ``cover off``: results stay unsaid until there is one of one's own."""
    if typed.lower() not in ("", "on", "off"):
        raise UsageError("Say cover, or cover off.")
    if talk.assessed:
        raise UsageError(sentence(COVERED))
    talk.working.covered = typed.lower() != "off"
    talk.voice.say(f"Results are covered. {OWN}" if talk.working.covered else "Results are open.")


# Which readings.


def _hold(talk: Talk) -> None:
    """What the instruments show at this instant."""
    desk = talk.working
    desk.chosen, desk.now, desk.begun = None, held_of(talk.look(), talk.scene.atmosphere_pa), False
    talk.voice.say(f"The readings are held as of {clock_words(desk.now.time_s)}. {len(GIVEN)} readings and constants: type working readings. There are {len(ORDER)} steps. {HOW}")  # fmt: skip
    if talk.assessed or desk.covered:
        talk.voice.say(f"Results are covered until you have yours. {OWN}")


def _choose(talk: Talk, number: str) -> None:
    sets = talk.notebook.sets
    if not sets:
        raise UsageError("There are no reading sets yet: record takes one.")
    if not number.isdigit() or not 1 <= int(number) <= len(sets):
        raise UsageError(f"There are sets 1 to {len(sets)}, as in: working set {len(sets)}.")
    talk.working.chosen, talk.working.begun = int(number) - 1, False
    talk.voice.say(f"Set {number}, taken at {clock_words(sets[int(number) - 1].time_s)}. {HOW}")  # fmt: skip


def _held(talk: Talk) -> tuple[Held | None, Sequence[Answer]]:
    """The set that is worked on, and own results for it; without one, now."""
    desk, sets = talk.working, talk.notebook.sets
    if desk.chosen is not None and desk.chosen < len(sets):
        return sets[desk.chosen].held, sets[desk.chosen].answers
    if desk.now is None or desk.now.time_s > talk.now.time_s:
        _hold(talk)
    return desk.now, ()


def _page(talk: Talk) -> Page:
    assert talk.bench is not None
    (held, answers), opened = _held(talk), talk.opened
    if held is None or opened is None or opened.fluid is None:
        raise UsageError(f"{capital(NOT_KEPT)}. Type working now.")
    sheet = talk.working.sheet(held, opened.scales, opened.fluid)
    covered = talk.assessed or talk.working.covered
    return Page(sheet, talk.scene.units, opened.fluid.name, {one.step: one for one in answers}, covered)  # fmt: skip


def _go_to(talk: Talk, page: Page, step: Step) -> None:
    talk.working.cursor, talk.working.begun = step.key, True
    talk.voice.say_all(_step(page, step))


def step_called(typed: str) -> Step:
    """A step by its name or symbol. Raises UsageError."""
    wanted = " ".join(typed.lower().split())
    names = {step.name.lower(): step for step in STEPS.values()}
    by_symbol = {step.symbol.lower(): step for step in STEPS.values()}
    begun = [step for name, step in names.items() if name.startswith(wanted)]
    found = names.get(wanted) or by_symbol.get(wanted) or next(iter(begun), None)
    if found is None:
        raise UsageError(f"There is no step called {typed}. {did_you_mean(wanted, [*names, *by_symbol], most=len(names))}")  # fmt: skip
    return found


# Sentences.


def name_of(key: str) -> str:
    """What a number is called in a formula that is read out: what kind of number it is comes first, and nothing stops the ear on the way."""
    kind = "temperature of " if key in GIVENS and key.endswith("_k") else "enthalpy of " if key in ENTHALPIES else ""  # fmt: skip
    name = STEPS[key].name if key in STEPS else GIVENS[key].name
    return kind + name.replace(",", "")


def _given(page: Page, key: str) -> str:
    scale, value = page.sheet.scale(key), page.sheet.given[key]
    name = f"{scale.what.partition(',')[0]} {scale.tag}" if scale is not None else GIVENS[key].name
    if value != value:
        return f"{capital(name)}: no instrument."
    limit = f", give or take {page.doubt(key, scale.limit_si)}" if scale is not None else ""
    return f"{capital(name)}: {page.words(key, value)}{limit}."


def _step(page: Page, step: Step) -> list[str]:
    """Name and formula; the numbers and where they come from; the result, or why there is none, or that it is covered."""
    title = f"{capital(formula_words(step.name))}, symbol {formula_words(step.symbol)}"
    formula = formula_words(page.filled(step, name_of))
    answer = page.answers.get(step.key)
    if page.covered and answer is None:
        unit = unit_words(unit_of(step.key, page.units))
        return [f"{title}: yours to work out{', in ' if unit else ''}{unit}. {OWN}"]
    line = page.sheet.line(step.key)
    said = [f"{title}: {formula}."]
    if line.numbers:
        numbers = dict(zip(step.inputs, line.numbers, strict=True))
        filled = page.filled(step, lambda key: name_of(key) if page.hidden(key) else aloud(page.words(key, numbers[key])))  # fmt: skip
        said.append(f"In numbers: {formula_words(filled)}. It rests on {_rests_on(page, step)}.")
    if line.why:
        said.append(f"{capital(NO_RESULT)}: {line.why}.")
    else:
        value = page.words(step.key, line.value, short=False)
        said.append(f"Result: {value}, give or take {page.doubt(step.key, line.tolerance)}.")
        said += [f"Note: {line.note}."] if line.note else []
    if answer is not None:
        said += [f"{capital(own)}." for own in answer_lines(answer, page.words, page.doubt)]
    return said


def _rests_on(page: Page, step: Step) -> str:
    """All that the result comes from: instruments, what is given, the refrigerant's table."""
    found = dict.fromkeys(page.source(key).replace(", given", " as given") for key in ground_of(step.key))  # fmt: skip
    return listed([*found, *([f"the table of {page.fluid_name}"] if _asks(step.key) else [])])


def _asks(key: str) -> bool:
    """Is the refrigerant's table asked on the way to it?"""
    return key in STEPS and (STEPS[key].asks or any(map(_asks, STEPS[key].inputs)))
