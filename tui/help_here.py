"""What `?` says on the bench's screen: the thing under selection or cursor, then the view; which terms of the glossary belong to it. No Textual, and nothing that this person may not see."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from tui.desk import nudged, toggled, turned
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.faults import Entry
from tui.glossary import terms_for
from tui.help_views import SHOWS_PARTS, VIEW_LINES
from tui.part_card import PartCard
from tui.senses import Row
from tui.view_commands import NUMBERED
from tui.words import setting_words

VIEW_TERMS = {
    View.PLANT: ("cycle",),
    View.CHART: ("enthalpy", "saturation", "quality"),
    View.TREND: ("steady running", "hunting"),
    View.METERS: ("saturation ring", "superheat", "subcooling"),
    View.TABLE: ("tag", "gauge pressure"),
    View.LOG: ("high-pressure trip", "liquid slugging"),
    View.WIRING: ("ladder diagram", "hand meter", "isolate"),
    View.SENSES: ("frost", "sight glass"),
    View.WORKING: ("superheat", "subcooling", "COP"),
}
"""View -> terms that its help leads to."""
OWN_ENTER = (View.WORKING, View.SENSES, View.BOARD)
"""Views in which enter works what is chosen there, and not the part chosen on the plant."""
MOST_TERMS = 3
LISTED = "Nobody has drawn this rig: its parts and instruments stand in a list, with how they stand and what they show. Arrows, tab, g or a click select one; enter or a second click works it."


@dataclass(frozen=True)
class Here:
    """Title, paragraphs, names of terms."""

    title: str
    lines: list[str] = field(default_factory=list)
    terms: tuple[str, ...] = ()


def here_at(view: View, scene: Scene, card: PartCard, row: Row | None = None, entry: Entry | None = None, spot: Sequence[str] = (), *, drawn: bool = True) -> Here:  # fmt: skip
    """Help where one stands. ``row``: of the senses; ``entry``: of the fault board; ``spot``: words on the terminal or wire under the cursor."""
    about_view = VIEW_LINES[view](scene) if drawn or view is not View.PLANT else [LISTED]
    if view is View.SENSES and row is not None:
        return Here(f"{row.name}", [f"Eye and ear: {row.found}.", *about_view], VIEW_TERMS[view])
    if view is View.BOARD and entry is not None and scene.instructor:
        return Here(entry.name, [entry.what, f"Severity: {entry.severity}.", *about_view])
    if view in SHOWS_PARTS:
        terms = (*terms_for(card.tag, card.kind), *VIEW_TERMS[view])
        words = [". ".join(spot) + "."] if spot else []
        return Here(card.title, [*words, *card.lines, *key_lines(card, scene), *about_view], tuple(dict.fromkeys(terms))[:MOST_TERMS])  # fmt: skip
    number = list(View).index(view) + 1
    where = f" (view {number})" if number <= NUMBERED else ""
    title = card.title.replace("  ", " ")
    selected = [] if view in OWN_ENTER else [f"Chosen on the plant, and still what enter works: {title}."]  # fmt: skip
    return Here(f"{view.value}{where}", [*about_view, *selected], VIEW_TERMS.get(view, ()))


def key_lines(card: PartCard, scene: Scene) -> list[str]:
    """The keys that work on a part, with what they would do now."""
    if not card.settings:
        return ["No hand moves it. o: its card. s: what eye and ear find there."]
    info = card.settings[0]
    now = scene.setting(info.tag)
    value = toggled(info, now) if info.tag == card.tag else None
    if value is None:
        words = "enter or o: its card, to choose from"
    else:
        words = f"enter: {setting_words(info, info.tag, value, scene.units)}. o: its card, with every setting"
    own = turned(card.tag, scene.tags)
    turns = own is not None and any(nudged(own, scene.setting(own.tag), step) not in (None, scene.setting(own.tag)) for step in (1, -1))  # fmt: skip
    step = "the next position" if own is not None and own.choices else "a little more or less"
    return [
        f"Keys: {words}. {f'+ and -: {step}. ' if turns else ''}s: what eye and ear find there."
    ]
