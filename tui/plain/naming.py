"""Finding what a person means: tags without regard to case, readings by instrument, by name or by the words of the trade."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.units import split_key
from tui.derived import DERIVED
from tui.draw.lists import WORKED_OUT, table_keys
from tui.draw.scene import Scene
from tui.pieces import reading_of
from tui.plain.aloud import capital
from tui.plain.talk import Talk
from tui.plant import TagInfo
from tui.words import label_of

AT_OUTLET, AT_COMPRESSOR = "gauge_superheat_k", "suction_gauge_superheat_k"


class Look(NamedTuple):
    """Something that can be read: its key, how it is called aloud, and its instrument's record if it hangs on one."""

    key: str
    name: str
    instrument: Any = None


def instruments(talk: Talk) -> dict[str, Look]:
    """Every instrument by its tag."""
    found = {}
    for one in talk.bench.rig.instruments:
        found[one.tag] = Look(
            reading_of(one), f"{capital(one.what.partition(',')[0])} {one.tag}", one
        )
    return found


def readable(scene: Scene) -> dict[str, str]:
    """Every reading that this person may see -> its name aloud: what instruments show, what is worked out from them, for the instructor the truth too."""
    keys = [*table_keys(scene), *(key for _, _, key in WORKED_OUT), *DERIVED]
    return {key: capital(_name(key, scene.heating)) for key in keys}


def _name(key: str, heating: bool = False) -> str:
    if key == AT_OUTLET:
        at = " at the compressor, for coil B condenses now" if heating else ""
        return f"superheat{at}, worked out from gauge and thermometer"
    if key == "gauge_subcooling_k":
        return "subcooling, worked out from gauge and thermometer"
    return label_of(key)


def look_at(talk: Talk, typed: str) -> Look:
    """What ``typed`` names among all that can be read. Raises UsageError, in the learner's view also for what only the instructor sees."""
    dials = instruments(talk)
    text = typed.lower().replace("_", " ").strip()
    by_dial = {
        name.lower(): look for tag, look in dials.items() for name in (look.instrument.what, tag)
    }
    if text in by_dial:
        return by_dial[text]
    allowed = readable(talk.scene)
    by_name = {name.lower(): key for key in allowed for name in (_bare(key), label_of(key), spoken(key), short(key), allowed[key])}  # fmt: skip
    by_name |= {"superheat at compressor": AT_COMPRESSOR, "suction superheat": AT_COMPRESSOR}
    by_key = {key.replace("_", " "): key for key in allowed}
    key = by_name.get(text) or by_key.get(text)
    if key is not None:
        hung = next((look for look in dials.values() if look.key == key), None)
        return hung or Look(talk.scene.superheat if key == AT_OUTLET else key, allowed[key])
    hidden = {way(name) for name in talk.now.readings for way in (_bare, label_of)}
    if (
        text in hidden | {name.replace("_", " ") for name in talk.now.readings}
        and not talk.scene.instructor
    ):
        raise UsageError(f"No instrument here shows {text}. What is true without an instrument stands in the instructor's view only.")  # fmt: skip
    raise UsageError(f"There is nothing to read called {typed}. {did_you_mean(text, [*dials, *by_name], most=8)}")  # fmt: skip


def _bare(key: str) -> str:
    """A reading's name without its unit."""
    return split_key(key.removesuffix("_shown"))[0].replace("_", " ")


def short(key: str) -> str:
    """Its letters, as on a narrow screen: SH, SC."""
    return next((name for _, name, other in WORKED_OUT if other == key), label_of(key))


def spoken(key: str) -> str:
    """A derived quantity's short name."""
    return next((name for name, _, other in WORKED_OUT if other == key), label_of(key))


def tag_of(talk: Talk, typed: str) -> TagInfo:
    """The setting of that tag. Raises UsageError with the nearest one, or with a part's own settings."""
    tags = talk.scene.tags
    folded = {tag.lower(): info for tag, info in tags.items()}
    found = folded.get(typed.lower())
    if found is not None:
        return found
    own = [tag for low, tag in ((name.lower(), name) for name in tags) if low.startswith(f"{typed.lower()}.")]  # fmt: skip
    if own:
        raise UsageError(f"{typed} is set at {' and at '.join(own)}.")
    if any(typed.lower() == tag.lower() for tag in instruments(talk)):
        raise UsageError(f"{typed} is an instrument: it is read, not set.")
    near = did_you_mean(typed, _plain_tags(tags), most=0)
    hint = near if near.startswith("Did") else "Type parts to hear what there is."
    raise UsageError(f"There is nothing called {typed} that a hand can move. {hint}")


def _plain_tags(tags: Any) -> list[str]:
    """Tags to suggest from: without the wiring's many leads."""
    return [tag for tag, info in tags.items() if info.kind != "lead"]


_TAG = re.compile(r"\b([A-Za-z]{2,4})[ -]?(\d{1,2})\b")


def spelled(talk: Talk, typed: str) -> str:
    """Tags as the rig spells them, from what a voice input makes of them: ``HV 12``, ``pi1``."""
    known = {tag.partition(".")[0] for tag in (*talk.scene.tags, *talk.scene.dials)}

    def tag(found: re.Match[str]) -> str:
        name = f"{found[1].upper()}-{found[2]}"
        return name if name in known else found[0]

    return _TAG.sub(tag, typed)
