"""Every command once: its name, how it is typed, what it does. Help and the loop are made from this table."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from sim.errors import UsageError
from sim.record import did_you_mean
from tui.glossary import called
from tui.goal import STEADY_MEANS
from tui.plain import (
    acting,
    beginning,
    charts,
    copies,
    counterparts,
    faulting,
    guiding,
    lesson,
    looking,
    measuring,
    moments,
    notes,
    own_units,
    parts,
    reckoning,
    sensing,
    terms,
    waiting,
)
from tui.plain.aloud import capital
from tui.plain.naming import look_at, spelled
from tui.plain.talk import Talk
from tui.plain.voice import NO, YES
from tui.words import listed

Work = Callable[[Talk, str], None]


class Word(NamedTuple):
    """One command."""

    name: str
    form: str
    help: str
    work: Work
    more: str = ""
    """What ``help NAME`` adds."""
    instructor: bool = False


def help_with(talk: Talk, typed: str) -> None:
    """``help``, or ``help set``."""
    heard = {name: word for name, word in WORDS.items() if talk.scene.instructor or not word.instructor}  # fmt: skip
    if typed.lower() == "all":
        talk.voice.say_all(f"{word.form}: {word.help}" for word in heard.values())
        return
    if not typed:
        for group, names in GROUPS.items():
            said = [name for name in names if name in heard]
            talk.voice.say_all([f"{group}: {listed(said)}."] if said else [])
        talk.voice.say("Type help and a command to hear more about it, help all for every command in a sentence, part and a tag about a part, glossary and a word about a word, help screen for what is a key on the screen.")  # fmt: skip
        return
    if typed.lower() == "screen":
        talk.voice.say_all(map(capital, counterparts.lines()))
        return
    term = called(typed)
    if term is not None and typed.split()[0].lower() not in (*WORDS, *OTHER_NAMES):
        terms.say_term(talk, term)
        return
    word = find(typed.split()[0])
    talk.voice.say(f"{word.form}: {word.help}")
    if word.more:
        talk.voice.say(word.more)


_WORDS = (
    Word("read", "read NAME", "what an instrument shows, or what follows from several; read all for everything.", looking.read,
         "Names are tags such as PI-1, or words such as superheat, subcooling, suction, evaporating. Several names stand with commas between them."),
    Word("set", "set TAG VALUE", "move a valve, a switch or a set point.", acting.set_tag,
         "Valves: set HCV-22 35%, set HCV-22 0.35, set HV-21 open. Switches: set HS-2 low. Set points: set PSL-1.set 0.5 bar. Spring: set TCV-23.spring 3, in quarter turns. Where a caution belongs to the act it is read out first and waits for yes."),
    Word("open", "open VALVE", "open a valve fully.", acting.open_valve),
    Word("shut", "shut VALVE", "shut a valve.", acting.shut_valve),
    Word("press", "press BUTTON", "press a button once, such as PSHH-1.reset.", acting.press),
    Word("stop", "stop", "press the emergency stop HS-0. It never asks.", acting.stop),
    Word("wait", "wait TIME, or wait until WHAT", "let time pass on the bench, as fast as it can be computed.", waiting.wait,
         "wait 60 is a minute; wait 5 min and wait 1 h work too. wait until steady, wait until PI-1 below 0.5 bar, wait until superheat above 5 K: at most an hour, or say, for example, at most 10 min. Steady means " + STEADY_MEANS + "; metal may warm, and superheat drift, for an hour more. What happens meanwhile is told. wait until ends at a trip. Ctrl-C ends a wait."),
    Word("look", "look, or look PLACE", "what is seen: dew, frost, fans, glasses, and the air behind a coil; a place by its name or a tag.", sensing.look,
         "look alone goes along the refrigerant's way; look receiver, or look TI-4, stays at one place. What a hand has found there is said too."),
    Word("listen", "listen, or listen PLACE", "what is heard: the machine, hums, hisses, clicks.", sensing.listen),
    Word("touch", "touch PLACE", "lay a bare hand on a place, after cautions and thermometer. It goes on record.", sensing.touch,
         "touch receiver. The strap-on thermometer goes first: set TI-10.place receiver, wait 60, read TI-10."),
    Word("parts", "parts, or parts GROUP", "what there is: valves, switches, controls, instruments, wiring.", parts.parts),
    Word("part", "part TAG", "what a part is, how it stands, its cautions, what a technician would check.", parts.part),
    Word("settings", "settings", "how everything stands that a hand can move.", parts.settings),
    Word("status", "status", "where the bench stands, as at the beginning.", lambda talk, typed: talk.voice.say_all(beginning.how_it_stands(talk))),
    Word("events", "events, or events NUMBER", "what has happened; events all for everything.", looking.events),
    Word("working", "working, or working STEP", "hold the readings of now, and hear the calculation from them a step at a time.", reckoning.working,
         "working holds the readings; next reads the first step, and the next one; working superheat goes to a step; working readings, working all; working set 2 works on a set that record took. Formula, numbers, result, where each number comes from, and how far it may be off."),
    Word("next", "next", "the next step of the working.", reckoning.following),
    Word("result", "result NUMBER", "a result of your own for a covered step, or result none; it is laid beside the computed one.", reckoning.result,
         "result 6.5 is for the step that was read last; result compression ratio 4.2 names it. The first one stands, and goes into the notebook."),
    Word("cover", "cover, or cover off", "keep the results of the working back until you have yours.", reckoning.cover),
    Word("record", "record", "take a reading set: all that the instruments show now.", notes.record),
    Word("notebook", "notebook, or notebook NUMBER", "notes, reading sets and own results; a set beside the one before.", notes.notebook),
    Word("trend", "trend NAME, or trend NAME over TIME", "how a reading has gone: six moments, the lowest and the highest.", charts.trend, "trend PI-1; trend superheat over 30 min. Ten minutes when nobody says."),
    Word("peaks", "peaks, or peaks new", "the largest readings of the panel meters and of the hand meter; new holds them from now on.", measuring.peaks,
         "The panel keeps them step by step, so that the current of a start is among them. The hand meter is looked at every fiftieth of a second of the bench's time while its peak is held, so that a long wait takes longer; peaks off ends that. Another place of the meter begins a new peak."),
    Word("saturation", "saturation, or saturation VALUE", "the refrigerant's card of pressures and temperatures; with a value the rows on either side.", charts.saturation, "saturation 1.2 bar, saturation 5 C."),
    Word("measure", "measure MODE TERMINAL TERMINAL", "put the hand meter at the wiring.", measuring.measure,
         "measure volts K1.A1 K1.A2; measure amps around W56; measure watts L.1 N.1 around W56; also ohms, continuity, farads, dc-volts, volts-low-impedance and power-factor. The names of leads are under parts wiring. The leads are zeroed. measure again repeats the last one; measure record puts it on record."),
    Word("glossary", "glossary, or glossary TERM", "what a word of the trade means, and what the bench shows of it.", terms.terms,
         "glossary superheat, glossary start relay. glossary alone lists all terms; a word that is no term finds those that speak of it."),
    Word("cautions", "cautions", "every caution: what holds on real plant.", looking.cautions),
    Word("units", "units, units si, or units us", "which units are read; both in order, as in units us si, reads both.", own_units.units, own_units.HOW),
    Word("view", "view learner, or view instructor", "what the instruments show, or the truth beside it.", looking.view),
    Word("begin", "begin, or begin DEVICE", "begin again cold, lined up for a metering device: thermostatic, capillary, hand or float.", beginning.begin),
    Word("steady", "steady DEVICE", "begin again on a bench that runs steadily.", beginning.steady),
    Word("back", "back TIME, or back to TIME", "go back to an earlier moment and go on from there; a real plant has no way back.", moments.back, "back 5 min; back to 20 min; back to beginning."),
    Word("ahead", "ahead", "let a copy of the bench run ten minutes ahead: what it trips and passes.", moments.ahead),
    Word("keep", "keep, or keep NAME", "put the plant by under a name, or list those put by.", moments.keep),
    Word("resume", "resume NAME", "go on with a plant that was put by.", moments.resume),
    Word("copy", "copy, or copy COMMAND", "make a copy of the bench that runs beside it on the same clock; with a command behind it: have that done on the copy.", lambda talk, typed: copies.copy(talk, typed, carry_out),
         "copy; copy set HCV-22 20%; wait 5 min; compare. copy read PI-1 and copy events tell of the copy alone; copy end ends it. The bench itself is not touched."),
    Word("compare", "compare, or compare all", "where bench and copy stand apart, and what has happened on the copy only.", copies.compare),
    Word("note", "note TEXT", "put a line of your own among the events and in the notebook.", notes.note),
    Word("repair", "repair PART", "mend what was damaged on a part.", acting.repair),
    Word("save", "save FILE", "write the bench to a file, and notes and reading sets to one beside it.", notes.save),
    Word("load", "load FILE", "open a bench from a file.", beginning.load),
    Word("export", "export KIND FILE", "write a report, csv, chart or trend to a file.", notes.export, "export report monday.html is one page to read and print, with readings, notes and events as text; export csv monday.csv is the session's log. chart and trend are pictures, for others."),
    Word("tour", "tour", "a tour of six short steps on the bench as it stands; typed again it says the present step again.", guiding.tour),
    Word("lesson", "lesson, or lesson heating", "a first lesson in eight steps: start, run, turn the needle, go over to the capillary, stop; and one in heating with coil B, and back.", lesson.lesson),
    Word("skip", "skip", "the next step of tour or lesson.", guiding.skip),
    Word("end", "end", "leave tour or lesson.", guiding.end),
    Word("faults", "faults, or faults WORD", "the faults in the bench, and all names.", faulting.faults, instructor=True),
    Word("fault", "fault NAME SEVERITY", "put a fault in; severity goes from 0 to 1.", faulting.fault, "fault condenser-fouled 0.6. fault NAME 1 at PLACE; fault NAME 0.6 over 10 min grows; after 5 min sets in later; every 5 min comes and goes; when a protector trips waits for that.", True),
    Word("remove", "remove NAME", "take a fault out.", faulting.remove, instructor=True),
    Word("help", "help, or help COMMAND", "the commands by what they are for, or more about one of them or about a word of the trade; help all says all.", help_with),
    Word("quit", "quit", "leave the bench.", beginning.leave),
)  # fmt: skip
GROUPS = {
    "To hear where things stand": (
        "status",
        "read",
        "settings",
        "parts",
        "part",
        "events",
        "trend",
        "peaks",
    ),
    "To go round the plant": ("look", "listen", "touch", "measure"),
    "To move something": ("set", "open", "shut", "press", "stop", "repair"),
    "To let time pass": ("wait",),
    "To work something out": ("working", "next", "result", "cover", "saturation"),
    "To write down": ("note", "record", "notebook", "save", "load", "export"),
    "To begin again, or at another moment": ("begin", "steady", "back", "ahead", "keep", "resume"),
    "To try something on a copy": ("copy", "compare"),
    "To learn": ("tour", "lesson", "skip", "end", "glossary", "cautions", "help"),
    "For the instructor": ("faults", "fault", "remove"),
    "Besides": ("units", "view", "quit"),
}
"""The commands by what they are for, short enough to be listened to."""
WORDS = {word.name: word for word in _WORDS}
OTHER_NAMES = {"close": "shut", "exit": "quit", "leave": "quit", "bye": "quit", "reset": "press", "?": "help", "caution": "cautions", "event": "events", "setting": "settings", "unit": "units", "term": "glossary", "terms": "glossary", "where": "status", "turn": "set", "feel": "touch", "see": "look", "hear": "listen", "readings": "working", "undo": "back", "notes": "notebook", "card": "saturation", "write": "save", "switch": "set", "put": "set", "move": "set", "show": "read", "tell": "read", "what": "glossary"}  # fmt: skip
"""What a person may type instead."""


AS_TYPED = ("note", "copy", "save", "load", "export", "keep", "resume", "measure")
"""What stands behind these is taken letter by letter."""
DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)")
INSTEAD = {
    ("start", "run", "go", "how"): "Type lesson to be led through a first start, tour to be shown round, or help.",
    ("hold", "pause", "pace", "faster", "slower", "step"): "Time stands still while you type. Type wait 1, wait 10 min, or wait until steady.",
    ("hello", "hi"): "Type status to hear how the bench stands, or tour to be shown round.",
    ("fork",): "Type copy for one that runs beside the bench, ahead to hear what a copy does in ten minutes, keep and a name to put the plant by.",
}  # fmt: skip
"""Words that are no command here -> what to type."""


def find(typed: str) -> Word:
    """The command of that name. Raises UsageError with the nearest."""
    name = typed.lower().rstrip(":.,")
    name = OTHER_NAMES.get(name, name)
    if name in WORDS:
        return WORDS[name]
    if name in (*YES, *NO):
        raise UsageError(f"Nothing was asked, so {typed} does nothing.")
    instead = next((hint for words, hint in INSTEAD.items() if name in words), "")
    if instead:
        raise UsageError(f"There is no command {typed}. {instead}")
    near = did_you_mean(name, [*WORDS, *OTHER_NAMES], most=0)
    hint = near if near.startswith("Did") else "Type help for all commands, or begin with: status."
    raise UsageError(f"There is no command {typed}. {hint}")


def carry_out(talk: Talk, line: str) -> bool:
    """One typed line; an empty one and a line that begins with # are passed over, and then this is False."""
    if not line or line.startswith("#"):
        return False
    name, _, rest = line.partition(" ")
    _not_a_name(talk, spelled(talk, line))
    word, rest = find(name), rest.strip()
    if word.name not in AS_TYPED:
        rest = spelled(talk, rest.rstrip(" .?!"))
        rest = DECIMAL_COMMA.sub(".", rest) if talk.scene.units.comma else rest
    talk.line = f"{word.name} {rest}"
    word.work(talk, rest)
    talk.heard += 1
    return True


def _not_a_name(talk: Talk, line: str) -> None:
    """A tag or a reading alone is no command. Raises UsageError with what could be meant."""
    bare = line.lower().rstrip("?.! ")
    tags = {tag.lower(): tag for tag in (*talk.scene.tags, *talk.scene.dials)}
    if bare in tags:
        tag = tags[bare]
        moved = f" set {tag} and where to moves it." if tag in talk.scene.tags else f" read {tag} says what it shows."  # fmt: skip
        raise UsageError(f"{tag} alone is no command. part {tag.partition('.')[0]} says what it is.{moved}")  # fmt: skip
    if bare.partition(" ")[0] in (*WORDS, *OTHER_NAMES):
        return
    hints = [f"read {bare} says what the bench shows." if _readable(talk, bare) else "", f"glossary {bare} says what it means." if called(bare) is not None else ""]  # fmt: skip
    if any(hints):
        raise UsageError(f"{line} alone is no command. {' '.join(filter(None, hints))}")


def _readable(talk: Talk, name: str) -> bool:
    try:
        look_at(talk, name)
    except UsageError:
        return False
    return True
