"""What a person keeps: notes, reading sets, files of a session. The notebook is the screen's, and is saved beside the bench."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from sim.errors import UsageError
from tui.orders import Keep
from tui.plain.aloud import capital, clock_words
from tui.plain.talk import Talk
from tui.session.log import as_csv
from tui.session.notebook import beside
from tui.session.report import report, shown_readings
from tui.session.state_picture import state_chart
from tui.session.trend_picture import sets_up, trends
from tui.session.writing import NotWrittenError, put_in_place
from tui.trending import Trending
from tui.words import listed
from tui.working import answer_cells, held_of

MADE = ("report", "csv", "chart", "trend")


def note(talk: Talk, typed: str) -> None:
    """``note TEXT``: a line of one's own among the events and in the notebook."""
    if not typed:
        raise UsageError("Say what to note, as in: note superheat was too low here.")
    kept = talk.notebook.write(talk.bench.time_s, typed)
    talk.bench.note("", "note", kept.text)
    talk.unsaved = True
    talk.tell()


def record(talk: Talk, typed: str) -> None:
    """``record``: a reading set, all that the instruments show now."""
    snapshot = talk.look()
    taken = talk.notebook.take(snapshot.time_s, shown_readings(talk.scene), held_of(snapshot, talk.scene.atmosphere_pa))  # fmt: skip
    talk.unsaved = True
    count = len(talk.notebook.sets)
    talk.voice.say(f"Reading set {count} is taken at {clock_words(taken.time_s)}: {len(taken.values)} values. Type notebook {count} to hear it, working set {count} to work on it.")  # fmt: skip


def notebook(talk: Talk, typed: str) -> None:
    """``notebook``: notes, sets, own results; ``notebook 2``: a set, each value with that of the set before."""
    book = talk.notebook
    if typed:
        _tell_set(talk, typed)
        return
    lines = [f"At {clock_words(one.time_s)}: {one.text}" for one in book.notes] or ["There are no notes yet. Type note and a line."]  # fmt: skip
    if not book.sets:
        lines.append("There are no reading sets yet. Type record to take one.")
    for number, one in enumerate(book.sets, start=1):
        lines.append(f"Reading set {number}, taken at {clock_words(one.time_s)}: {len(one.values)} values.")  # fmt: skip
        if one.held is not None:
            cells = [answer_cells(answer, one.held, talk.scene.units) for answer in one.answers]
            lines += [f"{capital(name)}: own {own}, computed {computed}; {said}." for name, own, computed, _, _, said in cells]  # fmt: skip
    talk.voice.say_all(lines)


def _tell_set(talk: Talk, typed: str) -> None:
    sets = talk.notebook.sets
    if not typed.isdigit() or not 1 <= int(typed) <= len(sets):
        right = f"There are sets 1 to {len(sets)}, as in: notebook {len(sets)}" if sets else "There are no reading sets yet: record takes one"  # fmt: skip
        raise UsageError(f"There is no reading set {typed}. {right}.")
    number = int(typed)
    before = dict(sets[number - 2].values) if number > 1 else {}
    for name, words in sets[number - 1].values:
        was = before.get(name, words)
        talk.voice.say(f"{capital(name)}: {words}{'' if was == words else f', before {was}'}.")


def save(talk: Talk, typed: str) -> None:
    """``save FILE``: the bench, and the notebook beside it."""
    if not typed:
        raise UsageError("Say to which file, as in: save monday.rime.")
    path = Path(typed)
    if path.exists() and path not in talk.own_files and not talk.voice.agreed([f"{path} is there already."], "replace it"):  # fmt: skip
        return
    talk.order(Keep(keep=lambda bench: bench.save(path)))
    book = talk.notebook
    also = book.held
    if also:
        _write(lambda: book.save(beside(path)))
    book.mark_written()
    talk.unsaved = False
    talk.own_files.add(path)
    notes = f", and {listed(also)} to {beside(path)}" if also else ""
    talk.saved = f"the plant with its events to {path}{notes}, as of {clock_words(talk.now.time_s)} on its clock"  # fmt: skip
    talk.voice.say(f"Saved: {talk.saved}. Not kept in a file: the trend and what a hand has felt. Open it again with: rimebench --plain --load {typed}")  # fmt: skip


def export(talk: Talk, typed: str) -> None:
    """``export report FILE``, ``export csv FILE``, ``export chart FILE``, ``export trend FILE``."""
    kind, _, name = typed.partition(" ")
    if kind.lower() not in MADE or not name.strip():
        raise UsageError(f"Say what and to which file, as in: export report monday.html. There are {listed(list(MADE))}.")  # fmt: skip
    path = Path(name.strip())
    if path.exists() and not talk.voice.agreed([f"{path} is there already."], "replace it"):
        return
    talk.look()
    content = _content(talk, kind.lower())
    _write(lambda: put_in_place(path, content))
    if kind.lower() == "report":
        talk.notebook.mark_written()
    talk.voice.say(f"Written: {path}.")


def _content(talk: Talk, kind: str) -> bytes:
    scene, trending = talk.scene, Trending(own_work=talk.scene.own_work)
    if kind == "csv":
        return as_csv(talk.log.table(scene.instructor))
    if kind == "chart":
        return state_chart(scene, talk.history).encode()
    if kind == "trend":
        return trends(scene, talk.history, trending, sets_up(trending)).encode()
    written_on = time.strftime("Written on %Y-%m-%d at %H:%M")
    return report(scene, talk.history, talk.notebook, talk.begin.rig, trending, written_on).encode()


def _write(write: Callable[[], None]) -> None:
    try:
        write()
    except NotWrittenError as error:
        raise UsageError(str(error)) from None
