"""Symbols of a ladder, three cells each, after IEC 60617, in their real position.

In the patterns ``<`` and ``>`` are the conductor at either side, ``]`` is the fixed contact that the blade of a break contact lies on.
"""

from __future__ import annotations

from tui.draw.glyphs import EAST, NORTH, SOUTH, WEST, Glyphs
from tui.plant import Circuit
from tui.wiring_plan import Piece

CLOSED_OPEN = {
    "make": ("<═>", "<╱ "),
    "break": ("<═]", "<╱]"),
    "plug": ("<»>", "  »"),
    "fuse": ("[─]", "[×]"),
}
"""Contacts and what melts: closed, open."""
LIT_DARK = ("(☼)", "(×)")
SEATED_OUT = ("[■]", "[ ]")
PLAIN = {
    "motor": "(M)", "winding": "∩∩∩", "capacitor": "<║>", "heater": "[║]", "voltmeter": "(V)", "ammeter": "(A)", "wattmeter": "(W)",
}  # fmt: skip
_ASCII = str.maketrans("═╱»─×☼■∩║", "_/)-x*#nH")


def closed(piece: Piece, circuit: Circuit | None) -> bool:
    """How a contact stands; on paper as on a new rig."""
    if circuit is None:
        return piece.sign != "make"
    return circuit.closed.get(piece.name, piece.sign != "make")


def pattern(piece: Piece, circuit: Circuit | None) -> str:
    """The pattern of a symbol as it stands now."""
    if piece.sign in CLOSED_OPEN:
        return CLOSED_OPEN[piece.sign][0 if closed(piece, circuit) else 1]
    if piece.sign == "coil":
        seated = circuit is not None and circuit.seated.get(piece.tag, False)
        return SEATED_OUT[0 if seated else 1]
    if piece.sign == "lamp":
        volts = circuit.volts if circuit is not None else {}
        across = abs(volts.get(piece.a, 0.0) - volts.get(piece.b, 0.0))
        return LIT_DARK[0 if across > piece.strike_v else 1]
    return PLAIN[piece.sign]


def drawn(piece: Piece, circuit: Circuit | None, left: int, right: int, glyphs: Glyphs) -> str:
    """The three characters; ``left`` and ``right`` are the line styles at its sides."""
    shape = pattern(piece, circuit)
    if glyphs.name == "ascii":
        shape = shape.translate(_ASCII)
    for mark, style, sides in (("<", left, EAST | WEST), (">", right, EAST | WEST)):
        shape = shape.replace(mark, glyphs.lines[style][sides])
    if shape.endswith("]") and piece.sign == "break":
        shape = shape[:-1] + ("|" if glyphs.name == "ascii" else glyphs.lines[right][NORTH | SOUTH | EAST])  # fmt: skip
    return shape
