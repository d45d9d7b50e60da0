"""A round pressure gauge: scale, needle, the saturation temperature of the fluid under it, and where the trip stands. A large one has the fluid's temperatures as an inner ring.

The face (arc, ticks, numbers) is drawn once for a size, a range, a fluid and a system of units; a frame draws the needle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sim.units import STANDARD_ATMOSPHERE_PA, SUFFIXES, Unit, from_si, screen_unit
from tui.draw.canvas import Canvas
from tui.draw.dots import Dots
from tui.draw.ink import BOLD, Ink
from tui.draw.scale import round_step, tick_text
from tui.draw.scene import Scene
from tui.plant import Setting

FIRST_TURN, WHOLE_TURN = 1.25 * math.pi, 1.5 * math.pi
"""The needle starts at half past seven and ends at half past four, as on a round industrial gauge (common practice)."""
LOWEST = 1.72
"""The face reaches from the top of the circle down to its ends, in radii."""
RING, RING_FROM, RING_APART = 0.52, 30.0, 3.4
"""Where the ring of temperatures lies, in radii; the radius in dots from which there is room for one; the least distance of two numbers, in cells."""
RING_C, RING_F = range(-40, 101, 10), range(-40, 221, 10)
ICE_K = 273.15


@dataclass(frozen=True)
class DialSpec:
    """What a dial shows. Limits are gauge pressures over a standard atmosphere, in Pa absolute."""

    side: str
    reading: str
    low_pa: float
    high_pa: float
    ink: int
    mark: str = ""
    """Kind of the control whose set point is marked on the scale."""

    def title(self, scene: Scene) -> str:
        """With the gauge's tag."""
        return f"{self.side} {scene.dial(self.reading)}".rstrip()

    def beside(self, scene: Scene) -> str:
        """The pressure in the other unit as well, where the person wants both; else ''."""
        return "".join(scene.words(self.reading, short=False).partition("(")[1:])

    def marked(self, scene: Scene) -> Setting | None:
        """Where that control is set."""
        tag = next((tag for tag, kind in scene.kinds.items() if kind == self.mark), "")
        return scene.setting(f"{tag}.set")


