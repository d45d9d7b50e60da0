"""Which display moves when: the first movement of each, when it is plain from the back of the room, and what a calculation shows before the gauges do."""

from __future__ import annotations

from dataclasses import dataclass, field

from sim.fluid import Fluid
from sim.study.dials import Dial, Readings
from sim.study.twins import Look
from sim.study.working_out import Sum, sums_for

GAUGES = ("suction_pressure_pa_shown", "discharge_pressure_pa_shown")


@dataclass
class Move:
    """How one display takes leave of where it stands on the healthy bench."""

    tag: str
    what: str
    unit: str
    moves_s: float | None = None
    first: str = ""
    """up, down, or a glass's new word."""
    plain_s: float | None = None
    end: float | str | None = None
    """Distance from the healthy display at the last look, in units of its scale; a glass: its word."""


@dataclass
class SumMove:
    """A calculation that leaves its band."""

    name: str
    unit: str
    band: float
    shows_s: float | None = None
    first: str = ""
    end: float | None = None
    before_the_gauges: bool = False


@dataclass
class Timeline:
    """Fed with looks; what it holds can be read at any time."""

    dials: tuple[Dial, ...]
    fluid: Fluid
    sums: list[Sum]
    bands: dict[str, float]
    moves: dict[str, Move]
    sum_moves: dict[str, SumMove]
    times_s: list[float] = field(default_factory=list)
    shifts: dict[str, list[float]] = field(default_factory=dict)
    """By tag: distance in percent of the dial at each of ``times_s``; glasses have none."""

    @classmethod
    def of(cls, rig_dials: tuple[Dial, ...], fluid: Fluid, mode: str, before: Readings) -> Timeline:
        """For the dials of a rig and the readings before the fault."""
        by_key = {dial.key: dial for dial in rig_dials}
        sums = sums_for(before, mode)
        bands = {one.name: one.told(before, fluid, by_key) for one in sums}
        moves = {dial.tag: Move(dial.tag, dial.what, dial.unit) for dial in rig_dials}
        sum_moves = {one.name: SumMove(one.name, one.unit, bands[one.name]) for one in sums}
        shifts: dict[str, list[float]] = {dial.tag: [] for dial in rig_dials if not dial.glass}
        return cls(rig_dials, fluid, sums, bands, moves, sum_moves, shifts=shifts)

    def add(self, look: Look) -> None:
        """Take one look in."""
        self.times_s.append(look.time_s)
        for dial in self.dials:
            self._add_dial(dial, look)
        for one in self.sums:
            change = one.way(look.faulty, self.fluid) - one.way(look.healthy, self.fluid)
            move = self.sum_moves[one.name]
            move.end = change
            if move.shows_s is None and abs(change) > self.bands[one.name]:
                move.shows_s, move.first = look.time_s, "up" if change > 0.0 else "down"

    def _add_dial(self, dial: Dial, look: Look) -> None:
        shift = dial.shift(look.healthy, look.faulty)
        move = self.moves[dial.tag]
        move.end = dial.word(look.faulty) if dial.glass else shift
        if not dial.glass:
            self.shifts[dial.tag].append(100.0 * shift / dial.span)
        if move.moves_s is None and dial.has_moved(shift):
            up = "up" if shift > 0.0 else "down"
            move.moves_s, move.first = look.time_s, dial.word(look.faulty) if dial.glass else up
        if move.plain_s is None and dial.is_plain(shift):
            move.plain_s = look.time_s

    def ordered(self) -> list[Move]:
        """Displays in the order in which they move; those that stand still are not among them."""
        moved = [move for move in self.moves.values() if move.moves_s is not None]
        return sorted(moved, key=lambda move: (move.moves_s or 0.0, move.tag))

    def still(self) -> list[str]:
        """Tags of displays that never move."""
        return [move.tag for move in self.moves.values() if move.moves_s is None]

    def calculated(self) -> list[SumMove]:
        """Calculations in the order in which they show; marked when no pressure gauge is plain by then."""
        tags = [dial.tag for dial in self.dials if dial.key in GAUGES]
        plain = [self.moves[tag].plain_s for tag in tags]
        gauges_s = min((at for at in plain if at is not None), default=None)
        shown = [move for move in self.sum_moves.values() if move.shows_s is not None]
        for move in shown:
            move.before_the_gauges = gauges_s is None or (move.shows_s or 0.0) < gauges_s
        return sorted(shown, key=lambda move: (move.shows_s or 0.0, move.name))
