"""The sparse solver against numpy's dense one."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from sim.sparse import analyse, elimination_order, factorise, solve

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
SIZE = 40


def random_system(seed: int, tail: int = 0) -> tuple[Bools, Floats]:
    """A pattern of about four entries a row and a Jacobian in it; the last ``tail`` columns are felt by their own rows only."""
    rng = np.random.default_rng(seed)
    pattern = rng.random((SIZE, SIZE)) < 3.0 / SIZE
    np.fill_diagonal(pattern, True)
    if tail:
        pattern[:, SIZE - tail :] = False
    jacobian = np.where(pattern, rng.normal(size=(SIZE, SIZE)), 0.0)
    np.fill_diagonal(jacobian, jacobian.diagonal() - 5.0)
    if tail:
        jacobian[:, SIZE - tail :] = 0.0
    return pattern, jacobian


def groups(tail: int = 0) -> tuple[list[tuple[int, ...]], list[int]]:
    """Pairs of unknowns, as a node's energy and mass, and what comes last."""
    last = list(range(SIZE - tail, SIZE))
    return [(k, k + 1) for k in range(0, SIZE - tail, 2)], last


@pytest.mark.parametrize("tail", [0, 4])
@pytest.mark.parametrize("h", [1e-3, 0.3, 10.0])
def test_the_sparse_solution_is_the_dense_one(seed: int, tail: int, h: float) -> None:
    for k in range(20):
        pattern, jacobian = random_system(100 * seed + k, tail)
        order = elimination_order(pattern.copy(), *groups(tail))
        factors = analyse(pattern, order, tail)
        assert factorise(factors, jacobian, h)
        right = np.random.default_rng(k).normal(size=SIZE)
        mine = right[order].copy()
        solve(factors, mine)
        exact = np.linalg.solve(np.eye(SIZE) - h * jacobian, right)
        np.testing.assert_allclose(mine, exact[order], rtol=1e-9, atol=1e-11)


def test_new_numbers_in_an_old_pattern_leave_nothing_behind(seed: int) -> None:
    pattern, first = random_system(seed)
    order = elimination_order(pattern.copy(), *groups())
    factors = analyse(pattern, order)
    second = 0.5 * first
    assert factorise(factors, first, 1.0)
    assert factorise(factors, second, 2.0)
    right = np.ones(SIZE)
    solve(factors, right)
    again = analyse(pattern, order)
    assert factorise(again, first, 1.0)
    other = np.ones(SIZE)
    solve(again, other)
    np.testing.assert_array_equal(right, other)  # 2.0 * 0.5 is exact


def test_every_unknown_is_eliminated_once(seed: int) -> None:
    pattern, _ = random_system(seed, 4)
    order = elimination_order(pattern.copy(), *groups(4))
    assert sorted(order) == list(range(SIZE))
    assert list(order[-4:]) == list(range(SIZE - 4, SIZE))


def test_a_matrix_without_an_inverse_is_refused() -> None:
    pattern = np.ones((2, 2), dtype=bool)
    factors = analyse(pattern, np.array([0, 1]))
    assert not factorise(factors, np.eye(2), 1.0)  # I - J = 0
    assert not factorise(factors, np.full((2, 2), np.nan), 1.0)


def test_an_integral_that_something_depends_on_is_no_integral() -> None:
    pattern = np.ones((3, 3), dtype=bool)
    with pytest.raises(ValueError, match="felt by another row"):
        analyse(pattern, np.arange(3), tail=1)


def test_minimum_degree_keeps_an_arrow_thin() -> None:
    """A matrix with one full row and column fills up completely when that unknown goes first, and not at all when it goes last."""
    pattern = np.eye(SIZE, dtype=bool)
    pattern[0, :] = pattern[:, 0] = True
    order = elimination_order(pattern.copy(), [(k,) for k in range(SIZE)], [])
    assert len(analyse(pattern, order).column) == pattern.sum()
    assert len(analyse(pattern, np.arange(SIZE)).column) == SIZE * SIZE
