"""One set of readings worked out, step by step: each with its result or the reason why it has none, and with the tolerance that the instruments leave it.

The tolerance follows Kline and McClintock (Mechanical Engineering 75, 1953; the method of ASME PTC 19.1): every instrument that a result rests on is moved by its limit of error
up and down, half the differences are added in squares. So what has one instrument in common is counted once, and a result of one instrument has that one's limit.
Constants, tables and the room's pressure count as exact.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property
from math import hypot, isfinite, isnan, nan

from sim.working.formulas import Refrigerant
from sim.working.scales import Scale
from sim.working.steps import GIVENS, STEPS, Step, apply, ground_of

GAS = {
    "outlet_gas_j_kg": ("evaporator_outlet_temperature_k", "evaporating_point_k"),
    "suction_gas_j_kg": ("suction_temperature_k", "evaporating_point_k"),
    "discharge_gas_j_kg": ("discharge_temperature_k", None),
}
"""Enthalpy of gas -> its thermometer and its boiling point."""
SUPERHEATS = ("superheat_at_outlet_k", "superheat_at_compressor_k")
CLOUDED = ("bubbles", "foam", "wet")
STOPPED = "the compressor stands: nothing flows"
OTHER_WAY = "in heating its instrument stands elsewhere in the circuit: coil B is the condenser then, and the liquid's thermometer and the flowmeter stand behind the device"  # fmt: skip
WET = "at or below the boiling point: wet by these readings, and then pressure and temperature do not tell the state"  # fmt: skip
BARELY = "less superheat than these instruments tell from none: the gas may be wet"
FLASHING = "not below the boiling point by these readings: it may be boiling already, or an instrument is out"  # fmt: skip
BUBBLES = "the glass shows {0}: the flowmeter does not measure a mixture"
BEYOND = "beyond the table of the refrigerant"


@dataclass(frozen=True)
class Held:
    """What the instruments showed at one instant. ``shown``: reading -> SI number or a glass's word; the flowmeter in its scale's unit."""

    time_s: float
    shown: Mapping[str, float | str]
    atmosphere_pa: float
    running: bool
    heating: bool


@dataclass(frozen=True)
class Line:
    """A step with its result. ``value`` is nan exactly when ``why`` says why."""

    step: Step
    value: float
    why: str = ""
    note: str = ""
    numbers: tuple[float, ...] = ()
    """Of its inputs."""
    tolerance: float = nan
    """For the class and the steps of the instruments."""
    reading: float = nan
    """The part of it that comes from the scales' steps alone."""


