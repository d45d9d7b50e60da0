"""A covering array of strength two: few rows in which every value of every factor meets every value of every other.

Greedy, one row at a time (the idea of AETG: Cohen, Dalal, Fredman and Patton 1997, IEEE Trans. Software Eng. 23(7), from memory), with a fixed seed.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from itertools import combinations

TRIES = 30
"""Candidates for each row; the one that covers most new pairs is taken."""
Pair = tuple[str, object, str, object]


def pairs_of(row: Mapping[str, object]) -> set[Pair]:
    """The pairs that a row covers."""
    return {(a, row[a], b, row[b]) for a, b in combinations(row, 2)}


def covering(factors: Mapping[str, Sequence[object]], seed: int = 1) -> list[dict[str, object]]:
    """Rows; together they cover every pair."""
    rng = random.Random(seed)
    missing = {(a, x, b, y) for a, b in combinations(factors, 2) for x in factors[a] for y in factors[b]}  # fmt: skip
    rows = []
    while missing:
        start = min(missing, key=repr)
        tries = [_row(factors, start, missing, rng) for _ in range(TRIES)]
        best = max(tries, key=lambda row: len(pairs_of(row) & missing))
        missing -= pairs_of(best)
        rows.append(best)
    return rows


def _row(factors: Mapping[str, Sequence[object]], start: Pair, missing: set[Pair], rng: random.Random) -> dict[str, object]:  # fmt: skip
    """One candidate: begins with a pair that is still missing, then takes the best value of each factor in a random order."""
    chosen = {start[0]: start[1], start[2]: start[3]}
    rest = [name for name in factors if name not in chosen]
    rng.shuffle(rest)
    for name in rest:
        values = list(factors[name])
        rng.shuffle(values)
        chosen[name] = max(values, key=lambda value: len(pairs_of(_ordered(factors, {**chosen, name: value})) & missing))  # fmt: skip
    return _ordered(factors, chosen)


def _ordered(factors: Mapping[str, Sequence[object]], row: Mapping[str, object]) -> dict[str, object]:  # fmt: skip
    return {name: row[name] for name in factors if name in row}
