"""The bench report: one HTML file that needs nothing else and prints on A4 and Letter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from html import escape

from sim.cautions import cautions_for
from sim.events import RECORD
from tui.charting import Axes
from tui.draw.lists import WORKED_OUT, clock_words, standing_names, table_keys
from tui.draw.scene import Scene
from tui.history import History
from tui.mishaps import MISHAPS
from tui.plant import Event
from tui.seen import instrument_label
from tui.session.notebook import Notebook, ReadingSet
from tui.session.state_picture import Paths, state_chart
from tui.session.trend_picture import sets_up, trends
from tui.trending import Trending
from tui.words import LABELS, MISSING, Units
from tui.working import answer_cells

SETS_A_TABLE = 5
"""Reading sets side by side; more go into a table below, so that a page stays wide enough."""
MOST_EVENTS = 400
CHARTS = {Axes.PRESSURE_ENTHALPY: "Pressure-enthalpy chart", Axes.TEMPERATURE_ENTROPY: "Temperature-entropy chart"}  # fmt: skip
LONGEST_NUMBER = 16
"""Characters of a number with its unit, or of a time."""
STYLE = """
@page { margin: 15mm; }
body { font: 10pt/1.4 system-ui, 'DejaVu Sans', Arial, sans-serif; color: #222; background: #fff; max-width: 180mm; margin: 1em auto; padding: 0 1em; }
h1 { font-size: 16pt; margin: 0; } h2 { font-size: 12pt; margin: 1.4em 0 .4em; break-after: avoid; }
table { border-collapse: collapse; width: 100%; } table + table { margin-top: 1em; } thead { display: table-header-group; } tr { break-inside: avoid; }
th, td { text-align: left; padding: .12em .6em .12em 0; border-bottom: 1px solid #ccc; vertical-align: top; overflow-wrap: anywhere; } th, td.n { white-space: nowrap; overflow-wrap: normal; }
figure { margin: 0 0 1em; break-inside: avoid; } svg { width: 100%; height: auto; }
.caution { border: 1.5px solid #222; padding: .3em .6em; margin: .3em 0; break-inside: avoid; }
@media print { body { margin: 0; padding: 0; max-width: none; } }
"""


def shown_readings(scene: Scene) -> list[tuple[str, str]]:
    """(name, words) of every instrument's display, then of what follows from several of them; as a learner sees them."""
    if scene.snapshot is None:
        return []
    seen = replace(scene, instructor=False, numbers=None)
    rows = [(instrument_label(scene.snapshot, key), seen.words(key)) for key in table_keys(seen)]
    rows += [(f"{LABELS.get(key) or (standing_names(scene, key) or (name,))[0]} (worked out)", seen.words(key)) for name, _, key in WORKED_OUT if key.startswith("gauge_") or key.endswith("saturation_temperature_k") or key == "suction_gauge_superheat_k"]  # fmt: skip
    return [(name, words) for name, words in rows if words != MISSING]


def report(scene: Scene, history: History, notebook: Notebook, title: str, trending: Trending, written_on: str, paths: Paths = ((), ())) -> str:  # fmt: skip
    """The whole file. It says no more than the person who asks for it may see: ``scene`` decides."""
    fluid = scene.fluid.safety_class if scene.fluid is not None else ""
    time_s = scene.snapshot.time_s if scene.snapshot is not None else 0.0
    cautions = cautions_for("export:any", "export:report", also=("pressure", "restart", "hot/cold", "gas"))  # fmt: skip
    begin, end = trending.window(history.start_s, history.now_s)
    parts = [
        f"<h1>Bench report: {escape(title)}</h1>",
        f"<p>{escape(written_on)}. Plant's time {clock_words(time_s)}. {'Instructor&#39;s view: curves and chart show what is true.' if scene.instructor else 'As the instruments show it.'} Computed by a model.</p>",
        *(f'<p class="caution">{escape(one.line(safety_class=fluid))}</p>' for one in cautions[:1]),
        "<h2>Readings</h2>", _table(("instrument", "shows"), shown_readings(scene)),
        f"<h2>{CHARTS[scene.charting.axes]}</h2>", f"<figure>{state_chart(scene, history, paths)}</figure>",
        f"<h2>Trends, {clock_words(max(begin, history.start_s))} to {clock_words(end)}</h2>", *(f"<figure>{trends(scene, history, trending, [one])}</figure>" for one in sets_up(trending)),
        "<h2>Notes</h2>", _table(("time", "note"), [(clock_words(note.time_s), note.text) for note in notebook.notes]),
        "<h2>Reading sets</h2>", *_sets(notebook, scene.units),
        "<h2>Events</h2>", _table(("time", "part", "event"), [(clock_words(event.time_s), event.tag, scene.told(event)) for event in told(scene.events)]),
        "<h2>Cautions</h2>", *(f'<p class="caution">{escape(one.line(safety_class=fluid))}</p>' for one in cautions),
    ]  # fmt: skip
    return f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>{escape(title)}: bench report</title><style>{STYLE}</style></head><body>\n' + "\n".join(parts) + "\n</body></html>\n"  # fmt: skip


def told(events: Sequence[Event]) -> list[Event]:
    """The newest events, and of the older ones what cannot be taken back."""
    newest = len(events) - MOST_EVENTS
    return [event for k, event in enumerate(events) if k >= newest or event.kind in (*MISHAPS, RECORD)]  # fmt: skip


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    if not rows:
        return "<p>none</p>"
    head = "".join(f"<th>{escape(name)}</th>" for name in heads)
    body = "\n".join("<tr>" + "".join(_cell(words) for words in row) + "</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>\n{body}\n</tbody></table>"


def _cell(words: str) -> str:
    """Times and numbers with their units stay on one line."""
    return f"<td{' class=n' if len(words) <= LONGEST_NUMBER else ''}>{escape(words)}</td>"


def _sets(notebook: Notebook, units: Units) -> list[str]:
    tables = []
    for first in range(0, len(notebook.sets), SETS_A_TABLE):
        rows = Notebook(sets=notebook.sets[first : first + SETS_A_TABLE]).compared(SETS_A_TABLE)
        tables.append(_table(rows[0], rows[1:]))
    tables += [_own_results(one, units) for one in notebook.sets if one.answers]
    return tables or ["<p>none</p>"]


def _own_results(one: ReadingSet, units: Units) -> str:
    heads = (f"worked out from {clock_words(one.time_s)}", "own", "computed", "apart", "tolerance", "")  # fmt: skip
    return _table(heads, [answer_cells(answer, one.held, units) for answer in one.answers if one.held is not None])  # fmt: skip
