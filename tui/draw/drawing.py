"""A drawing of a rig as data: pipes, coils, symbols, texts, all in cells from the top left corner.

Drawings lie beside the rig (``drawing_s.toml``, ``drawing_m.toml``, ``drawing_l.toml``). A pipe names the node whose refrigerant fills it and the link whose
flow runs along its points (``-TAG``: against them; several: their sum). Where pipes join, each ends. A symbol names the tag that it stands for. ``tui.draw.lint`` says what is wrong with a drawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar, Literal, NamedTuple

from sim.errors import InputError, Mistake
from sim.record import Reader
from sim.tomlfile import read_toml

Way = Literal["across", "down"]
Shape = Literal[
    "valve", "solenoid", "device", "drier", "glass", "flowmeter", "vessel", "compressor", "reversing",
    "chip", "fan", "switch",
]  # fmt: skip
SIZES = ("s", "m", "l")


class Rect(NamedTuple):
    """Cells from (x, y)."""

    x: int
    y: int
    width: int
    height: int

    def cells(self) -> set[tuple[int, int]]:
        """Every cell."""
        return {(x, y) for x in range(self.x, self.x + self.width) for y in range(self.y, self.y + self.height)}  # fmt: skip

    def edge(self) -> tuple[tuple[int, int], ...]:
        """The cells just outside, corners left out."""
        columns, rows = range(self.x, self.x + self.width), range(self.y, self.y + self.height)
        beside = [(x, y) for y in rows for x in (self.x - 1, self.x + self.width)]
        return (*((x, y) for x in columns for y in (self.y - 1, self.y + self.height)), *beside)

    def holds(self, x: int, y: int) -> bool:
        """True when (x, y) lies in it."""
        return self.x <= x < self.x + self.width and self.y <= y < self.y + self.height


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """The drawing as a whole."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {"width": (40, 400), "height": (10, 200)}

    width: int
    height: int
    cooling_path: tuple[str, ...] = ()
    """Nodes in the order in which refrigerant passes them in cooling, from the compressor's suction on: the cycle on the p-h chart."""
    heating_path: tuple[str, ...] = ()
    legend: tuple[int, ...] = ()
    """Where the line styles are explained."""
    heat: tuple[int, ...] = ()
    """Where the scale of temperature colours stands."""
    glass: tuple[int, ...] = ()
    """Where the signs in a sight glass are explained."""


@dataclass(frozen=True, kw_only=True)
class Pipe:
    """A line of refrigerant."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {}

    node: str
    points: tuple[tuple[int, ...], ...]
    flow: str = ""
    """Links whose flows together pass here, by their names with a space between."""
    height: Literal["mixed", "top", "bottom"] = "mixed"
    """Where it joins a vessel: a dip tube at the bottom carries liquid while the vessel has some."""


@dataclass(frozen=True, kw_only=True)
class Coil:
    """A heat exchanger: a frame with a serpentine whose pieces are the nodes, in the order of the line from its left end."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {}

    tag: str
    what: str
    at: tuple[int, ...]
    size: tuple[int, ...]
    nodes: tuple[str, ...]
    flow: str = ""
    port_row: int
    """Row of the pipes at its left and right side."""
    pitch: int = 4
    turns: bool = True

    @property
    def rect(self) -> Rect:
        """Its frame."""
        return Rect(self.at[0], self.at[1], self.size[0], self.size[1])


@dataclass(frozen=True, kw_only=True)
class Symbol:
    """A part, switch or instrument."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {}

    tag: str
    shape: Shape
    at: tuple[int, ...]
    """Middle of an in-line symbol; top left corner of everything else."""
    size: tuple[int, ...] = ()
    way: Way = "across"
    words: str = ""
    """Plain name beside or inside it."""
    what: str = ""
    """What it is, for a part that no hand can move."""
    label: tuple[int, ...] = ()
    """Where its tag stands; an empty array: inside the symbol."""
    reading: str = ""
    level: str = ""
    worked_by: str = ""
    """Switch that energises a solenoid, where the plant does not say the valve's position."""

    @property
    def rect(self) -> Rect:
        """The cells that it covers, without its label."""
        x, y = self.at[0], self.at[1]
        if self.shape in INLINE:
            return Rect(x - 1, y, 3, 1)
        if self.shape == "device":
            return Rect(x - 3, y, 6, 1)
        if self.size:
            return Rect(x, y, self.size[0], self.size[1])
        return Rect(x, y, len(self.tag), 1)

    @property
    def ports(self) -> tuple[tuple[int, int], ...]:
        """Cells outside at which a pipe may end; for boxes every cell along the edge."""
        x, y = self.at[0], self.at[1]
        rect = self.rect
        if self.shape in PORTLESS:
            return ()
        if self.shape in BOXES:
            return rect.edge()
        if self.way == "down":
            return ((x, y - 1), (x, y + 1))
        return ((rect.x - 1, y), (rect.x + rect.width, y))

    @property
    def label_rect(self) -> Rect | None:
        """The cells of its tag, when it stands outside."""
        return Rect(self.label[0], self.label[1], len(self.tag), 1) if self.label else None


