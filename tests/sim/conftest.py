"""Benches that many tests begin from; each test gets a copy of its own."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sim import Bench, load_rig
from sim.rig import Rig
from sim.session import line_up

WARM_S = 300.0
SETTLED_S = 3600.0


@pytest.fixture(scope="session")
def rig() -> Rig:
    """The default rig."""
    return load_rig("fennick_bench")


@pytest.fixture(scope="session")
def _warm(rig: Rig) -> Bench:
    bench = Bench(rig)
    line_up(bench, "thermostatic")
    bench.advance(WARM_S)
    return bench


@pytest.fixture
def running(_warm: Bench) -> Bench:
    """A bench that has been cooling on the thermostatic valve for five minutes."""
    return _warm.fork()


@pytest.fixture(scope="session")
def _settled(_warm: Bench) -> Bench:
    bench = _warm.fork()
    bench.advance(SETTLED_S)
    return bench


@pytest.fixture
def settled(_settled: Bench) -> Bench:
    """The same an hour later, when all metal has come to rest."""
    return _settled.fork()


@pytest.fixture
def another(_warm: Bench) -> Callable[[], Bench]:
    """Makes further copies of ``running``."""
    return _warm.fork