class Dial:
    """Paints one ``DialSpec``; keeps its face."""

    def __init__(self, spec: DialSpec) -> None:
        self.spec = spec
        self._key: tuple[object, ...] = ()
        self._face = Dots(1, 1)
        self._hand = Dots(1, 1)
        self._numbers: list[tuple[int, int, str, int]] = []
        self._range = (0.0, 1.0)

    def paint(self, canvas: Canvas, scene: Scene) -> None:
        """Face, needle, number."""
        if canvas.width < 12 or canvas.height < 5:
            self._in_words(canvas, scene)
            return
        unit = screen_unit(self.spec.reading, scene.units.system)
        key = (
            canvas.width,
            canvas.height,
            unit,
            self.spec.marked(scene),
            scene.fluid.name if scene.fluid is not None else "",
        )
        if key != self._key:
            self._key = key
            self._draw_face(canvas.width, canvas.height, scene)
        pressure = scene.number(self.spec.reading)
        self._hand.copy_from(self._face)
        if math.isfinite(pressure):
            value = from_si(pressure, unit, scene.atmosphere_pa)
            self._flutter(value, scene.trembling.get(self.spec.reading, 0.0) / unit.factor)
            self._needle(value)
        self._hand.lay(canvas, 0, 0, scene.glyphs.dotting)
        for x, y, text, ink in self._numbers:
            canvas.text(x, y, scene.units.figure(text), ink)
        self._in_words(canvas, scene)

    def _geometry(self) -> tuple[float, float, float]:
        """Middle and radius, in dots."""
        dots = self._face
        radius = min(dots.across / 2 - 1, (dots.down - 5) / LOWEST)
        spare = max(dots.down - 8 - LOWEST * radius, 0.0)
        return dots.across / 2 - 0.5, radius + 0.5 + spare / 2, radius

    def _angle(self, value: float) -> float:
        low, high = self._range
        share = max(-0.02, min(1.02, (value - low) / (high - low)))
        return FIRST_TURN - WHOLE_TURN * share

    def _point(self, angle: float, radius: float) -> tuple[float, float]:
        middle_x, middle_y, _ = self._geometry()
        return middle_x + radius * math.cos(angle), middle_y - radius * math.sin(angle)

    def _draw_face(self, width: int, height: int, scene: Scene) -> None:
        self._face, self._hand = Dots(width, height), Dots(width, height)
        unit = screen_unit(self.spec.reading, scene.units.system)
        low, high = (from_si(limit, unit) for limit in (self.spec.low_pa, self.spec.high_pa))
        step = round_step(high - low, 8 if width >= 26 else 6)
        self._range = (low, high)
        _, _, radius = self._geometry()
        angles = np.linspace(FIRST_TURN, FIRST_TURN - WHOLE_TURN, int(radius * 8))
        middle_x, middle_y, _ = self._geometry()
        self._face.points(middle_x + radius * np.cos(angles), middle_y - radius * np.sin(angles), Ink.GRID)  # fmt: skip
        self._numbers = []
        for value in _steps(low, high, step / 2):
            numbered = abs(value / step - round(value / step)) < 1e-6
            self._tick(value, radius * (0.18 if numbered else 0.09))
            if numbered:
                self._number(tick_text(round(value, 6)), value, radius * (0.70 if radius > 14 else 0.62), Ink.FAINT)  # fmt: skip
        self._ring(scene, unit, radius)
        self._mark(scene, radius)

    def _tick(self, value: float, length: float, ink: int = Ink.GRID, outer: float = 1.0) -> None:
        _, _, radius = self._geometry()
        ends = [self._point(self._angle(value), radius * outer - inset) for inset in (0, length)]
        self._face.curve([ends[0][0], ends[1][0]], [ends[0][1], ends[1][1]], ink)

    def _number(self, text: str, value: float, radius: float, ink: int) -> None:
        x, y = self._point(self._angle(value), radius)
        self._numbers.append((round(x / 2 - len(text) / 2 + 0.2), int(y / 4), text, ink))

    def _ring(self, scene: Scene, unit: Unit, radius: float) -> None:
        """Saturation temperatures of the rig's fluid, at their pressures."""
        if scene.fluid is None or radius < RING_FROM:
            return
        si = scene.units.family == "si"
        middle_x, middle_y, _ = self._geometry()
        last_x, last_y = -9.0, -9.0
        for mark in RING_C if si else RING_F:
            kelvin = mark + ICE_K if si else (mark - 32) / 1.8 + ICE_K
            pressure = scene.fluid.dew_pa(kelvin)
            if not math.isfinite(pressure) or not self._range[0] <= from_si(pressure, unit) <= self._range[1]:  # fmt: skip
                continue
            value = from_si(pressure, unit)
            self._tick(value, radius * 0.06, Ink.THIRD, RING)
            x, y = self._point(self._angle(value), radius * (RING - 0.14))
            if mark % 20 == 0 and math.hypot((x - last_x) / 2, (y - last_y) / 4) >= RING_APART:
                self._number(f"{mark}", value, radius * (RING - 0.14), Ink.THIRD)
                last_x, last_y = x, y
        angles = np.linspace(FIRST_TURN, FIRST_TURN - WHOLE_TURN, int(radius * 2))
        self._face.points(middle_x + RING * radius * np.cos(angles), middle_y - RING * radius * np.sin(angles), Ink.THIRD)  # fmt: skip

    def _mark(self, scene: Scene, radius: float) -> None:
        """A thick mark on the rim where a protector acts."""
        value = self.spec.marked(scene)
        if not isinstance(value, int | float):
            return
        unit = screen_unit(self.spec.reading, scene.units.system)
        angle = self._angle(from_si(float(value), unit))
        for turn in (-0.05, 0.0, 0.05):
            ends = [self._point(angle + turn, radius + out) for out in (0.0, -radius * 0.16)]
            self._face.curve([ends[0][0], ends[1][0]], [ends[0][1], ends[1][1]], Ink.MARK)

    def _needle(self, value: float) -> None:
        _, _, radius = self._geometry()
        angle = self._angle(value)
        ink = self.spec.ink | BOLD
        tip, tail = self._point(angle, radius * 0.92), self._point(angle + math.pi, radius * 0.14)
        across = (math.sin(angle) * 0.5, math.cos(angle) * 0.5)
        for side in (-1, 1):
            dx, dy = across[0] * side, across[1] * side
            self._hand.curve([tail[0] + dx, tip[0] + dx], [tail[1] + dy, tip[1] + dy], ink)

    def _flutter(self, value: float, swing: float) -> None:
        """What the needle sweeps to either side, as the eye sees it: a band at the tip, where it is at least a dot wide. The number knows nothing of it."""
        _, _, radius = self._geometry()
        outer = radius * 0.92
        first, last = self._angle(value - swing), self._angle(value + swing)
        if abs(first - last) * outer < 1.0:
            return
        angles = np.linspace(first, last, max(3, math.ceil(abs(first - last) * outer) + 1))
        for inset in np.linspace(0.0, radius * 0.3, max(2, round(radius * 0.3))):
            points = [self._point(float(angle), outer - float(inset)) for angle in angles]
            self._hand.points([x for x, _ in points], [y for _, y in points], Ink.FAINT)

    def _in_words(self, canvas: Canvas, scene: Scene) -> None:
        """The pressure and the saturation temperature of the fluid at it, below the face."""
        read = scene.reading(self.spec.reading, scene.numbers)
        pressure = float(read) if isinstance(read, int | float) else math.nan
        last = self._last_row(canvas)
        canvas.text_middle(last - 1, scene.words(self.spec.reading), self.spec.ink | BOLD)
        if scene.fluid is None or scene.own_work or not math.isfinite(pressure):
            return
        boiling = scene.fluid.boiling_k(pressure)
        canvas.text_middle(last, f"{scene.fluid.name} {scene.quantity('saturation_temperature_k', boiling)}", Ink.TEXT)  # fmt: skip

    def _last_row(self, canvas: Canvas) -> int:
        """Row of the fluid's temperature: below the face, not below all the room there is."""
        if canvas.width < 12 or canvas.height < 5:
            return canvas.height - 1
        _, middle, radius = self._geometry()
        return min(canvas.height - 1, int((middle + (LOWEST - 1.0) * radius) / 4) + 2)


def _steps(low: float, high: float, step: float) -> list[float]:
    """Multiples of ``step`` from low to high."""
    first, last = math.ceil(low / step - 1e-6), math.floor(high / step + 1e-6)
    return [index * step for index in range(first, last + 1)]


def standard_dials() -> tuple[DialSpec, DialSpec]:
    """Suction -1 to 10 bar g and discharge -1 to 30 bar g: the usual pair on a bench (common practice)."""
    bar, zero = SUFFIXES["bar"].factor, STANDARD_ATMOSPHERE_PA
    suction = DialSpec("suction", "suction_pressure_pa", zero - bar, zero + 10 * bar, Ink.LOW, "low_pressure_control")  # fmt: skip
    discharge = DialSpec("discharge", "discharge_pressure_pa", zero - bar, zero + 30 * bar, Ink.HIGH, "high_pressure_trip")  # fmt: skip
    return suction, discharge