INLINE = frozenset(("valve", "solenoid", "drier", "glass", "flowmeter"))
BOXES = frozenset(("vessel", "compressor", "reversing"))
PORTLESS = frozenset(("chip", "fan", "switch"))


@dataclass(frozen=True, kw_only=True)
class Text:
    """Words, or a reading with its label; ``width`` cells wide."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {}

    at: tuple[int, ...]
    width: int
    words: str = ""
    reading: str = ""
    then: str = ""
    """A second reading after an arrow (air in and out)."""
    tags: tuple[str, ...] = ()
    """Instruments that show ``reading`` and ``then``; a click here chooses them, whether or not ``words`` say their tags."""
    against: str = ""
    """Link; the words stand here only while refrigerant flows through it the wrong way."""
    truth_only: bool = False

    @property
    def rect(self) -> Rect:
        """The cells that it may use."""
        return Rect(self.at[0], self.at[1], self.width, 1)


@dataclass(frozen=True, kw_only=True)
class Crossing:
    """A place where two pipes cross without joining."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {}

    at: tuple[int, ...]


@dataclass(frozen=True)
class Drawing:
    """Everything on one sheet."""

    file: str
    sheet: Sheet
    pipes: tuple[Pipe, ...] = ()
    coils: tuple[Coil, ...] = ()
    symbols: tuple[Symbol, ...] = ()
    texts: tuple[Text, ...] = ()
    crossings: tuple[Crossing, ...] = ()
    lines: tuple[tuple[str, int, int], ...] = ()
    """(kind of table, its index, line in the file), for messages."""

    def symbol(self, tag: str) -> Symbol | None:
        """The symbol of a tag."""
        return next((symbol for symbol in self.symbols if symbol.tag == tag), None)

    @property
    def box_ends(self) -> set[tuple[int, int]]:
        """Ends of pipes that may go on into a box: those that do not already meet an in-line symbol."""
        taken = {port for symbol in self.symbols if symbol.shape not in BOXES for port in symbol.ports}  # fmt: skip
        single = {(pipe.points[0][0], pipe.points[0][1]) for pipe in self.pipes if len(pipe.points) == 1}  # fmt: skip
        ends = {(point[0], point[1]) for pipe in self.pipes for point in (pipe.points[0], pipe.points[-1])}  # fmt: skip
        crossings = {(crossing.at[0], crossing.at[1]) for crossing in self.crossings}
        return (ends - taken) | single - crossings

    def line_of(self, kind: str, index: int) -> int:
        """Line of the ``index``-th table of a kind."""
        return next((line for name, at, line in self.lines if (name, at) == (kind, index)), 1)

    def mistake(self, kind: str, index: int, what: str, remedy: str = "") -> Mistake:
        """A mistake at a table of this drawing."""
        return Mistake(self.file, self.line_of(kind, index), what, remedy)


_TABLES: tuple[tuple[str, str, type], ...] = (
    ("pipe", "pipes", Pipe),
    ("coil", "coils", Coil),
    ("symbol", "symbols", Symbol),
    ("text", "texts", Text),
    ("crossing", "crossings", Crossing),
)


def load_drawing(path: Path) -> Drawing:
    """Read one drawing. Raises InputError with every mistake at once."""
    document = read_toml(path)
    reader = Reader(document)
    allowed = {"drawing", *(name for name, _, _ in _TABLES)}
    for key in document.values:
        if key not in allowed:
            reader.wrong((key,), f"there is no table {key} in a drawing.", f"Tables are {', '.join(sorted(allowed))}.")  # fmt: skip
    sheet = reader.read(Sheet, ("drawing",), "drawing") if "drawing" in document.values else None
    if "drawing" not in document.values:
        reader.wrong((), "the table drawing is missing.", "Begin with [drawing], width and height.")
    found: dict[str, tuple[object, ...]] = {}
    lines = []
    for name, plural, cls in _TABLES:
        count = len(document.values.get(name, []))
        read = [reader.read(cls, (name, index), name) for index in range(count)]
        found[plural] = tuple(item for item in read if item is not None)
        lines += [(name, index, document.line_of(name, index)) for index in range(count)]
    if reader.mistakes or sheet is None:
        raise InputError(reader.mistakes)
    return Drawing(document.file, sheet, lines=tuple(lines), **found)  # type: ignore[arg-type]


def load_drawings(folder: Path) -> dict[str, Drawing]:
    """The drawings of a rig by size; those that do not exist are left out."""
    paths = {size: folder / f"drawing_{size}.toml" for size in SIZES}
    return {size: load_drawing(path) for size, path in paths.items() if path.is_file()}
