"""What `?` (F1 where words are typed) says in each dialog: a line or two on the question, then how its kind of dialog is worked."""

from __future__ import annotations

from collections.abc import Mapping

CHOOSE_HOW = (
    "Up and down choose, enter takes, a click takes; page up and page down scroll the text."
)
NUMBER_HOW = "Type a number in the unit that stands there; a decimal point or comma both hold. Enter takes it; outside the limits it is not taken, and says so."
TEXT_HOW = (
    "Type, enter takes it. In this field ? is a character like any other: F1 opens this page."
)
TICK_HOW = "Space or enter ticks, ctrl+s or the button takes what is ticked."
SETTINGS_HOW = "Enter or a click: the next value, at once and for good."
LEAVE_HOW = "Escape leaves and changes nothing. ! presses the emergency stop, here too."

TOPICS: Mapping[str, str] = {
    "": "The program asks before it goes on.",
    "first": "These cautions come before anything else. Both answers are safe: the first opens the bench, the second leaves the program. Key c shows all cautions at any time.",
    "before": "What you are about to do can hurt people or break something on a real plant, so it is asked about first. The first answer leaves everything as it is. Looking ahead lets a copy of the bench try it and lists what would happen; the bench itself stays as it is.",
    "card": "The card of a part: how it stands, what a technician would check, its cautions, and below what can be set. A setting takes effect at once.",
    "choices": "Another position for this setting. It takes effect at once.",
    "number": "A new value for this setting. It takes effect at once; what a hand does on a real plant takes longer.",
    "begin": "Begin again gives up what runs now. Cold: everything off, both pressures equal. Running steady: the program first computes until nothing changes any more, on the metering device that you choose.",
    "failure": "The plant could not be computed any further. That is the program's limit and no fault of yours; what the program says helps whoever mends it. Begin again opens a cold bench.",
    "until": "The plant runs as fast as allowed until what you choose happens, and is held then. Anything that trips ends the waiting too. Space holds at once. Steady means still enough to read and compare; while metal warms, superheat drifts on for up to an hour, and the reason of holding says so.",
    "reading": "Choose the reading that is to cross a value; the value is asked for next.",
    "crossing": "The plant is held when the reading passes this value, from above or from below.",
    "back": "Choose a moment; everything that came after it is forgotten, and the bench is held there. A real plant has no way back.",
    "note": "A line of your own, kept with the plant's time. L shows all notes, the report prints them.",
    "save": "Where to save the bench. Its notes go into a file beside it, and rimebench --load FILE opens both. A file that is there already is replaced only after a second enter.",
    "export": "Something to keep or to print: choose what, then where to. The report is one HTML file with readings, chart, notes and cautions.",
    "file": "The file's name, in the folder from which you started or with a path before it. A file that is there already is replaced only after a second enter.",
    "left": "An earlier session ended without leaving by q. Going on opens its bench with its notes; 'not now' keeps it for the next start.",
    "leave": "Leaving ends the session: bench, trend and log are gone unless the bench was saved (w) or exported (E). On a real plant one stops the compressor, then the fans, before one goes.",
    "put by": "A plant put by stands still under its name until the session ends. One can run beside the bench, to compare, or become the bench; the bench of then is put by in its turn, and the record says so.",
    "own result": "Your own result, in the unit that stands there, or none where the line has no result. The first one stands.",
    "pin": "The PIN only hides the fault board from somebody who passes by. It is no lock.",
    "touch": "A hand comes after the thermometer. What is too hot or too cold is drawn back from, and goes on record.",
    "projector": "Which readings stand on the wall, from the top down. The choice is kept.",
    "trend": "Which readings stand together in one chart. Different units get axes of their own.",
    "glossary": "Words of the trade in plain words. Letters filter the list, up and down choose, enter or tab goes to the related terms and enter follows one; page up and page down scroll. / goes back to the search.",
    "settings": "What holds from now on, and at the next start. Keys u, t, Y and y change units, colours, what the pipes' colours say, and characters for this session only.",
}
"""Topic of a dialog -> what it is about."""

SETTINGS: Mapping[str, str] = {
    "units.system": "SI (bar, °C), US (psi, °F), or as the rig has them.",
    "units.beside": "Whether the other system's number stands in brackets beside.",
    "units.pressure": "A unit of its own for pressures; gauge, unless 'abs' stands there.",
    "units.temperature": "A unit of its own for temperatures.",
    "units.mass": "A unit of its own for the charge.",
    "units.flow": "A unit of its own for the refrigerant's flow.",
    "units.power": "A unit of its own for heat. Electrical power stays in watts.",
    "units.decimal_comma": "1,5 instead of 1.5.",
    "screen.theme": "Dark, light, high contrast, or no colour.",
    "screen.pipes": "What a pipe's colour says: how warm it is, or whether it stands on the high or the low side.",
    "screen.characters": "Full set; without braille dots for terminals that lack them; plain ASCII.",
    "screen.frames_per_s": "How often the screen is painted. Fewer suit a slow connection.",
    "screen.reduced_motion": "Flow marks stand still and nothing slides.",
    "screen.tour": "Whether the tour of six steps is offered at a start. H begins it at any time.",
}
"""Setting -> what it does."""


def about(topic: str, how: str) -> list[str]:
    """The help of a dialog."""
    return [TOPICS[topic], how, LEAVE_HOW]
