"""Shared by all tests: the seed of everything drawn at random.

Without ``--seed`` the sample is fixed, hypothesis included, so that a failure is never luck; with it everything is drawn anew from that seed.
"""

from __future__ import annotations

import pytest
from hypothesis import settings

from sim.library import ready

FIXED_SEED = 1


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--seed", type=int, help="draw every random sample from this seed")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    if getattr(config.option, "numprocesses", None):
        ready()  # once, before every worker makes it for itself
    given = config.getoption("--seed")
    settings.register_profile("fixed", derandomize=True, deadline=None)  # a first call may compile
    if given is None:
        settings.load_profile("fixed")
    elif config.getoption("--hypothesis-seed") is None:
        config.option.hypothesis_seed = str(given)


@pytest.fixture
def seed(request: pytest.FixtureRequest) -> int:
    """The seed given on the command line."""
    given = request.config.getoption("--seed")
    return FIXED_SEED if given is None else int(given)
