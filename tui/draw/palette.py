"""What the inks look like: a dark, a light and a high-contrast palette.

Colour is never the only carrier: phase is a line style, a valve's position its handle, a temperature a number beside the pipe. Text reaches a
contrast of 4.5:1 on its ground and lines 3:1 (WCAG 2.1, 1.4.3 and 1.4.11). Neighbouring steps of the temperature ramps stay apart for people who
do not tell red from green or blue from yellow; the ramp on the light ground runs from dark to bright, since pale colours vanish there. Tests compute all of this.
"""

from __future__ import annotations

from dataclasses import dataclass

from tui.draw.ink import HEAT_STEPS, Ink


@dataclass(frozen=True)
class Look:
    """Colours of a cell, as #rrggbb."""

    colour: str
    ground: str
    bold: bool = False


@dataclass(frozen=True)
class Palette:
    """A look for every ink."""

    name: str
    ground: str
    panel: str
    dark: bool
    looks: dict[int, Look]
    ramp: tuple[str, ...]


def _palette(name: str, dark: bool, ground: str, panel: str, colours: dict[Ink, str], solid: dict[Ink, tuple[str, str]], ramp: tuple[str, ...]) -> Palette:  # fmt: skip
    looks = {int(ink): Look(colour, ground) for ink, colour in colours.items()}
    looks |= {int(ink): Look(colour, back, True) for ink, (colour, back) in solid.items()}
    looks |= {Ink.HEAT_0 + step: Look(ramp[step], ground) for step in range(HEAT_STEPS)}
    return Palette(name, ground, panel, dark, looks, ramp)


DARK = _palette(
    "rime-dark",
    True,
    "#11161d",
    "#1a222c",
    {
        Ink.TEXT: "#c3ccd6",
        Ink.FAINT: "#8492a1",
        Ink.STRONG: "#f4f7fa",
        Ink.FRAME: "#5c6c7e",
        Ink.TITLE: "#aab9c8",
        Ink.PART: "#9db0c3",
        Ink.LOW: "#5bb4f5",
        Ink.HIGH: "#ff8f5c",
        Ink.CAUTION: "#f2c14e",
        Ink.MARK: "#ff7a70",
        Ink.LIQUID: "#4d9fc9",
        Ink.DOME: "#d9dee4",
        Ink.GRID: "#5f6f80",
        Ink.FIRST: "#5bb4f5",
        Ink.SECOND: "#ff8f5c",
        Ink.THIRD: "#e6d36a",
        Ink.FOURTH: "#c79bf2",
        Ink.FROST: "#dff0fa",
    },
    {
        Ink.OPEN: ("#0d1218", "#6cc4e8"),
        Ink.SHUT: ("#f4f7fa", "#6a4b3c"),
        Ink.CURSOR: ("#0d1218", "#ffd866"),
        Ink.ALARM: ("#ffffff", "#b3261e"),
        Ink.KEY: ("#f4f7fa", "#33414f"),
        Ink.STATUS: ("#dfe6ed", "#222d39"),
        Ink.STOP: ("#ffffff", "#b3261e"),
        Ink.WAITING: ("#0d1218", "#9aa8b5"),
    },
    tuple(
        [
            "#0b7fcf",
            "#38a2ea",
            "#65bcf1",
            "#95d5f0",
            "#dae5dc",
            "#f4cb8f",
            "#f9ab5b",
            "#fd803f",
            "#f6523a",
        ]
    ),
)
LIGHT = _palette(
    "rime-light",
    False,
    "#fbf9f4",
    "#efece4",
    {
        Ink.TEXT: "#2a323a",
        Ink.FAINT: "#5f6a74",
        Ink.STRONG: "#05090d",
        Ink.FRAME: "#87919b",
        Ink.TITLE: "#3d4853",
        Ink.PART: "#44505c",
        Ink.LOW: "#00599c",
        Ink.HIGH: "#a83a00",
        Ink.CAUTION: "#7a5600",
        Ink.MARK: "#b3201a",
        Ink.LIQUID: "#2f7ea6",
        Ink.DOME: "#2a323a",
        Ink.GRID: "#87919b",
        Ink.FIRST: "#00599c",
        Ink.SECOND: "#b04000",
        Ink.THIRD: "#5f5a00",
        Ink.FOURTH: "#70309c",
        Ink.FROST: "#3d7896",
    },
    {
        Ink.OPEN: ("#ffffff", "#1c6f98"),
        Ink.SHUT: ("#2a1408", "#e3b79a"),
        Ink.CURSOR: ("#05090d", "#ffcf3d"),
        Ink.ALARM: ("#ffffff", "#a61b14"),
        Ink.KEY: ("#05090d", "#d5d0c3"),
        Ink.STATUS: ("#1b232b", "#dfdacd"),
        Ink.STOP: ("#ffffff", "#a61b14"),
        Ink.WAITING: ("#ffffff", "#5f6a74"),
    },
    tuple(
        [
            "#00273e",
            "#00375f",
            "#003f8b",
            "#5337a8",
            "#94209a",
            "#bd007c",
            "#d60058",
            "#e2292a",
            "#ca6100",
        ]
    ),
)
CONTRAST = _palette(
    "rime-contrast",
    True,
    "#000000",
    "#000000",
    {
        Ink.TEXT: "#ffffff",
        Ink.FAINT: "#d0d0d0",
        Ink.STRONG: "#ffffff",
        Ink.FRAME: "#c0c0c0",
        Ink.TITLE: "#ffffff",
        Ink.PART: "#ffffff",
        Ink.LOW: "#7fd0ff",
        Ink.HIGH: "#ffa060",
        Ink.CAUTION: "#ffe040",
        Ink.MARK: "#ff8080",
        Ink.LIQUID: "#7fd0ff",
        Ink.DOME: "#ffffff",
        Ink.GRID: "#a0a0a0",
        Ink.FIRST: "#7fd0ff",
        Ink.SECOND: "#ffa060",
        Ink.THIRD: "#ffff70",
        Ink.FOURTH: "#e0b0ff",
        Ink.FROST: "#ffffff",
    },
    {
        Ink.OPEN: ("#000000", "#7fd0ff"),
        Ink.SHUT: ("#000000", "#ffa060"),
        Ink.CURSOR: ("#000000", "#ffff00"),
        Ink.ALARM: ("#000000", "#ff6060"),
        Ink.KEY: ("#000000", "#ffffff"),
        Ink.STATUS: ("#000000", "#ffffff"),
        Ink.STOP: ("#000000", "#ff6060"),
        Ink.WAITING: ("#000000", "#c0c0c0"),
    },
    DARK.ramp,
)
PALETTES = {palette.name: palette for palette in (DARK, LIGHT, CONTRAST)}
