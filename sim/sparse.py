"""Sparse LU for matrices whose pattern never changes: order and fill are found once, the numbers many times.

The Newton matrix I - h J of a refrigerant network has about eight entries a row. Eliminating walls first, then the (energy, mass) pairs by
minimum degree, leaves little fill; no pivoting is needed because the diagonal of I - h J dominates within a pair. States that nothing depends on
(integrals, "the tail") take no part: their rows are multiplied out at the end.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Indices, Vector
from sim.compiled import compiled

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SMALLEST_PIVOT = 1e-14


class Factors(NamedTuple):
    """Fixed pattern of L and U (row-compressed, in elimination order) and room for the numbers."""

    order: Indices
    row_start: Indices
    column: Indices
    diagonal: Indices
    value: Vector
    work: Vector
    core: Indices  # one number: how many unknowns come before the tail


def elimination_order(pattern: Bools, groups: list[tuple[int, ...]], last: list[int]) -> Ints:
    """Minimum-degree order over groups of unknowns (a group is eliminated together); ``last`` ends the order."""
    graph = pattern | pattern.T
    for index in last:
        graph[index, :] = False
        graph[:, index] = False
    alive = np.ones(len(pattern), dtype=bool)
    order: list[int] = []

    def degree(group: tuple[int, ...]) -> int:
        return int((graph[list(group)].any(axis=0) & alive).sum())

    degrees = {group: degree(group) for group in groups}
    while degrees:
        best = min(degrees, key=lambda group: (degrees[group], group))
        del degrees[best]
        near: Bools = np.asarray(graph[list(best)].any(axis=0))
        for index in best:
            neighbours = np.where(graph[index] & alive)[0]
            neighbours = neighbours[neighbours != index]
            graph[np.ix_(neighbours, neighbours)] = True
            alive[index] = False
            order.append(index)
        degrees.update({group: degree(group) for group in degrees if near[list(group)].any()})
    return np.array(order + last, dtype=np.int64)


def analyse(pattern: Bools, order: Ints, tail: int = 0) -> Factors:
    """Fill-in of the LU factors of a matrix with this pattern, eliminated in this order; the last ``tail`` unknowns appear in no other row."""
    filled = pattern[np.ix_(order, order)].copy()
    n = len(order)
    core = n - tail
    np.fill_diagonal(filled, True)
    off = filled[:, core:] & ~np.eye(n, dtype=bool)[:, core:]
    if off.any():
        raise ValueError("a state of the tail is felt by another row")
    for k in range(core):
        rows = np.where(filled[k + 1 : core, k])[0] + k + 1
        filled[rows, k + 1 :] |= filled[k, k + 1 :]
    row_start = np.zeros(n + 1, dtype=np.int64)
    diagonal = np.zeros(n, dtype=np.int64)
    columns: list[int] = []
    for i in range(n):
        entries = np.where(filled[i])[0]
        diagonal[i] = len(columns) + int(np.searchsorted(entries, i))
        columns.extend(int(c) for c in entries)
        row_start[i + 1] = len(columns)
    column = np.array(columns, dtype=np.int64)
    size = np.array([core], dtype=np.int64)
    return Factors(order, row_start, column, diagonal, np.zeros(len(column)), np.zeros(n), size)


@compiled
def factorise(f: Factors, jacobian: Floats, h: float) -> bool:
    """LU of I - h J into ``f.value`` (diagonal inverted). False when a pivot vanishes or is not a number."""
    n = f.core[0]
    work = f.work
    value = f.value
    for i in range(n):
        row = f.order[i]
        for a in range(f.row_start[i], f.row_start[i + 1]):
            work[f.column[a]] = -h * jacobian[row, f.order[f.column[a]]]
        work[i] += 1.0
        for a in range(f.row_start[i], f.diagonal[i]):
            k = f.column[a]
            factor = work[k]
            if factor != 0.0:
                factor *= value[f.diagonal[k]]
                work[k] = factor
                for b in range(f.diagonal[k] + 1, f.row_start[k + 1]):
                    work[f.column[b]] -= factor * value[b]
        for a in range(f.row_start[i], f.row_start[i + 1]):
            value[a] = work[f.column[a]]
        pivot = value[f.diagonal[i]]
        if not abs(pivot) > SMALLEST_PIVOT:
            return False
        value[f.diagonal[i]] = 1.0 / pivot
    for i in range(n, f.order.size):
        for a in range(f.row_start[i], f.row_start[i + 1]):
            value[a] = -h * jacobian[f.order[i], f.order[f.column[a]]]
    return True


@compiled
def solve(f: Factors, b: Floats) -> None:
    """Solve in place; ``b`` is in elimination order."""
    n = f.core[0]
    value = f.value
    for i in range(n):
        s = b[i]
        for a in range(f.row_start[i], f.diagonal[i]):
            s -= value[a] * b[f.column[a]]
        b[i] = s
    for i in range(n - 1, -1, -1):
        s = b[i]
        for a in range(f.diagonal[i] + 1, f.row_start[i + 1]):
            s -= value[a] * b[f.column[a]]
        b[i] = s * value[f.diagonal[i]]
    for i in range(n, b.size):
        s = b[i]
        for a in range(f.row_start[i], f.diagonal[i]):
            s -= value[a] * b[f.column[a]]
        b[i] = s
