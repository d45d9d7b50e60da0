"""The six steps of the tour: what each points at, says, asks for, and by what it is judged done. Every number is read off the bench as it stands."""

from __future__ import annotations

import math
from collections.abc import Callable

from tui.desk import RELEASED, own_settings, toggled
from tui.draw.layout import View
from tui.draw.scene import NOMINAL_FLOW_KG_S, Scene
from tui.draw.symbols import STOP_TAG
from tui.plant import Setting
from tui.tour import Harmless, Notes, Pointer, Saying, Sight, Tour
from tui.words import setting_words

VALVES = ("HV-32", "HV-31", "HV-23", "HV-24", "HV-21")
"""On the default rig: the valves whose handle matters least while nothing passes them."""
VALVE_KIND = "hand_valve"
LITTLE_KG_S = 0.03 * NOMINAL_FLOW_KG_S
"""guess: three hundredths of what a bench circulates; a valve that passes no more can be shut for a moment unnoticed."""
EQUAL_PA = 5e4
"""Between both gauges of a plant that has equalised; guess: a step or two of either, and their classes."""
NEAR_K = 2.0
"""A saturation temperature so near the room's is the room's, for instruments of the bench's class; guess: two classes of gauge and thermometer together."""
TO_PLANT = "Press 1 first: this is on the plant."


def tour() -> Tour:
    """A new tour of the six."""
    return Tour(
        (
            ("choosing a part", choosing),
            ("a valve", valve),
            ("time", time),
            ("a pressure gauge", gauge),
            ("the emergency stop", stop),
            ("help", help_key),
        ),
        chosen_valve,
    )


def chosen_valve(sight: Sight) -> str:
    """The valve of the tour among those on the drawing; '' when there is none."""
    drawing = sight.drawing
    return harmless_valve(sight.scene, sight.harmless, lambda tag: drawing is not None and drawing.symbol(tag) is not None)  # fmt: skip


def harmless_valve(scene: Scene, harmless: Harmless, there: Callable[[str], bool]) -> str:
    """A hand valve that can be turned and turned back without harm as the bench stands: an open one that hardly anything passes, or a shut one on a plant that stands still and equalised, and no caution belongs to either act. '' when there is none."""
    valves = [tag for tag, info in scene.tags.items() if info.kind == VALVE_KIND]
    first = [tag for tag in VALVES if tag in valves]
    wide = [tag for tag in valves if scene.setting(tag) == 1.0]
    order = [*(tag for tag in first if tag in wide), *first, *wide]
    for tag in dict.fromkeys(order):
        if there(tag) and _quiet(scene, tag) and _both_ways(scene, harmless, tag):
            return tag
    return ""


def _quiet(scene: Scene, tag: str) -> bool:
    if scene.setting(tag) == 1.0:
        return abs(scene.flow(tag)) < LITTLE_KG_S
    apart = abs(scene.number("suction_pressure_pa") - scene.number("discharge_pressure_pa"))
    return scene.snapshot is not None and not scene.snapshot.running and apart < EQUAL_PA


def _both_ways(scene: Scene, harmless: Harmless, tag: str) -> bool:
    now = scene.setting(tag)
    other = toggled(scene.tags[tag], now)
    return now in (0.0, 1.0) and other is not None and harmless(tag, other) and harmless(tag, now)


def _elsewhere(sight: Sight) -> bool:
    return sight.view is not View.PLANT


def _to_choose(sight: Sight, tag: str, words: str) -> tuple[str, str]:
    """What to do to choose a part, and the command that begins it."""
    letter = sight.scene.letters.get(tag, "")
    if letter:
        return f"Type {' '.join(letter)}: that is {tag}.", ""
    return (TO_PLANT, "view_plant") if _elsewhere(sight) else (words, "jump")


def choosing(sight: Sight, notes: Notes, part: str) -> Saying:
    """Select a part by its letters, or in any other way."""
    target = part or STOP_TAG
    notes.flags |= {"seen elsewhere"} if sight.selected != target else set()
    notes.flags |= {"letters"} if sight.letters else set()
    name = f"{target} ({sight.scene.tags[target].what})" if target in sight.scene.tags else target
    words = "Whatever a hand can move has a tag on the drawing. First choose a part, then work it. The chosen one is marked; its name and state stand on the plant's lower edge."  # fmt: skip
    do, command = _to_choose(sight, target, f"Choose {name}: click it, or press g and type the letters that stand at it. Arrows do as well.")  # fmt: skip
    chosen = sight.selected == target and not sight.letters and bool(notes.flags)
    return Saying(words, do, Pointer((target,)), f"{target} is chosen." if chosen else "", command)