@dataclass
class Sheet:
    """All steps of one set."""

    held: Held
    scales: Mapping[str, Scale]
    fluid: Refrigerant
    _lines: dict[str, Line] = field(default_factory=dict, repr=False)
    _spreads: dict[str, tuple[float, float]] = field(default_factory=dict, repr=False)

    @cached_property
    def given(self) -> dict[str, float]:
        """Readings and constants, in SI; nan where there is none."""
        return {key: self._given(key) for key in GIVENS}

    def _given(self, key: str) -> float:
        held = self.held
        flowmeter = self.scales.get("flowmeter")
        if key == "atmosphere_absolute_pa":
            return held.atmosphere_pa
        if key in ("float_kg_m3", "scale_kg_m3"):
            return float(getattr(flowmeter, key)) if flowmeter is not None else nan
        value = held.shown.get(GIVENS[key].reading, nan)
        if isinstance(value, str):
            return nan
        if key == "flowmeter_m3_s":
            return value / 3.6e6
        return value - held.atmosphere_pa if key.endswith("gauge_pa") else value

    def scale(self, key: str) -> Scale | None:
        """The instrument of a reading among the givens."""
        return self.scales.get(GIVENS[key].reading) if key in GIVENS else None

    def lines(self) -> list[Line]:
        """Every step, in order."""
        return [self.line(key) for key in STEPS]

    def line(self, key: str) -> Line:
        """One step."""
        if key not in self._lines:
            self._lines[key] = self._work(STEPS[key])
        return self._lines[key]

    def number(self, key: str) -> float:
        """A reading, a constant, or a step's result."""
        return self.given[key] if key in GIVENS else self.line(key).value

    def _work(self, step: Step) -> Line:
        why = self._hindered(step)
        if why:
            return Line(step, nan, why)
        numbers = tuple(self.number(name) for name in step.inputs)
        value = apply(step, numbers, self.fluid)
        refused = BEYOND if not isfinite(value) else self._nonsense(step, value)
        if refused:
            return Line(step, nan, refused, numbers=numbers)
        return Line(step, value, "", self._note(step, value), numbers, *self.spread(step.key))

    # Why there is no result.

    def _hindered(self, step: Step) -> str:
        """What speaks against a step before it is worked out."""
        if step.cooling and self.held.heating:
            return OTHER_WAY
        if step.runs and not self.held.running:
            return STOPPED
        glass = self.held.shown.get("sight_glass")
        if step.key == "liquid_m3_s" and glass in CLOUDED:
            return BUBBLES.format(glass)
        return next((why for why in map(self._missing, step.inputs) if why), "")

    def _missing(self, key: str) -> str:
        if key in STEPS:
            return self.line(key).why
        given, scale = GIVENS[key], self.scale(key)
        if isnan(self.given[key]):
            return f"no instrument for it: {given.name}"
        if scale is None:
            return ""
        shown = float(self.held.shown[given.reading])
        return scale.off_scale(shown if key == "flowmeter_m3_s" else scale.dialled(shown, self.held.atmosphere_pa))  # fmt: skip

    def _nonsense(self, step: Step, value: float) -> str:
        """What speaks against a step's result."""
        key = step.key
        if key in SUPERHEATS and value <= 0.0:
            return f"{step.symbol} would be {value:.1f} K; {WET}"
        if key == "subcooling_at_device_k" and value <= 0.0:
            return f"SC would be {value:.1f} K; {FLASHING}"
        if key in GAS and self._above_boiling(key) <= 0.0:
            return WET
        if key == "liquid_j_kg" and not self._liquid():
            return FLASHING
        return ""

    def _above_boiling(self, key: str) -> float:
        thermometer, boiling = GAS[key]
        point = self.number(boiling) if boiling else self.fluid.boiling_k(self.number("discharge_absolute_pa"))  # fmt: skip
        return self.given[thermometer] - point

    def _liquid(self) -> bool:
        """Not further above the bubble point than the instruments can be out."""
        over = self.given["liquid_temperature_k"] - self.number("condensing_point_k")
        return not over > self.spread("subcooling_at_device_k")[0]

    def _note(self, step: Step, value: float) -> str:
        superheated = {"outlet_gas_j_kg": SUPERHEATS[0], "suction_gas_j_kg": SUPERHEATS[1]}.get(step.key, step.key)  # fmt: skip
        if superheated in SUPERHEATS:
            above = value if superheated == step.key else self._above_boiling(step.key)
            if above < self.spread(superheated)[0]:
                return BARELY
        return step.note

    # How sure it is.

    def spread(self, key: str) -> tuple[float, float]:
        """How far a step's result may be off: for class and steps, and for the steps alone; nan where the table ends."""
        if key not in self._spreads:
            whole = steps = 0.0
            for ground in ground_of(key):
                scale = self.scale(ground)
                if scale is not None and scale.doubt > 0.0:
                    by = scale.doubt
                    moved = (self._moved(key, ground, by) - self._moved(key, ground, -by)) / 2.0
                    whole, steps = hypot(whole, moved), hypot(steps, moved * scale.reading_doubt / by)  # fmt: skip
            self._spreads[key] = (whole, steps)
        return self._spreads[key]

    def _moved(self, key: str, ground: str, by: float) -> float:
        """A step's result with one reading moved; no question is asked whether it makes sense."""
        found = {**self.given, ground: self.given[ground] + by}
        for name in _way_to(key):
            step = STEPS[name]
            found[name] = apply(step, tuple(found[one] for one in step.inputs), self.fluid)
        return found[key]


@cache
def _way_to(key: str) -> tuple[str, ...]:
    """The steps that a step needs, and itself, each after what it needs."""
    if key not in STEPS:
        return ()
    return tuple(dict.fromkeys((*(name for one in STEPS[key].inputs for name in _way_to(one)), key)))  # fmt: skip
