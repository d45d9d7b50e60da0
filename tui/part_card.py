"""What is said of a part, once for its card and for the help: what it is, how it stands, what a technician looks at, what to heed. Nothing that an instrument or a handle does not show."""

from __future__ import annotations

from typing import NamedTuple

from sim.cautions import cautions_for
from tui.cautions import card_lines, lines_of
from tui.desk import own_settings
from tui.draw.drawing import Drawing
from tui.draw.plant_picture import function_of
from tui.draw.scene import Scene
from tui.draw.symbols import STOP_TAG
from tui.gauge_card import gauge_lines, glass_kind, glass_lines
from tui.instrument_card import scale_lines, scale_of
from tui.part_state import state_lines
from tui.plain.checks import check_of
from tui.plant import TagInfo
from tui.report import Report
from tui.seen import tripped
from tui.spring_card import spring_lines
from tui.vessel_card import vessel_kind, vessel_lines
from tui.wiring_plan import WiringPlan
from tui.words import MISSING

MOST_OF_A_KIND = 2
"""Cautions of a kind that a card has room for; a danger of the wiring comes besides."""


class PartCard(NamedTuple):
    """What a card says, above what can be done."""

    tag: str
    title: str
    stands: list[str]
    """Settings, display, what is told of it, whether it has tripped."""
    told: list[str]
    """Of its coil, trip and saturation temperature, its scale, its spring, what it is for: the same on the screen and in plain sentences."""
    shows: list[str]
    """Its display."""
    state: list[str]
    """How it stands that no handle and no dial shows (``tui.part_state``)."""
    check: str
    cautions: list[str]
    kind: str
    settings: list[TagInfo]

    @property
    def lines(self) -> list[str]:
        """All of it, in the order in which it is read."""
        return [*self.stands, *([self.check] if self.check else []), *self.cautions]


def card_of(tag: str, scene: Scene, drawing: Drawing | None, about: Report, safety_class: str = "") -> PartCard:  # fmt: skip
    """The card of a part, a switch, an instrument, a device of the wiring."""
    settings = own_settings(tag, scene.tags)
    kind = about.kinds.get(tag, "") or (settings[0].kind if settings else "")
    stands = [f"{info.tag}: {scene.setting_words(info.tag)}" for info in settings]
    symbol = drawing.symbol(tag) if drawing is not None else None
    dial = about.dials.get(tag, "")
    shows = _display(tag, scene, dial or (symbol.reading if symbol is not None else ""))
    told = [*gauge_lines(tag, scene, drawing, about), *glass_lines(kind, dial, scene)]
    told += [*scale_lines(tag, scene), *spring_lines(tag, scene, about)]
    stands += [*shows, *told]
    what = what_is(scene, drawing, tag)
    if not kind:
        kind = vessel_kind(what)
        of_vessel = vessel_lines(tag, kind, scene, drawing)
        told, stands = of_vessel + told, of_vessel + stands
    state = state_lines(tag, kind, scene, drawing, about)
    stands += state
    if scene.snapshot is not None and tag in tripped(scene.snapshot, about.kinds):
        stands.append(f"{tag} has tripped.")
    advice = check_of("emergency_stop" if tag == STOP_TAG else glass_kind(kind, dial))
    check = f"A technician would check: {advice}" if advice else ""
    cautions = _cautions(tag, kind, settings, scene, safety_class)
    return PartCard(
        tag, f"{tag}  {what}", stands, told, shows, state, check, cautions, kind, settings
    )


def _display(tag: str, scene: Scene, key: str) -> list[str]:
    """What an instrument shows."""
    shown = scene.words(key, short=False) if key else MISSING
    display = scene.snapshot.readings.get(f"{key}_shown") if scene.snapshot is not None else None
    if scene.instructor and shown != MISSING and display is not None:
        dial = display if isinstance(display, str) else scene.quantity(key, float(display), short=False)  # fmt: skip
        return [f"{tag} shows {dial}" if dial == shown else f"{tag} shows {dial} (true: {shown})"]
    return [] if shown == MISSING else [f"{tag} shows {shown}"]


def _cautions(tag: str, kind: str, settings: list[TagInfo], scene: Scene, safety_class: str) -> list[str]:  # fmt: skip
    """Of its kind, of what a hand moves on it, of its place in the wiring; each once."""
    own = cautions_for(f"part:{kind}", f"switch:{kind}")[:MOST_OF_A_KIND]
    lines = [caution.line(safety_class=safety_class) for caution in own]
    if settings:
        lines += card_lines(settings[0], safety_class)
    if scene.plan is not None:
        lines += lines_of(scene.plan.cautions.get(tag, ()), safety_class)
    return list(dict.fromkeys(lines))


def what_is(scene: Scene, drawing: Drawing | None, tag: str) -> str:
    """A part in plain words."""
    info = scene.tags.get(tag)
    if info is not None:
        return _of_coil_now(info.what, scene)
    symbol = drawing.symbol(tag) if drawing is not None else None
    if symbol is not None and symbol.what:
        return symbol.what
    owned = [other for name, other in scene.tags.items() if name.startswith(f"{tag}.")]
    if owned:
        return owned[0].what.partition(": ")[0]
    scale = scale_of(tag, scene)
    if scale is not None:
        return scale.what
    coil = next((one for one in drawing.coils if one.tag == tag), None) if drawing is not None else None  # fmt: skip
    if coil is not None:
        return f"{coil.what}, {function_of(tag, scene)} now"
    return _at_the_wiring(tag, scene.plan) if scene.plan is not None else ""


def _of_coil_now(what: str, scene: Scene) -> str:
    """``fan of coil B (evaporator in cooling)``: while the plant heats, what that coil is then."""
    for cooling, heating in (("evaporator", "condenser"), ("condenser", "evaporator")):
        said = f"({cooling} in cooling)"
        if said in what and scene.heating:
            return what.replace(said, f"({heating} in heating)")
    return what


def _at_the_wiring(tag: str, plan: WiringPlan) -> str:
    """A device, a lead, or the socket that everything hangs on."""
    lead = plan.lead(tag)
    if lead is not None:
        return f"lead from {lead.a} to {lead.b}"
    socket = plan.socket[0].rpartition(".")[0]
    return plan.what.get(tag, "the supply, before every switch" if tag == socket else "")