def valve(sight: Sight, notes: Notes, part: str) -> Saying:
    """Turn a valve over and back."""
    scene = sight.scene
    if part not in scene.tags:
        return Saying("Enter works the chosen part: it opens or shuts a valve, turns a switch, or asks. No valve can be turned harmlessly as the bench stands now.", "Skip this step.", Pointer())  # fmt: skip
    now = scene.setting(part)
    first = notes.at_first.setdefault(part, now)
    if now != first:
        notes.flags.add("turned")
    words = f"Enter works the chosen part. {valve_words(scene, part, first)}"
    over = toggled(scene.tags[part], now)
    other = setting_words(scene.tags[part], part, over, scene.units)
    back = " again, as it was" if "turned" in notes.flags else ""
    do, command = f"Press enter: {part} goes to {other}{back}.", "act"
    if over is None:
        do = f"{part} stands in between now. Press enter and choose how it was: {setting_words(scene.tags[part], part, first, scene.units)}."  # fmt: skip
    if sight.selected != part:
        do, command = _to_choose(sight, part, f"Choose {part} (g, or a click), then press enter.")
    elif _elsewhere(sight):
        do, command = TO_PLANT, "view_plant"
    done = "turned" in notes.flags and now == first
    return Saying(words, do, Pointer((part,)), f"{part} was turned over and is {scene.setting_words(part)} again." if done else "", command)  # fmt: skip


def valve_words(scene: Scene, part: str, first: Setting | None) -> str:
    """How a valve's handle lies, and why it may be turned; ``first`` is how it stood when the step began."""
    why = "Hardly anything passes it at the moment" if first == 1.0 else "The plant stands still and both gauges show about the same"  # fmt: skip
    return f"{part} is {scene.setting_words(part)}: its handle lies {_handle(scene.setting(part))}. {why}, so that turning it over and back does no harm."  # fmt: skip


def _handle(now: Setting | None) -> str:
    return "along the pipe" if now == 1.0 else "across the pipe" if now == 0.0 else "in between"


def time(sight: Sight, notes: Notes, part: str) -> Saying:
    """Hold, go on, change the pace."""
    if not notes.paces or notes.paces[-1] != sight.pace:
        notes.paces.append(sight.pace)
    paces = notes.paces
    held = paces.index(0) if 0 in paces else None
    after = [pace for pace in paces[held + 1 :] if pace] if held is not None else []
    words = "At the left of the top line stand the pace and the plant's clock. Held, the plant stands still and you can look at it in peace; at pace 10 ten of its seconds pass in one of yours."  # fmt: skip
    if held is None:
        do, command = "Press space to hold the plant.", "hold"
    elif not after:
        do, command = "It is held. Press space once more: it goes on.", "hold"
    else:
        command = "faster"
        do = f"It runs at pace {sight.pace}. Press . for a faster pace, or , for a slower one."
    done = len(set(after)) > 1
    return Saying(words, do, Pointer(top=True, command=command), f"the plant was held, and runs at pace {sight.pace} now." if done else "", command)  # fmt: skip


def gauge(sight: Sight, notes: Notes, part: str) -> Saying:
    """Read the suction gauge and what its temperature means; go there and back."""
    if sight.view is View.METERS:
        notes.flags.add("was there")
        return Saying(gauge_words(sight.scene), f"Read both numbers off {_suction(sight.scene)}. When you have them, press 1: back to the plant.", Pointer(pane="dial"), command="view_plant")  # fmt: skip
    words = "Keys 1 to 9 fill the screen with a view. View 4 has both pressure gauges. A refrigeration gauge also says at which temperature the refrigerant boils at the pressure that it shows."  # fmt: skip
    if "was there" in notes.flags:
        done = f"{_suction(sight.scene)} shows {sight.scene.words('suction_pressure_pa')}, and that is {sight.scene.words('suction_saturation_temperature_k')} for {_fluid(sight.scene)}." if sight.view is View.PLANT else ""  # fmt: skip
        return Saying(words, "Press 1: back to the plant.", Pointer(), done, "view_plant")
    return Saying(words, "Press 4.", Pointer(), command="view_meters")


def _suction(scene: Scene) -> str:
    return scene.dial("suction_pressure_pa", "the suction gauge")


def _fluid(scene: Scene) -> str:
    return scene.fluid.name if scene.fluid is not None else "the refrigerant"


