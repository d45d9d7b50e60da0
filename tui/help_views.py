"""What each view shows and how it is read, in sentences that hold whatever the plant does. Numbers in them come from the scene."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tui.derived import DERIVED
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.words import MISSING, label_of

Lines = list[str]


def plant_lines(scene: Scene) -> Lines:
    """The drawing."""
    ways = "In heating coil B below gives heat off and coil A above takes it up: hot gas comes down the right side from the compressor M1, liquid goes up the left side." if scene.heating else "In cooling coil A above gives heat off and coil B below takes it up; liquid comes down the left side, vapour goes up the right side to the compressor M1."  # fmt: skip
    return [
        f"The plant as a drawing. {ways}",
        "A pipe's line says what is in it (heavy: liquid, heavy and broken: liquid with vapour, thin: vapour), its colour how warm it is or, after Y, on which side it stands, with H or L in it. Marks move with the flow. A valve's handle lies along the pipe when it is open and across it when it is shut.",
        "Numbers stand where the instruments hang. Arrows, tab, g or a click select a part; enter or a second click works it.",
    ]


def chart_lines(scene: Scene) -> Lines:
    """The chart of states."""
    who = "every node of the plant" if scene.instructor else "what the instruments show"
    cycle = f"The closed line is the cycle, from {who}: compression rises to the right, the condenser runs to the left along the top, the metering device drops straight down, the evaporator runs back to the right. While both pressures are equal there is none. Its corners: 1 suction gas, 2 discharge gas, 3 liquid before the metering device, 4 behind the device, where the evaporator begins."
    if scene.own_work:
        cycle = "In an assessed session the cycle is not drawn and the cursor names no superheat: its corners are yours to find."
    return [
        "The refrigerant's states: pressure upwards, enthalpy (heat in a kilogram) to the right; A changes to temperature over entropy. Under the dome liquid and vapour are together, left of it is liquid, right of it vapour.",
        cycle,
        "Arrows or a click put a cursor that reads a state: pressure, temperature, h the enthalpy, s the entropy, x the quality (how much of it is vapour, from 0 to 1) or how far it is from boiling; K keeps the cycle of now to compare with; esc takes the cursor off.",
    ]


def trend_lines(scene: Scene) -> Lines:
    """The trends."""
    return [
        "Readings over time, now at the right edge. Each curve stands in the heading with its number; the whole session is kept.",
        "n: another set of readings, C: four of your own, + and -: stretch the time, m: span. Arrows or a click put a cursor that reads all curves at an instant; esc returns to now.",
        "Look at how fast something moves and what moves first, not only at where it ends: pressures answer in seconds, metal in minutes.",
    ]


def meter_lines(scene: Scene) -> Lines:
    """Dials and meters."""
    fluid = scene.fluid.name if scene.fluid is not None else "the refrigerant"
    beside = f" Beside the name {fluid} stands the temperature at which {fluid} boils or condenses at that pressure; a large dial has it as an inner ring as well."
    lines = [
        f"Both pressure gauges: the needle shows gauge pressure.{'' if scene.own_work else beside} A mark at the edge shows where a control or trip acts.",
        "Below, the panel's volts, amps and watts, and what follows from gauge and thermometer together.",
    ]
    shown = [
        f"{label_of(key)} {scene.words(key)}" for key in DERIVED if scene.words(key) != MISSING
    ]
    return [*lines, f"Now worked out: {', '.join(shown)}."] if shown else lines


def table_lines(scene: Scene) -> Lines:
    """The table of instruments."""
    truth = " The truth stands beside it, in this view only." if scene.instructor else ""
    return [
        f"Every instrument with what it shows: in steps, a little late, within its class, as a real one.{truth} Page up and down scroll.",
        "Instruments stay where they are bolted: in heating the table calls them after their places.",
    ]


def log_lines(scene: Scene) -> Lines:
    """The event log."""
    return [
        "What has happened, the newest at the bottom: the plant's time, the kind of event, the part, a sentence. 'command' is what a hand did, 'contact' a control or relay; 'trip' and what stands out is an alarm.",
        "Page up and page down scroll. The order tells more than the last line: look at what came first.",
    ]


def wiring_lines(scene: Scene) -> Lines:
    """The ladder and the hand meter."""
    now = "Heavy lines are live. Contacts and armatures stand as they do now."
    if scene.own_work:
        now = "In an assessed session it shows what one sees without a meter: handles, what has tripped, armatures that hum, lamps, fans. Whether a conductor is live and a contact does what it should is yours to measure."
    return [
        f"The wiring as a ladder: the live conductor at the left, the neutral at the right, each load on its rung with the contacts before it. {now}",
        "Arrows, tab or a click go from terminal to wire. p and P put the probes on a terminal, l the clamp round a wire, v turns the meter's knob, d writes a reading down, x lifts a lead. Ohms are measured on a dead circuit only: prove it dead first.",
    ]


def board_lines(scene: Scene) -> Lines:
    """The fault board."""
    if not scene.instructor:
        return ["This view is the instructor's, and shut in a learner's session. It opens with: rimebench --instructor"]  # fmt: skip
    return [
        "Faults that can be put into this plant: the list at the left, the chosen one at the right, what is in now below it. A fault changes the plant, never a reading: what follows is computed.",
        "/ searches, up and down choose, tab goes to severity, place and onset, left and right change them; enter puts it in, del takes it out, ctrl+z undoes, o reads all about it.",
        "The line 'on a real rig' says whether it may be staged outside this program. Ctrl+l hides the board.",
    ]


def pair_lines(scene: Scene) -> Lines:
    """Bench and copy."""
    return [
        "The bench and a copy of it on one clock: each reading of both, and how far they are apart. f makes the copy and ends it, F says on which of the two your hand works. A plant that was put by (B) keeps its own clock; the heading then shows both. Below, one reading of both over time, on one axis; n goes to the next reading, m looks further back.",
        "Try on the copy what you would not try on the bench. A real plant has no copy.",
    ]


def senses_lines(scene: Scene) -> Lines:
    """Look, listen, touch."""
    return [
        "What eye and ear find, place by place along the refrigerant's way: wet, frosted, clear or bubbling, humming, hissing. What it means is for you to say.",
        "Up, down, tab or a click go from place to place; enter touches: cautions and the strap-on thermometer come first. A bare hand is drawn back from what it cannot bear.",
    ]


def working_lines(scene: Scene) -> Lines:
    """Readings and working."""
    cover = " In an assessed session a result stays covered until there is one of yours; the first one stands." if scene.own_work else ""  # fmt: skip
    return [
        "One set of readings, held, and what is worked out from it line by line: the formula, the numbers put in, the result with its tolerance, the instruments behind it. Only what instruments show goes in.",
        f"Up and down or a click choose a line; enter takes a result of your own for a covered one and says how far it is off (Z covers them). Esc takes the readings of now, n goes through the sets recorded with R.{cover}",
        "A line without a result says why. What no instrument of this plant gives stands at the end.",
    ]


def projector_lines(scene: Scene) -> Lines:
    """The projector's page."""
    return [
        "Five readings in large digits for a room full of people, with an arrow and a word for rising, falling or steady. C chooses which; the choice is kept.",
        "It shows what the instruments show, in the instructor's view too.",
    ]


VIEW_LINES: Mapping[View, Callable[[Scene], Lines]] = {
    View.PLANT: plant_lines,
    View.CHART: chart_lines,
    View.TREND: trend_lines,
    View.METERS: meter_lines,
    View.TABLE: table_lines,
    View.LOG: log_lines,
    View.WIRING: wiring_lines,
    View.BOARD: board_lines,
    View.PAIR: pair_lines,
    View.SENSES: senses_lines,
    View.WORKING: working_lines,
    View.PROJECTOR: projector_lines,
}
SHOWS_PARTS = (View.PLANT, View.WIRING)
"""Views in which one sees which part is selected."""
