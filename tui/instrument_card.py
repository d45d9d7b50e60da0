"""What is said of an instrument besides what it shows: its scale, how far it may be off, how late it is, and what it measures when the cycle is reversed."""

from __future__ import annotations

from sim.units import SYMBOLS
from sim.working.scales import Scale
from tui.draw.scene import Scene
from tui.seen import OUTLET, PLACES, STILL_KG_S, against
from tui.words import number_in
from tui.working import difference_words

IN_HEATING = {
    OUTLET: "the pipe at coil B by which the compressor's hot gas goes in",
    "liquid_temperature_k": "the pipe behind the metering device, where liquid and vapour go on cold to coil A",
}
"""In a sentence, where the short name in a table says too little."""
# source: the density of water at 20 degC and 1 atm is 998.2 kg/m3 (IAPWS-95); scales for water are drawn for 998 to 1000
WATER_KG_M3 = (997.0, 1000.5)


def scale_of(tag: str, scene: Scene) -> Scale | None:
    """The scale of an instrument that shows a number."""
    scale = scene.scales.get(scene.dials.get(tag, ""))
    return scale if scale is not None and scale.tag == tag else None


def scale_lines(tag: str, scene: Scene) -> list[str]:
    """Its scale in this person's units; nothing for a glass, which has none."""
    scale = scale_of(tag, scene)
    if scale is None:
        return []
    low, high = (scene.quantity(scale.reading, _si(scale, end, scene.atmosphere_pa)) for end in (scale.low, scale.high))  # fmt: skip
    words = f"Scale: {low} to {high}, in steps of {_apart(scale, scale.step, scene)}"
    off = _apart(scale, scale.class_percent / 100.0 * (scale.high - scale.low), scene)
    late = f" It comes about {scale.lag_s:g} s behind a change."
    lines = [f"{words}; class {scene.units.figure(f'{scale.class_percent:g}')}, that is percent of the whole scale, so it may stand {off} off.{late}"]  # fmt: skip
    if scene.heating and scale.reading in PLACES:
        lines.append(f"It hangs where it hung in cooling. What it measures in heating: {IN_HEATING.get(scale.reading, PLACES[scale.reading])}.")  # fmt: skip
    return [*lines, *_liquid_lines(scale), *_flow_lines(tag, scene)]


def _liquid_lines(scale: Scale) -> list[str]:
    """For which liquid a float's scale is drawn."""
    if not scale.scale_kg_m3:
        return []
    low, high = WATER_KG_M3
    liquid = "water" if low <= scale.scale_kg_m3 <= high else f"a liquid of {scale.scale_kg_m3:g} kg/m³"  # fmt: skip
    return [f"Its scale is drawn for {liquid}: for refrigerant the reading has to be converted, as the working does line by line."]  # fmt: skip


def _flow_lines(tag: str, scene: Scene) -> list[str]:
    """An instrument in a line that says nothing says why, by the way that refrigerant takes now."""
    if tag not in scene.lines or scene.snapshot is None:
        return []
    if against(scene.snapshot, scene.lines[tag]):
        return [f"Refrigerant flows through {tag} the wrong way now, out of the metering devices: its float rests on the stop, and its reading says nothing of the flow."]  # fmt: skip
    return [] if scene.flow(scene.lines[tag]) > STILL_KG_S else [f"Nothing flows through {tag} now."]  # fmt: skip


def _apart(scale: Scale, width: float, scene: Scene) -> str:
    """A stretch of the scale, in the units of the screen."""
    if scale.reading == "flowmeter" or scale.unit == "":
        return scene.units.figure(number_in(scale.reading, width, scene.units.system))
    return difference_words(scale.reading, _si(scale, width) - _si(scale, 0.0), scene.units)


def _si(scale: Scale, dialled: float, atmosphere_pa: float = 0.0) -> float:
    """What a place on a scale stands for; a flowmeter's reading stays in its scale's unit."""
    if scale.reading == "flowmeter" or not scale.unit:
        return dialled
    unit = SYMBOLS[scale.unit]
    return dialled * unit.factor + unit.offset + (atmosphere_pa if unit.gauge else 0.0)
