"""Sparse LU against numpy's dense solver."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.sparse import analyse, elimination_order, factorise, solve


def solve_with(pattern: np.ndarray, jacobian: np.ndarray, h: float, b: np.ndarray) -> np.ndarray:
    n = len(b)
    order = elimination_order(pattern.copy(), [(k,) for k in range(n - 1)], [n - 1])
    factors = analyse(pattern, order)
    assert factorise(factors, jacobian, h)
    x = b[order].copy()
    solve(factors, x)
    out = np.empty(n)
    out[order] = x
    return out


@settings(max_examples=40, deadline=None)
@given(st.integers(2, 30), st.integers(0, 2**31))
def test_it_solves_what_numpy_solves(n: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    pattern = rng.random((n, n)) < 0.2
    np.fill_diagonal(pattern, True)
    jacobian = np.where(pattern, rng.normal(size=(n, n)), 0.0)
    b = rng.normal(size=n)
    h = 0.05
    expected = np.linalg.solve(np.eye(n) - h * jacobian, b)
    assert solve_with(pattern, jacobian, h, b) == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_a_matrix_without_an_inverse_is_refused() -> None:
    pattern = np.ones((2, 2), dtype=bool)
    order = elimination_order(pattern.copy(), [(0,)], [1])
    assert not factorise(analyse(pattern, order), np.array([[1.0, 0.0], [0.0, 0.0]]), 1.0)
