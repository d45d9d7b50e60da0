"""What the inks look like: a dark, a light, a high-contrast and a monochrome palette.

Colour is never the only carrier: phase is a line style, a valve's position its handle, a temperature a number beside the pipe, a curve has its digit. Text reaches
a contrast of 4.5:1 on its ground and lines 3:1 (WCAG 2.1, 1.4.3 and 1.4.11). Inks that tell two things apart differ by 20 or more (CIE 1976) for people who do not tell
red from green or blue from yellow too; the ramp on the light ground runs from dark to bright, since pale colours vanish there. Tests compute all of this.
The monochrome palette has greys only and marks by bold, underline and reverse.
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
    underline: bool = False


UNDERLINED = (Ink.CURSOR, Ink.WAITING)
"""Their grounds are colours like others; the line below them is not."""


@dataclass(frozen=True)
class Palette:
    """A look for every ink."""

    name: str
    ground: str
    panel: str
    dark: bool
    looks: dict[int, Look]
    ramp: tuple[str, ...]

    @property
    def coloured(self) -> bool:
        """False when it has greys only."""
        return any(len({look.colour[i : i + 2] for i in (1, 3, 5)}) > 1 for look in self.looks.values())  # fmt: skip


def _palette(name: str, dark: bool, ground: str, panel: str, colours: dict[Ink, str], solid: dict[Ink, tuple[str, str]], ramp: tuple[str, ...]) -> Palette:  # fmt: skip
    looks = {int(ink): Look(colour, ground) for ink, colour in colours.items()}
    looks |= {
        int(ink): Look(colour, back, True, ink in UNDERLINED)
        for ink, (colour, back) in solid.items()
    }
    looks |= {Ink.HEAT_0 + step: Look(ramp[step], ground) for step in range(HEAT_STEPS)}
    return Palette(name, ground, panel, dark, looks, ramp)


DARK = _palette(
    "rime-dark",
    True,
    "#11161d",
    "#1a222c",
    {
        Ink.TEXT: "#bdc7d1",
        Ink.FAINT: "#8492a1",
        Ink.STRONG: "#f4f7fa",
        Ink.FRAME: "#5c6c7e",
        Ink.TITLE: "#aab9c8",
        Ink.PART: "#9db0c3",
        Ink.LOW: "#5bb4f5",
        Ink.HIGH: "#f08458",
        Ink.CAUTION: "#f4c552",
        Ink.MARK: "#ff7a70",
        Ink.LIQUID: "#4d9fc9",
        Ink.DOME: "#d9dee4",
        Ink.GRID: "#5f6f80",
        Ink.FIRST: "#83b3db",
        Ink.SECOND: "#f08458",
        Ink.THIRD: "#f5dd66",
        Ink.FOURTH: "#b398ff",
        Ink.FROST: "#fcfeff",
    },
    {
        Ink.OPEN: ("#0d1218", "#6cc4e8"),
        Ink.SHUT: ("#f4f7fa", "#6c4c44"),
        Ink.CURSOR: ("#0d1218", "#ffd866"),
        Ink.ALARM: ("#ffffff", "#b3261e"),
        Ink.KEY: ("#f4f7fa", "#2f3e4f"),
        Ink.STATUS: ("#dfe6ed", "#222d39"),
        Ink.STOP: ("#ffffff", "#b3261e"),
        Ink.WAITING: ("#0d1218", "#939fa8"),
    },
    tuple(
        [
            "#2284d4",
            "#339ee6",
            "#65bdf3",
            "#9cdaf5",
            "#dae5dc",
            "#f4cb8f",
            "#ffb463",
            "#fd803f",
            "#f14d36",
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
        Ink.FAINT: "#5e6565",
        Ink.STRONG: "#05090d",
        Ink.FRAME: "#87919b",
        Ink.TITLE: "#3d4853",
        Ink.PART: "#44505c",
        Ink.LOW: "#00599c",
        Ink.HIGH: "#b8470f",
        Ink.CAUTION: "#553500",
        Ink.MARK: "#b3201a",
        Ink.LIQUID: "#2d7fa8",
        Ink.DOME: "#2a323a",
        Ink.GRID: "#87919b",
        Ink.FIRST: "#0073cb",
        Ink.SECOND: "#b4440a",
        Ink.THIRD: "#3d3700",
        Ink.FOURTH: "#6b258c",
        Ink.FROST: "#3b7796",
    },
    {
        Ink.OPEN: ("#ffffff", "#1c6f98"),
        Ink.SHUT: ("#2a1408", "#c19077"),
        Ink.CURSOR: ("#05090d", "#ffd23f"),
        Ink.ALARM: ("#ffffff", "#a61b14"),
        Ink.KEY: ("#05090d", "#d8d2c5"),
        Ink.STATUS: ("#1b232b", "#dfdacd"),
        Ink.STOP: ("#ffffff", "#a61b14"),
        Ink.WAITING: ("#ffffff", "#616a72"),
    },
    tuple(
        [
            "#002137",
            "#00355c",
            "#083f88",
            "#5837a8",
            "#a53cc2",
            "#bd007c",
            "#d60058",
            "#df1e20",
            "#a74600",
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
        Ink.FAINT: "#cac8c4",
        Ink.STRONG: "#ffffff",
        Ink.FRAME: "#c0c0c0",
        Ink.TITLE: "#ffffff",
        Ink.PART: "#ffffff",
        Ink.LOW: "#7fd0ff",
        Ink.HIGH: "#ffa060",
        Ink.CAUTION: "#fadb3b",
        Ink.MARK: "#fc7e77",
        Ink.LIQUID: "#7fd0ff",
        Ink.DOME: "#ffffff",
        Ink.GRID: "#a0a2a8",
        Ink.FIRST: "#97d3fa",
        Ink.SECOND: "#ffa060",
        Ink.THIRD: "#ffff70",
        Ink.FOURTH: "#b79cff",
        Ink.FROST: "#bfdefd",
    },
    {
        Ink.OPEN: ("#000000", "#7fd0ff"),
        Ink.SHUT: ("#000000", "#ffa554"),
        Ink.CURSOR: ("#000000", "#efe800"),
        Ink.ALARM: ("#000000", "#ff6060"),
        Ink.KEY: ("#000000", "#ffffff"),
        Ink.STATUS: ("#000000", "#ffffff"),
        Ink.STOP: ("#000000", "#ff6060"),
        Ink.WAITING: ("#000000", "#c0c0c0"),
    },
    DARK.ramp,
)
MONO = _palette(
    "rime-mono",
    True,
    "#000000",
    "#000000",
    dict.fromkeys(Ink, "#e4e4e4")
    | dict.fromkeys((Ink.STRONG, Ink.LOW, Ink.HIGH, Ink.CAUTION, Ink.DOME, Ink.FROST), "#ffffff")
    | dict.fromkeys((Ink.FAINT, Ink.TITLE), "#b4b4b4")
    | dict.fromkeys((Ink.FRAME, Ink.GRID), "#8a8a8a"),
    {
        Ink.OPEN: ("#ffffff", "#000000"),
        Ink.SHUT: ("#e4e4e4", "#000000"),
        Ink.CURSOR: ("#000000", "#ffffff"),
        Ink.ALARM: ("#000000", "#e4e4e4"),
        Ink.KEY: ("#ffffff", "#333333"),
        Ink.STATUS: ("#ffffff", "#262626"),
        Ink.STOP: ("#000000", "#e4e4e4"),
        Ink.WAITING: ("#ffffff", "#000000"),
    },
    tuple(
        [
            "#7a7a7a",
            "#898989",
            "#999999",
            "#a9a9a9",
            "#b9b9b9",
            "#cacaca",
            "#dbdbdb",
            "#ededed",
            "#ffffff",
        ]
    ),
)
PALETTES = {palette.name: palette for palette in (DARK, LIGHT, CONTRAST, MONO)}
