"""Benches that many tests begin from; each test gets a copy of its own."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sim import Bench, load_rig
from sim.rig import Rig
from sim.session import line_up
from sim.study.survey import able

WARM_S = 300.0
SETTLED_S = 3600.0


@pytest.fixture(scope="session")
def rig() -> Rig:
    """The default rig."""
    return load_rig("fennick_bench")


def warm(rig: Rig) -> Bench:
    bench = Bench(rig)
    line_up(bench, "thermostatic")
    bench.advance(WARM_S)
    return bench


@pytest.fixture(scope="session")
def _warm(rig: Rig) -> Bench:
    return warm(rig)


@pytest.fixture(scope="session")
def _extended() -> Bench:
    return warm(load_rig("fennick_bench:120v-extended"))


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


@pytest.fixture
def extended(_extended: Bench) -> Callable[[], Bench]:
    """Makes copies of such a bench on the extended wiring, where every fault has a place."""
    return _extended.fork


@pytest.fixture
def fit_for(_warm: Bench, _extended: Bench) -> Callable[[str], Bench]:
    """Makes a copy of ``running``, or of a bench on the extended wiring when the fault of that name needs it."""
    here = able(_warm.rig)
    return lambda name: (_warm if name in here else _extended).fork()
