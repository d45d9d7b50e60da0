"""Every command once: its name, how it is typed, what it does. Help and the loop are made from this table."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from sim.errors import UsageError
from sim.record import did_you_mean
from tui.glossary import called
from tui.plain import acting, beginning, faulting, looking, measuring, parts, terms, waiting
from tui.plain.talk import Talk
from tui.plain.voice import NO, YES

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
    if not typed:
        talk.voice.say("Commands:")
        for word in WORDS.values():
            if talk.scene.instructor or not word.instructor:
                talk.voice.say(f"{word.form}: {word.help}")
        talk.voice.say("Type help and a command to hear more about it, part and a tag about a part, glossary and a word about a word.")  # fmt: skip
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
         "wait 60 is a minute; wait 5 min and wait 1 h work too. wait until steady, wait until PI-1 below 0.5 bar, wait until superheat above 5 K: at most an hour, or say, for example, at most 10 min. What happens meanwhile is told. wait until ends at a trip. Ctrl-C ends a wait."),
    Word("parts", "parts, or parts GROUP", "what there is: valves, switches, controls, instruments, wiring.", parts.parts),
    Word("part", "part TAG", "what a part is, how it stands, its cautions, what a technician would check.", parts.part),
    Word("settings", "settings", "how everything stands that a hand can move.", parts.settings),
    Word("status", "status", "where the bench stands, as at the beginning.", lambda talk, typed: talk.voice.say_all(beginning.how_it_stands(talk))),
    Word("events", "events, or events NUMBER", "what has happened; events all for everything.", looking.events),
    Word("measure", "measure MODE TERMINAL TERMINAL", "put the hand meter at the wiring.", measuring.measure,
         "measure volts K1.A1 K1.A2; measure amps around W56; measure watts L.1 N.1 around W56; also ohms, continuity, farads, dc-volts, volts-low-impedance and power-factor. The names of leads are under parts wiring."),
    Word("glossary", "glossary, or glossary TERM", "what a word of the trade means, and what the bench shows of it.", terms.terms,
         "glossary superheat, glossary start relay. glossary alone lists all terms; a word that is no term finds those that speak of it."),
    Word("cautions", "cautions", "every caution: what holds on real plant.", looking.cautions),
    Word("units", "units si, or units us", "which units are read; both in order, as in units us si, reads both.", looking.units),
    Word("view", "view learner, or view instructor", "what the instruments show, or the truth beside it.", looking.view),
    Word("begin", "begin, or begin DEVICE", "begin again cold, lined up for a metering device: thermostatic, capillary, hand or float.", beginning.begin),
    Word("steady", "steady DEVICE", "begin again on a bench that runs steadily.", beginning.steady),
    Word("note", "note TEXT", "put a line of your own among the events.", beginning.note),
    Word("repair", "repair PART", "mend what was damaged on a part.", acting.repair),
    Word("save", "save FILE", "write the bench to a file.", beginning.save),
    Word("load", "load FILE", "open a bench from a file.", beginning.load),
    Word("faults", "faults, or faults WORD", "the faults in the bench, and all names.", faulting.faults, instructor=True),
    Word("fault", "fault NAME SEVERITY", "put a fault in; severity goes from 0 to 1.", faulting.fault, "fault condenser-fouled 0.6. A place may follow: fault NAME 1 at PLACE.", True),
    Word("remove", "remove NAME", "take a fault out.", faulting.remove, instructor=True),
    Word("help", "help, or help COMMAND", "this list, or more about one command or one word of the trade.", help_with),
    Word("quit", "quit", "leave the bench.", beginning.leave),
)  # fmt: skip
WORDS = {word.name: word for word in _WORDS}
OTHER_NAMES = {"close": "shut", "exit": "quit", "leave": "quit", "bye": "quit", "reset": "press", "?": "help", "caution": "cautions", "event": "events", "setting": "settings", "unit": "units", "term": "glossary", "terms": "glossary", "where": "status", "turn": "set"}  # fmt: skip
"""What a person may type instead."""


def find(typed: str) -> Word:
    """The command of that name. Raises UsageError with the nearest."""
    name = typed.lower().rstrip(":.")
    name = OTHER_NAMES.get(name, name)
    if name in WORDS:
        return WORDS[name]
    if name in (*YES, *NO):
        raise UsageError(f"Nothing was asked, so {typed} does nothing.")
    near = did_you_mean(name, [*WORDS, *OTHER_NAMES], most=0)
    hint = near if near.startswith("Did") else "Type help for all commands."
    raise UsageError(f"There is no command {typed}. {hint}")


def carry_out(talk: Talk, line: str) -> None:
    """One typed line; an empty one and a line that begins with # are passed over."""
    if not line or line.startswith("#"):
        return
    name, _, rest = line.partition(" ")
    find(name).work(talk, rest.strip())
