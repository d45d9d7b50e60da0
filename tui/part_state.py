"""How a part stands that no hand moves and that has no dial: said on its card, from what eye and ear find at it, from the drawing, and from the events so far.

Nothing here that a learner could not see or hear without a meter: a coil that hums is energised, a slide and a float stand where their windows show them, the drawing shows what each cell of a coil
holds and whether refrigerant flows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable

from sim.senses import Sign
from tui.draw.drawing import Drawing
from tui.draw.glyphs import Phase
from tui.draw.lists import clock_words
from tui.draw.pipe_inks import Side, middle_pressure, side_of
from tui.draw.pipes import phase_of
from tui.draw.scene import Scene
from tui.plant import Place
from tui.report import Report
from tui.seen import STILL_KG_S
from tui.senses import NOTHING, found_words
from tui.words import MISSING, listed

HUMS, SLIDE, FLOAT, LIFTED = "coil hums", "slide", "float", "lifted"
SEATED = 0.1
"""Of a travel: so near an end it is called there, as ``tui.senses`` has it for its words."""
PRESSURES = ("suction_pressure_pa", "discharge_pressure_pa")
Said = Callable[[str, Scene, Drawing | None, Report], list[str]]


def state_lines(tag: str, kind: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:  # fmt: skip
    """What its kind has to say, then what eye and ear find at it."""
    if scene.snapshot is None:
        return []
    said = BY_KIND.get(kind)
    lines = said(tag, scene, drawing, about) if said is not None else []
    spot = next((spot for spot in scene.snapshot.senses.spots if spot.place == tag), None)
    found = found_words(spot) if spot is not None else NOTHING
    return lines if found == NOTHING else [*lines, f"Seen and heard at it: {found}."]


def _sign(tag: str, what: str, scene: Scene) -> Sign | None:
    """A sign at the part itself."""
    spots = scene.snapshot.senses.spots if scene.snapshot is not None else ()
    return next((sign for spot in spots if spot.place == tag for sign in spot.signs if sign.what == what), None)  # fmt: skip


def _solenoid(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    if _sign(tag, HUMS, scene) is None:
        return ["Its coil is silent: not energised, so its spring should hold it shut."]
    return ["Its coil hums: energised, so it should stand open."]


def _reversing(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    """The slide's place, the pilot's coil, and whether the one has followed the other: a pilot that is on sends the slide to heating (``sim.parts.reversing_valve``)."""
    slide, pilot = _sign(tag, SLIDE, scene), _sign(tag, HUMS, scene) is not None
    lines = [f"Its pilot's coil {'hums: on, for heating' if pilot else 'is silent: off, for cooling'}."]  # fmt: skip
    if slide is None:
        return lines
    if SEATED < slide.value < 1.0 - SEATED:
        return [*lines, f"Its slide is on its way: {100 * slide.value:.0f} % towards heating."]
    at_heating = slide.value > 0.5
    where = f"Its slide stands on the {'heating' if at_heating else 'cooling'} side."
    waits = " It has not followed its pilot: that takes a difference of pressure, which the running compressor makes."  # fmt: skip
    return [*lines, where + (waits if at_heating != pilot else "")]


def _float(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    """Where the float hangs, and the level that it swims on."""
    lift = _sign(tag, FLOAT, scene)
    if lift is None:
        return []
    needle = "needle open" if lift.value < SEATED else "needle shut" if lift.value > 1.0 - SEATED else "needle part open"  # fmt: skip
    where = "down" if lift.value < SEATED else "up" if lift.value > 1.0 - SEATED else "half way"
    level = scene.words("float_level")
    glass = next((name for name, key in scene.dials.items() if key == "float_level"), "its glass")
    drum = "" if level == MISSING else f"; the drum's level at {glass} is {level}"
    return [f"Its float hangs {where}, {needle}{drum}.", *_flows(tag, scene, drawing, about)]


def _relief(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    """Lifted or seated now, and whether it has lifted before: a seat that has lifted may leak."""
    lifts = [event for event in scene.events if event.tag == tag and event.kind == "lift"]
    before = f" It has lifted {len(lifts)} time{'s' if len(lifts) > 1 else ''}, last at {clock_words(lifts[-1].time_s)}." if lifts else ""  # fmt: skip
    now = "It is lifted: refrigerant blows out." if _sign(tag, LIFTED, scene) is not None else "It is seated: nothing is heard to blow."  # fmt: skip
    return [now + before]


def _flows(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    """Whether the drawing has marks that move through it."""
    passes = abs(scene.flow(tag)) > STILL_KG_S
    return ["Refrigerant flows through it." if passes else "Nothing flows through it."]


def _coil(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    """What its cells hold, as the drawing has them."""
    coil = next((one for one in drawing.coils if one.tag == tag), None) if drawing is not None else None  # fmt: skip
    places = [place for node in coil.nodes if (place := scene.place(node)) is not None] if coil is not None else []  # fmt: skip
    if not places:
        return []
    flows = coil is not None and abs(scene.flow(coil.flow)) > STILL_KG_S
    return [f"Of its {len(places)} cells {listed(_cells(places, scene, flows))}."]


def _cells(places: Iterable[Place], scene: Scene, flows: bool) -> list[str]:
    """So many with this, so many with that."""
    middle, held = middle_pressure(scene), Counter[str]()
    for place in places:
        phase = phase_of(place, "mixed")
        if phase is not Phase.MIXTURE:
            held["gas alone" if phase is Phase.VAPOUR else "liquid alone"] += 1
        elif not flows:
            held["liquid and gas at rest"] += 1
        else:
            held["condensing refrigerant" if side_of(place, middle) is Side.HIGH else "boiling refrigerant"] += 1  # fmt: skip
    return [f"{count} hold{'s' if count == 1 else ''} {what}" for what, count in held.items()]


def _port(tag: str, scene: Scene, drawing: Drawing | None, about: Report) -> list[str]:
    """Its cap, and the gauge on the same pipe."""
    assert scene.snapshot is not None
    pipe = next((spot for spot in scene.snapshot.senses.spots if tag in spot.tags), None)
    gauges = [name for name, key in scene.dials.items() if key in PRESSURES and pipe is not None and name in pipe.tags]  # fmt: skip
    capped = "Its cap is on, and nothing is connected to it."
    if not gauges:
        return [f"{capped} No gauge of the bench hangs on its pipe."]
    shown = scene.words(scene.dials[gauges[0]])
    return [f"{capped} On its pipe hangs {gauges[0]}, which shows {shown}."]


BY_KIND: dict[str, Said] = {
    "solenoid_valve": _solenoid,
    "reversing_valve": _reversing,
    "float_valve": _float,
    "relief_valve": _relief,
    "capillary": _flows,
    "coil": _coil,
    "service_port": _port,
}
"""Kind of part -> how it stands."""
