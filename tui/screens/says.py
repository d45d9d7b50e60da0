"""What the bench's screen says about plant, person and selected part: status line, alarms, caption, last line."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from tui.board_commands import AT_BOARD, AT_PAIR
from tui.commands import (
    AT_CHART,
    AT_METERS,
    AT_PROJECTOR,
    AT_SENSES,
    AT_TREND,
    AT_WORKING,
    BY_NAME,
    FOOTER_ORDER,
)
from tui.desk import RELEASED, Desk, own_settings, toggled
from tui.draw.bars import FooterKey
from tui.draw.drawing import Drawing
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.draw.symbols import STOP_TAG
from tui.frames import FrameClock
from tui.meter_commands import AT_WIRING
from tui.part_card import what_is
from tui.runner import Report, Stage
from tui.seen import tripped
from tui.words import MISSING, setting_words

CHOOSE = "   enter: choose"


def stage_words(report: Report, scene: Scene) -> str:
    """Running at which pace, held and why, or what else."""
    if report.stage is Stage.RUNNING:
        behind = report.reached < 0.9 * report.pace
        reached = f" (reached {report.reached:.2g})" if behind else ""
        return f"RUN x{report.pace}{reached}" + (f" until {report.goal}" if report.goal else "")
    if report.stage is Stage.HELD:
        why = report.held_because or report.met
        return f"HELD: {scene.in_units(why)}" if why else "HELD"
    return str(report.stage.value).upper()


def status_words(desk: Desk, clock: FrameClock, assessed: bool = False) -> str:
    """Whose view it is, which units, and the frame rate when it had to be lowered."""
    who = "INSTRUCTOR" if desk.instructor else "ASSESSED" if assessed else "learner"
    who = f"ON THE COPY  {who}" if desk.on_fork else who
    rate = f"  {clock.rate:.0f} frames/s" if clock.slowed else ""
    return f"{who}  {desk.units.words}{rate}"


def alarm_words(report: Report) -> tuple[str, ...]:
    """What has tripped, and a pressed emergency stop."""
    snapshot = report.snapshot
    if snapshot is None:
        return ()
    alarms = [f"{tag} tripped" for tag in tripped(snapshot, report.kinds)]
    if snapshot.commands.get(STOP_TAG) not in RELEASED:
        alarms.insert(0, f"{STOP_TAG} pressed")
    return tuple(alarms[:2])


def caption_words(tag: str, desk: Desk, scene: Scene, drawing: Drawing | None) -> str:
    """The selected part: name, setting, and what Enter would do."""
    info = scene.tags.get(tag)
    name = f"{tag} {what_is(scene, drawing, tag)}".rstrip()
    if info is None:
        shown = scene.words(scene.dials[tag]) if tag in scene.dials else ""
        name = f"{name}: {shown}" if shown not in ("", MISSING) else name
        return f"{name}{CHOOSE}" if own_settings(tag, scene.tags) else f"{name}   enter: card"
    value = toggled(info, scene.setting(tag))
    hint = CHOOSE if value is None else f"   enter: {setting_words(info, tag, value, desk.units)}"
    return f"{name}: {scene.setting_words(tag)}{hint}"


@cache
def footer_keys(view: View = View.PLANT) -> tuple[FooterKey, ...]:
    """The last line, from the commands; at the wiring other keys matter. The last one leads to all others."""
    order = {View.WIRING: AT_WIRING, View.CHART: AT_CHART, View.TREND: AT_TREND, View.BOARD: AT_BOARD, View.PAIR: AT_PAIR, View.SENSES: AT_SENSES, View.METERS: AT_METERS, View.WORKING: AT_WORKING, View.PROJECTOR: AT_PROJECTOR}.get(view, FOOTER_ORDER)  # fmt: skip
    words = {
        View.TREND: {"less": "zoom"},
        View.PAIR: {"trend_set": "reading"},
        View.SENSES: {"act": "touch"},
        View.WORKING: {"act": "own result", "live": "now"},
    }.get(view, {}) | {"view_plant": "plant"}
    first = order[:1] if view is View.PLANT else (*order[:1], "view_plant", "help")
    names = dict.fromkeys((*first, *order[1:], "all_commands"))
    return tuple(_key(name, words) for name in names)


def _key(name: str, words: Mapping[str, str]) -> FooterKey:
    """A command on the last line."""
    command = BY_NAME[name]
    return FooterKey(command.shown_in_footer or command.shown_key, words.get(name, command.footer), name, command.alarm)  # fmt: skip
