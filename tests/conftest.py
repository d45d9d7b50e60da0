"""Shared by all tests: the seed of everything drawn at random."""

from __future__ import annotations

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--seed", type=int, default=1, help="seed of all random samples (default 1)")


@pytest.fixture
def seed(request: pytest.FixtureRequest) -> int:
    """The seed given on the command line."""
    return int(request.config.getoption("--seed"))
