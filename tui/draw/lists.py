"""Views made of lines: meters, the table of instruments, the event log, and the bars at the top and the bottom."""

from __future__ import annotations

import math
from dataclasses import dataclass
from textwrap import wrap

from sim.units import screen_unit
from tui.draw.canvas import Canvas
from tui.draw.ink import BOLD, Ink, heat_ink
from tui.draw.scene import Scene
from tui.plant import Event, Reading
from tui.seen import BACKFLOW, instrument_label, seen, stands
from tui.words import label_of


@dataclass(frozen=True)
class Meter:
    """A bar meter: what it shows and the end of its scale, in SI."""

    what: str
    key: str
    full_scale: float

    def name(self, scene: Scene) -> str:
        """With its tag."""
        return f"{scene.dial(self.key)} {self.what}".lstrip()


METERS = (
    Meter("volts", "voltage_v", 150.0),
    Meter("amps", "current_a", 10.0),
    Meter("watts", "power_w", 500.0),
)
"""Scales of panel meters for a 120 V bench (common practice)."""
WORKED_OUT = (
    ("superheat", "SH", "gauge_superheat_k"),
    ("at compr.", "SH comp.", "suction_gauge_superheat_k"),
    ("subcooling", "SC", "gauge_subcooling_k"),
    ("evaporating", "evap.", "suction_saturation_temperature_k"),
    ("condensing", "cond.", "discharge_saturation_temperature_k"),
    ("flowmeter", "flow", "flowmeter"),
    ("room", "room", "room_temperature_k"),
)
"""(name, short name for a narrow pane, reading)."""
STANDING = {
    "suction_saturation_temperature_k": ("suction_pressure_pa", "suction"),
    "discharge_saturation_temperature_k": ("discharge_pressure_pa", "discharge"),
}
"""Saturation temperature -> the gauge that it is read off, and what that is called where it has no tag."""
NARROW = 30
"""Below this width numbers stand at the right edge, without bars."""
TRUTH = ("evaporator_superheat_k", "suction_quality", "mass_flow_kg_s", "refrigerating_capacity_w", "heat_rejected_w", "compressor_power_w", "cop", "winding_temperature_k")  # fmt: skip
NAME_WIDTH = 12
TWO_COLUMNS = 36
"""Columns of each where what is worked out stands in two."""
OTHER_GLASSES = "sight_glass_"
"""Beginning of what every glass but that before the devices shows; an eye is their display."""
TAG_WIDTH = 6
"""Columns of the table's tags."""


def paint_meters(canvas: Canvas, scene: Scene) -> None:
    """Volt, amp and watt meters as bars; below them what gauge and thermometer say together."""
    spaced = canvas.height >= 2 * len(METERS) + len(WORKED_OUT) + 1
    roomy = canvas.height >= 3 * len(METERS) + len(WORKED_OUT) + 1
    y = 0
    for meter in METERS:
        _meter(canvas, y, meter, scene)
        if spaced:
            _range(canvas, y + 1, meter, scene)
        y += 3 if roomy else 2 if spaced else 1
    y = _worked_out(canvas, y, scene)
    for key in TRUTH if scene.instructor else ():
        words = scene.words(key)
        canvas.text(0, y, shortened(label_of(key), canvas.width - len(words) - 1), Ink.CAUTION)
        canvas.text_right(canvas.width, y, words, Ink.STRONG | BOLD)
        y += 1


def standing_names(scene: Scene, key: str) -> tuple[str, str] | None:
    """Name and short name of a gauge's saturation temperature while nothing flows: no coil boils or condenses at it then."""
    if key not in STANDING or scene.snapshot is None or not stands(scene.snapshot):
        return None
    gauge = scene.dial(*STANDING[key])
    return f"saturation at {gauge}", f"sat. {gauge}"


