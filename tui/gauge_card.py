"""What a gauge tells here and now: which coil its pressure belongs to, at which temperature the refrigerant of the plate boils or condenses at it, how far the trip is; and what a glass tells."""

from __future__ import annotations

import math

from tui.draw.drawing import Drawing
from tui.draw.plant_picture import function_of
from tui.draw.scene import Scene
from tui.report import Report
from tui.seen import stands
from tui.words import MISSING
from tui.working import difference_words

SUCTION, DISCHARGE = "suction_pressure_pa", "discharge_pressure_pa"
WORK = {SUCTION: ("evaporator", "boils", "suction_saturation_temperature_k"), DISCHARGE: ("condenser", "condenses", "discharge_saturation_temperature_k")}  # fmt: skip
"""Gauge -> what the coil on its side is, what happens in it, and the temperature at which it does."""
GUARDS = {SUCTION: "low_pressure_control", DISCHARGE: "high_pressure_trip"}
"""Gauge -> kind of the control that watches that side."""
THERMOMETER, SUPERHEAT = "suction_temperature_k", "suction_gauge_superheat_k"
LIQUID_GLASS = "sight_glass"
AT_REST = "Nothing flows now: bubbles or a level in a glass that stands still are normal, and tell nothing of the charge."  # fmt: skip


def gauge_lines(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    """Nothing for what is no pressure gauge."""
    key = about.dials.get(tag, "")
    if key not in WORK or scene.snapshot is None:
        return []
    return [*_coil_lines(key, scene, drawing), *_guard_lines(key, scene, about)]


def _coil_lines(key: str, scene: Scene, drawing: Drawing | None) -> list[str]:
    """Which coil now, and the saturation temperature; left to the learner where it is the learner's to work out."""
    function, does, saturation = WORK[key]
    name = scene.fluid.name if scene.fluid is not None else ""
    at = scene.words(saturation)
    told = at != MISSING and bool(name)
    if scene.snapshot is None or stands(scene.snapshot):
        return [f"Nothing flows now: neither coil boils or condenses. At this pressure {name} is saturated at {at}."] if told else []  # fmt: skip
    coil = next((f"{one.what} ({one.tag})" for one in drawing.coils if function_of(one.tag, scene) == function), "") if drawing is not None else ""  # fmt: skip
    if not coil:
        return []
    temperature = f" At this pressure {name} {does} at {at}." if told else ""
    return [f"Its pressure is, but for what the pipes drop, that in {coil}, where refrigerant {does} now.{temperature}"]  # fmt: skip


def _guard_lines(key: str, scene: Scene, about: Report) -> list[str]:
    """Where the control on that side acts, and how far that is from what the gauge shows."""
    now, lines = shown_number(key, scene), []
    for tag, kind in about.kinds.items():
        point = scene.setting(f"{tag}.set")
        if kind != GUARDS[key] or not isinstance(point, int | float) or not math.isfinite(now):
            continue
        far = difference_words(key, abs(point - now), scene.units)
        side = "above" if point > now else "below"
        lines.append(f"{tag} opens at {scene.quantity(key, float(point))}, {far} {side} what it shows now.")  # fmt: skip
    return lines


def shown_number(key: str, scene: Scene) -> float:
    """What the dial itself shows, for either person."""
    shown = scene.snapshot.readings.get(f"{key}_shown") if scene.snapshot is not None else None
    return float(shown) if isinstance(shown, int | float) else scene.number(key)


def glass_kind(kind: str, reading: str) -> str:
    """A glass is read by the line that it sits in: one in the liquid line is a ``glass``, any other a ``suction glass``."""
    return "suction glass" if kind == "glass" and reading not in ("", LIQUID_GLASS) else kind


def glass_lines(kind: str, reading: str, scene: Scene) -> list[str]:
    """What a glass cannot tell, and what decides instead."""
    if kind != "glass" or scene.snapshot is None:
        return []
    if stands(scene.snapshot):
        return [AT_REST]
    if glass_kind(kind, reading) == kind:
        return []
    by = [tag for key in (SUCTION, THERMOMETER) for tag, shows in scene.dials.items() if shows == key]  # fmt: skip
    worked = scene.words(SUPERHEAT)
    now = f": {worked} now" if worked != MISSING else ""
    return [f"It sits in the suction line: superheat at the compressor, from {' and '.join(by)}, says what is in it{now}."] if by else []  # fmt: skip
