"""The ladder with the circuit's state in it: a conductor near the line's volts is heavy, one in between dashed, a dead or neutral one light.

Contacts, armatures and lamps stand as they do now. Cursor, probes and clamp lie on top. In an assessed session all conductors are light, and the rest stands as one sees it without a meter (``by_eye``).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tui.draw.by_eye import by_eye
from tui.draw.canvas import Canvas
from tui.draw.glyphs import EAST, WEST, Glyphs, Phase
from tui.draw.ink import BOLD, Ink
from tui.draw.ladder_cells import Ladder, Name, Spot
from tui.draw.ladder_signs import drawn
from tui.draw.scene import Scene
from tui.meter import MeterDesk
from tui.plant import Circuit, Setting
from tui.wiring_plan import WiringPlan

LIVE, BETWEEN, DEAD = Phase.LIQUID.value, Phase.MIXTURE.value, Phase.VAPOUR.value
"""Line styles: heavy, heavy and dashed, light."""
NEAR_LINE = 0.85
NEAR_NOTHING = 0.1
"""Shares of the supply's volts; guess: a sagging supply is still one style, a winding's tap is not."""
INKS = (Ink.HIGH | BOLD, Ink.CAUTION, Ink.PART)
LIFTED = "lifted"


class LadderPicture:
    """One ladder, ready to paint with one set of characters."""

    def __init__(self, ladder: Ladder, glyphs: Glyphs) -> None:
        self.ladder, self.glyphs = ladder, glyphs
        owners = list(ladder.plan.rails) + [spot.name for spot in ladder.spots if not spot.lead]
        self.owners = list(dict.fromkeys(owners))
        number = {name: i for i, name in enumerate(self.owners)}
        strokes = ladder.strokes
        self.xs = np.array([s.x for s in strokes], np.intp)
        self.ys = np.array([s.y for s in strokes], np.intp)
        self.sides = np.array([s.sides for s in strokes], np.intp)
        self.owner = np.array([number[s.owner] for s in strokes], np.intp)
        self.table = np.array([[ord(char) for char in glyphs.lines[style]] for style in range(3)], np.uint32)  # fmt: skip

    def paint(self, canvas: Canvas, scene: Scene, desk: MeterDesk) -> None:
        """Paint from the top left corner of ``canvas``, which is as large as the ladder."""
        circuit = scene.snapshot.circuit if scene.snapshot is not None else None
        styles = styles_of(self.ladder.plan, None if scene.own_work else circuit, self.owners)
        if scene.own_work and circuit is not None:
            circuit = by_eye(circuit, self.ladder.plan, scene)
        by_cell = np.array([styles[name] for name in self.owners], np.intp)[self.owner]
        chars = self.table[by_cell, self.sides]
        for style in range(3):
            there = by_cell == style
            canvas.cells(self.xs[there], self.ys[there], chars[there], INKS[style])
        self._marks(canvas, circuit, styles)
        for name in self.ladder.names:
            self._name(canvas, name, scene, desk)
        commands = scene.snapshot.commands if scene.snapshot is not None else {}
        for spot in self.ladder.spots:
            if spot.lead:
                self._lead(canvas, spot, desk, commands)
            else:
                self._terminal(canvas, spot, desk, styles[spot.name])

    def _marks(self, canvas: Canvas, circuit: Circuit | None, styles: Mapping[str, int]) -> None:
        for mark in self.ladder.marks:
            left, right = styles[mark.left], styles[mark.right]
            text = drawn(mark.piece, circuit, left, right, self.glyphs)
            ink: int = INKS[left] if max(left, right) == left == LIVE else Ink.STRONG | BOLD
            canvas.text(mark.x, mark.y, text, ink)

    def _name(self, canvas: Canvas, name: Name, scene: Scene, desk: MeterDesk) -> None:
        piece = name.piece
        ink: int = Ink.TEXT if piece else Ink.FAINT
        if piece and self.ladder.plan.device_of(desk.cursor) == piece.tag:
            ink = Ink.STRONG | BOLD
        words = name.words
        if piece and piece.sign == "motor":
            words = words.replace("  ", f" {self._spin(piece.tag, scene)}", 1)
        canvas.text(name.x, name.y, words, ink)

    def _spin(self, tag: str, scene: Scene) -> str:
        snapshot = scene.snapshot
        fans = snapshot.circuit.turning if snapshot is not None and snapshot.circuit else {}
        turns = fans.get(tag, snapshot is not None and snapshot.running)
        return self.glyphs.spinner[int(scene.drift.clock_s * 6) % 4] if turns else self.glyphs.dot

    def _terminal(self, canvas: Canvas, spot: Spot, desk: MeterDesk, style: int) -> None:
        probes = [str(i + 1) for i, end in enumerate(desk.probes) if end == spot.name]
        here = (spot.x, spot.y) == desk.cell
        on_rail = spot.name in self.ladder.plan.rails
        if probes and (not on_rail or here or self._first(spot)):
            canvas.put(spot.x, spot.y, "&" if len(probes) == 2 else probes[0], Ink.CURSOR if here else Ink.STOP)  # fmt: skip
        elif not on_rail:
            canvas.put(spot.x, spot.y, self.glyphs.bubble, Ink.CURSOR if here else INKS[style])
        elif here:
            canvas.tint(spot.x, spot.y, 1, Ink.CURSOR)

    def _first(self, spot: Spot) -> bool:
        return self.ladder.spot(spot.name) == spot

    def _lead(self, canvas: Canvas, spot: Spot, desk: MeterDesk, commands: Mapping[str, Setting]) -> None:  # fmt: skip
        here = desk.cursor == spot.name
        jaw = next((jaw for jaw in desk.jaws if jaw.tag == spot.name), None)
        if commands.get(spot.name) == LIFTED:
            cross = "x" if self.glyphs.name == "ascii" else "×"
            text, ink = f"{cross}{spot.name}{cross}", Ink.CAUTION | BOLD
        elif jaw is not None:
            right = (spot.way > 0) != jaw.backwards
            text, ink = f"({self.glyphs.arrows[1 if right else 3]})", Ink.STOP
        elif desk.tags_shown or here:
            text, ink = spot.name, Ink.FAINT
        else:
            return
        canvas.text(spot.x - len(text) // 2, spot.y, text[: max(1, spot.room)], Ink.CURSOR if here else ink)  # fmt: skip


def styles_of(plan: WiringPlan, circuit: Circuit | None, names: list[str]) -> dict[str, int]:
    """Line style of every terminal, by its volts to earth against those of the socket."""
    if circuit is None:
        return dict.fromkeys(names, DEAD)
    supply = max(circuit.volts.get(plan.socket[0], 0.0), 1.0)
    return {name: style_of(circuit.volts.get(name, 0.0) / supply) for name in names}


def style_of(share: float) -> int:
    """Line style of a share of the supply's volts."""
    if share >= NEAR_LINE:
        return LIVE
    return BETWEEN if share >= NEAR_NOTHING else DEAD


def legend(glyphs: Glyphs) -> tuple[tuple[str, str, int], ...]:
    """(stroke, words, ink) of each line style."""
    words = ("live", "in between", "dead or neutral")
    return tuple((glyphs.lines[style][EAST | WEST] * 2, words[style], INKS[style]) for style in range(3))  # fmt: skip