def _worked_out(canvas: Canvas, top: int, scene: Scene) -> int:
    """What follows from gauges and thermometers; in two columns where a wide pane has too few rows. Returns the row below."""
    narrow = canvas.width < NARROW
    columns = 2 if canvas.height - top < len(WORKED_OUT) and canvas.width >= 2 * TWO_COLUMNS else 1
    rows = -(-len(WORKED_OUT) // columns)
    for index, (name, short_name, key) in enumerate(WORKED_OUT):
        part = canvas.window(index // rows * TWO_COLUMNS, 0, canvas.width if columns == 1 else TWO_COLUMNS, canvas.height)  # fmt: skip
        y = top + index % rows
        name, short_name = standing_names(scene, key) or (name, scene.dial(key, short_name))
        words = scene.words(key, short=part.width < 36)
        if narrow or max(NAME_WIDTH, len(name) + 1) + len(words) > part.width:
            name = shortened(short_name, part.width - len(words) - 1)
        part.text(0, y, name, Ink.FAINT)
        x = part.width - len(words) if narrow else max(NAME_WIDTH, len(name) + 1)
        part.text(x, y, words, Ink.STRONG | BOLD)
        if scene.backflow(key) and not narrow:
            part.text(x + len(words) + 2, y, BACKFLOW, Ink.CAUTION | BOLD)
    return top + rows


def _meter(canvas: Canvas, y: int, meter: Meter, scene: Scene) -> None:
    narrow = canvas.width < NARROW
    canvas.text(0, y, scene.dial(meter.key, meter.what) if narrow else meter.name(scene), Ink.FAINT)
    words = scene.words(meter.key)
    room = canvas.width - NAME_WIDTH - 10
    canvas.text_right(canvas.width, y, words, Ink.STRONG | BOLD)
    if meter.key in scene.peaks:
        peak = f"{'max' if narrow else 'peak'} {scene.quantity(meter.key, scene.peaks[meter.key])}"
        x = 5 if narrow else NAME_WIDTH
        canvas.text(x, y, peak if x + len(peak) < canvas.width - len(words) else "", Ink.CAUTION | BOLD)  # fmt: skip
        return
    value, full_scale = scene.number(meter.key), _full_scale(meter, scene)
    if room > 3 and math.isfinite(value):
        full, part = divmod(round(max(0.0, min(1.0, value / full_scale)) * room * 2), 2)
        bar = scene.glyphs.bar[1] * full + scene.glyphs.bar[0] * part
        canvas.text(NAME_WIDTH, y, scene.glyphs.dot * room, Ink.GRID)
        canvas.text(NAME_WIDTH, y, bar, Ink.LIQUID)


def _full_scale(meter: Meter, scene: Scene) -> float:
    scale = scene.scales.get(meter.key)
    return scale.high if scale is not None else meter.full_scale


def _range(canvas: Canvas, y: int, meter: Meter, scene: Scene) -> None:
    """The scale's ends under its bar, and the class."""
    scale = scene.scales.get(meter.key)
    full = _full_scale(meter, scene)
    words = f"0 to {full:g} {scene.quantity(meter.key, full).rpartition(' ')[2]}"
    if scale is not None and canvas.width >= NARROW + NAME_WIDTH:
        words += scene.units.figure(f"   class {scale.class_percent:g}   step {scale.step:g}")
    canvas.text(NAME_WIDTH if canvas.width >= NARROW else 0, y, words[: canvas.width], Ink.FAINT)


def table_keys(scene: Scene) -> list[str]:
    """Readings that the table lists: those with an instrument, and in the instructor's view all of them."""
    if scene.snapshot is None:
        return []
    names = scene.snapshot.readings
    shown = [name.removesuffix("_shown") for name in names if name.endswith("_shown")]
    shown += [key for key in scene.dials.values() if key.startswith(OTHER_GLASSES) and key in names]
    if not scene.instructor:
        return shown
    return shown + [name for name in names if not name.endswith("_shown") and name not in shown]


def paint_table(canvas: Canvas, scene: Scene, first: int) -> int:
    """Every instrument with what it shows; in the instructor's view the truth beside it and how far they are apart. Returns the first row, as far down as there are rows."""
    columns = max(1, canvas.width // 76) if not scene.instructor else max(1, canvas.width // 90)
    width = canvas.width // columns
    keys = table_keys(scene)
    rows = max(1, canvas.height - 1)
    first = max(0, min(first, max(0, len(keys) - rows * columns)))
    last = min(first + rows * columns, len(keys))
    of_dial = {key: tag for tag, key in scene.dials.items()}
    for column in range(columns):
        part = canvas.window(column * width, 0, width, canvas.height)
        _heads(part, scene)
        start = first + column * rows
        for row, key in enumerate(keys[start : start + rows], start=1):
            _table_row(part, row, key, scene, of_dial.get(key, ""))
    if last - first < len(keys):
        canvas.text_right(canvas.width, 0, f"{first + 1}-{last} of {len(keys)} pgdn", Ink.FAINT)
    return first


def _places(width: int) -> tuple[int, int]:
    return 30, min(width - 18, 54)


def _heads(canvas: Canvas, scene: Scene) -> None:
    shown, truth = _places(canvas.width)
    canvas.text(TAG_WIDTH, 0, "reading", Ink.FAINT)
    canvas.text(shown, 0, "instrument", Ink.FAINT)
    if scene.instructor:
        canvas.text(truth, 0, "truth", Ink.FAINT)


def _table_row(canvas: Canvas, row: int, key: str, scene: Scene, tag: str) -> None:
    assert scene.snapshot is not None
    shown_at, truth_at = _places(canvas.width)
    readings = scene.snapshot.readings
    canvas.text(0, row, tag, Ink.FAINT)
    canvas.text(TAG_WIDTH, row, shortened(_name(scene, key, tag), shown_at - TAG_WIDTH - 1), Ink.TEXT)  # fmt: skip
    shown = seen(scene.snapshot, key, False) if key.startswith(OTHER_GLASSES) else readings.get(f"{key}_shown")  # fmt: skip
    if shown is not None:
        canvas.text(shown_at, row, _words(scene, key, shown), _value_ink(key, shown))
    if scene.instructor and key in readings:
        canvas.text(truth_at, row, _words(scene, key, scene.reading(key)), Ink.STRONG | BOLD)


def _name(scene: Scene, key: str, tag: str) -> str:
    """What a row shows; a glass that no reading is named after is called what the rig calls it."""
    assert scene.snapshot is not None
    owned = (scale.what for scale in scene.scales.values() if scale.tag == tag)
    name = next(owned, "") if key.startswith(OTHER_GLASSES) else ""
    return name or instrument_label(scene.snapshot, key)


def _words(scene: Scene, key: str, value: Reading | None) -> str:
    return value if isinstance(value, str) else scene.quantity(key, math.nan if value is None else float(value), short=False)  # fmt: skip


def _value_ink(key: str, value: float | str) -> int:
    if isinstance(value, int | float) and screen_unit(key, "si").quantity == "temperature" and key.endswith("temperature_k"):  # fmt: skip
        return heat_ink(float(value)) | BOLD
    return Ink.STRONG | BOLD


def shortened(text: str, width: int) -> str:
    """A line that does not fit ends with three dots."""
    return text if len(text) <= width else text[: max(0, width - 1)] + "…"


def clock_words(time_s: float) -> str:
    """Plant time as hours, minutes, seconds."""
    whole = int(time_s)
    return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"


KIND_AT, WORDS_AT = 10, 29
"""Columns of an event's kind, behind the clock, and of its words, behind kind and tag."""
_EVENT_INKS = {
    kind: Ink.ALARM for kind in ("trip", "lift", "burst", "slug", "damage", "stall", "violation")
} | {"record": Ink.CAUTION}


def event_ink(event: Event) -> int:
    """Alarms stand out; what a hand did is plain."""
    return int(_EVENT_INKS.get(event.kind, Ink.TEXT))


def event_words(scene: Scene, event: Event) -> str:
    """One line of the log."""
    return f"{clock_words(event.time_s)}  {event.kind:<10}{event.tag:<8} {scene.told(event)}"


def paint_log(canvas: Canvas, scene: Scene, back: int) -> int:
    """The newest events at the bottom; ``back`` lines further up when somebody scrolls. A long one goes on below its own words. Returns how far back it stands: no further than to the first event."""
    rows, events = canvas.height, scene.events
    newest = events[-(rows + back) :]  # each takes a line or more
    indent = " " * (WORDS_AT if canvas.width >= 3 * WORDS_AT else KIND_AT)
    lines = [(line, event_ink(event)) for event in newest for line in wrap(event_words(scene, event), canvas.width, subsequent_indent=indent)]  # fmt: skip
    back = max(0, min(back, len(lines) - rows))
    end = len(lines) - back
    for row, (line, ink) in enumerate(lines[max(0, end - rows) : end]):
        canvas.text(0, row, line, ink)
    if not events:
        canvas.text(0, 0, "nothing has happened yet", Ink.FAINT)
    return back
