"""Which entries of the Jacobian can ever be other than zero, found from the layout; and the order in which to eliminate."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.frost import frost_of
from sim.plant import (
    LEDGER_FIXED,
    SIZE_BOX,
    SIZE_L,
    SIZE_NODES,
    SIZE_SPECIES,
    SIZE_U,
    SIZE_W,
    Plant,
)
from sim.sparse import Factors, analyse, elimination_order

Bools = NDArray[np.bool_]


class Pattern:
    """Marks the couplings of one plant."""

    def __init__(self, pl: Plant) -> None:
        self.pl = pl
        self.n = int(pl.size[SIZE_NODES])
        self.ns = int(pl.size[SIZE_SPECIES])
        self.u = int(pl.size[SIZE_U])
        self.w = int(pl.size[SIZE_W])
        self.out = int(pl.size[SIZE_L])
        total = self.out + LEDGER_FIXED + self.ns
        self.marks: Bools = np.eye(total, dtype=bool)

    def contents(self, i: int) -> list[int]:
        """States of what a node holds: its masses and energy."""
        return [s * self.n + i for s in range(self.ns)] + [self.u + i]

    def seen(self, i: int) -> list[int]:
        """States that a link at this end feels: contents, and for a coil cell its wall, its frost and the coil's flow."""
        states = self.contents(i)
        coil = self.pl.node_i[i, c.NI_COIL]
        if coil >= 0:
            states.append(self.w + int(self.pl.node_i[i, c.NI_WALL]))
            states.append(int(self.pl.coil_i[coil, c.CI_STATE]))
            states.append(frost_of(self.pl, i, coil))
        return states

    def mark(self, rows: list[int], cols: list[int]) -> None:
        """Rows feel columns."""
        self.marks[np.ix_(rows, cols)] = True

    def ledger(self) -> list[int]:
        """All ledger states."""
        return list(range(self.out, self.out + LEDGER_FIXED + self.ns))

    def walls(self) -> None:
        """Walls with their nodes; vents and sinks of every node."""
        for k in range(len(self.pl.wall_i)):
            i = int(self.pl.wall_i[k, c.WI_NODE])
            cols = [*self.seen(i), self.w + k]
            self.mark([self.u + i, self.w + k, *self.ledger()], cols)
            coil = int(self.pl.node_i[i, c.NI_COIL])
            if coil >= 0:
                self.mark([int(frost_of(self.pl, i, coil))], [self.w + k])
        for i in range(self.n):
            self.mark([*self.contents(i), *self.ledger()], self.contents(i))

    def links(self) -> None:
        """Links with both ends, the node they sense and their slow state."""
        filters = {int(row[c.CI_LINK]): int(row[c.CI_STATE]) for row in self.pl.coil_i}
        for k, row in enumerate(self.pl.link_i):
            i, j, a, s = (int(row[q]) for q in (c.LI_FROM, c.LI_TO, c.LI_AUX, c.LI_STATE))
            cols = self.seen(i) + (self.seen(j) if j >= 0 else [])
            cols += self.contents(a) if a >= 0 else []
            cols += [s] if s >= 0 else []
            rows = self.contents(i) + (self.contents(j) if j >= 0 else self.ledger())
            rows += [filters[k]] if k in filters else []
            self.mark(rows, cols)

    def machine(self) -> None:
        """Compressor: shell, head, shell wall, speed, both windings, bimetal, what the oil holds."""
        shell, head, wall, state = (int(x) for x in self.pl.machine_i[:4])
        if shell >= 0:
            slow = [state, state + 1, state + 2, state + 3, state + 4]
            cols = [*self.contents(shell), *self.contents(head), self.w + wall, *slow]
            self.mark([*cols, *self.ledger()], cols)

    def slow(self) -> None:
        """Bulbs, slide, discs and plungers, load box."""
        for i, k in self.pl.bulb_i:
            self.mark([int(k)], [self.w + int(self.pl.node_i[i, c.NI_WALL])])
        high, low, k = (int(x) for x in self.pl.slide_i)
        if high >= 0:
            self.mark([k], self.contents(high) + self.contents(low))
        for row in self.pl.link_i:
            if row[c.LI_KIND] in (c.RELIEF, c.SOLENOID):
                ends = [int(row[q]) for q in (c.LI_FROM, c.LI_TO) if row[q] >= 0]
                self.mark([int(row[c.LI_STATE])], [s for i in ends for s in self.contents(i)])
        box = int(self.pl.size[SIZE_BOX])
        self.mark(self.ledger(), [box])

    def groups(self) -> tuple[list[tuple[int, ...]], list[int]]:
        """(groups to eliminate by minimum degree, states that come last)."""
        filters = [int(row[c.CI_STATE]) for row in self.pl.coil_i]
        groups: list[tuple[int, ...]] = [(self.w + k,) for k in range(len(self.pl.wall_i))]
        groups += [(self.u + i, *(s * self.n + i for s in range(self.ns))) for i in range(self.n)]
        slow_start = self.w + len(self.pl.wall_i)
        groups += [(k,) for k in range(slow_start, self.out) if k not in filters]
        return groups, filters + self.ledger()


def solver_pattern(pl: Plant) -> Factors:
    """Factors with the fill-in of this plant's Newton matrix."""
    pattern = Pattern(pl)
    pattern.walls()
    pattern.links()
    pattern.machine()
    pattern.slow()
    groups, last = pattern.groups()
    order = elimination_order(pattern.marks.copy(), groups, last)
    return analyse(pattern.marks, order, tail=len(pattern.ledger()))