def gauge_words(scene: Scene) -> str:
    """What the suction gauge shows now, and what that says."""
    fluid = _fluid(scene)
    pressure, boils = scene.words("suction_pressure_pa"), scene.words("suction_saturation_temperature_k")  # fmt: skip
    words = f"{_suction(scene)} shows {pressure}. The {boils} at the name {fluid} (a large dial has a ring of them) is the temperature at which {fluid} boils at that pressure."  # fmt: skip
    return f"{words} {boiling_words(scene)}"


def boiling_words(scene: Scene) -> str:
    """What the suction gauge's temperature is at this moment, beside the room's."""
    fluid = _fluid(scene)
    running = scene.snapshot is not None and scene.snapshot.running
    apart = abs(scene.number("suction_saturation_temperature_k") - scene.number("room_temperature_k"))  # fmt: skip
    room = scene.words("room_temperature_k")
    if running:
        return f"The compressor runs: in the evaporator {fluid} boils at about that temperature."
    if math.isfinite(apart) and apart < NEAR_K:
        return f"The room has {room}: a plant that has stood for long is at the room's saturation pressure."
    return f"The room has {room}."


def stop(sight: Sight, notes: Notes, part: str) -> Saying:
    """Press the emergency stop and release it; on a running plant only find it."""
    scene = sight.scene
    if STOP_TAG not in scene.tags:
        return Saying("This rig has no emergency stop with a tag of its own.", "Skip this step.", Pointer())  # fmt: skip
    pressed = scene.setting(STOP_TAG) not in RELEASED
    words = f"Key 0, or !, presses the red button {STOP_TAG} at once and never asks, from every view; ! also from every dialog. It stays in until somebody releases it."  # fmt: skip
    running = scene.snapshot is not None and scene.snapshot.running
    pointer = Pointer((STOP_TAG,), command="emergency_stop")
    if pressed:
        notes.flags.add("pressed")
        return Saying(words, *_release(sight, pointer))
    if "pressed" in notes.flags:
        return Saying(words, "", pointer, f"{STOP_TAG} was pressed and is released again.")
    if running:
        do, command = _to_choose(sight, STOP_TAG, f"The plant runs, so leave the button alone this time. Only find it: choose {STOP_TAG} (g, or a click).")  # fmt: skip
        found = f"that is {STOP_TAG}. Key 0 or ! presses it from anywhere." if sight.selected == STOP_TAG else ""  # fmt: skip
        return Saying(words, do, pointer, found, command)
    return Saying(
        words, "The compressor stands still, so try it: press 0.", pointer, command="emergency_stop"
    )


def _release(sight: Sight, pointer: Pointer) -> tuple[str, Pointer, str, str]:
    """How to release it here: nothing may start by that."""
    if _elsewhere(sight):
        return f"{STOP_TAG} is pressed. {TO_PLANT}", pointer, "", "view_plant"
    on = [tag for tag in sight.starters if sight.scene.setting(tag) == "on"]
    if on:
        return f"{STOP_TAG} is pressed. First switch {on[0]} off, or the compressor may start as you release; then choose {STOP_TAG} (g, or a click) and press enter.", pointer, "", "jump"  # fmt: skip
    if sight.selected == STOP_TAG:
        return f"{STOP_TAG} is pressed, and the top line says so. Now find the cause; here it was you. Press enter: released.", pointer, "", "act"  # fmt: skip
    do, command = _to_choose(sight, STOP_TAG, f"To release it, choose {STOP_TAG} (g, or a click) and press enter.")  # fmt: skip
    chosen = f" Chosen is still {sight.selected}, and enter would work that." if sight.selected in sight.scene.tags else ""  # fmt: skip
    return f"{STOP_TAG} is pressed, and the top line says so.{chosen} {do}", pointer, "", command


def help_key(sight: Sight, notes: Notes, part: str) -> Saying:
    """Open the help, and come back."""
    notes.flags |= {"helped"} if sight.helping else set()
    back = "helped" in notes.flags and not sight.helping
    there = f"{sight.selected} is chosen" if own_settings(sight.selected, sight.scene.tags) else "a part is chosen"  # fmt: skip
    words = f"? says what you stand at: the chosen part, the view, a dialog. From there it leads to all keys and to the glossary. Just now {there}."  # fmt: skip
    return Saying(words, "Press ?, read, and close it with esc.", Pointer(command="help"), "you know where help is." if back else "", "help")  # fmt: skip
