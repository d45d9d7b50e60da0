"""Every shipped rig: it loads, it runs, the same seed gives the same run, and its books close."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import rigs
from sim import Bench, load_rig
from sim.rig import Rig
from sim.session import line_up

SHIPPED = sorted(p.parent.name for p in Path(rigs.__file__).parent.glob("*/rig.toml"))


def test_there_are_rigs() -> None:
    assert "fennick_bench" in SHIPPED


@pytest.fixture(scope="module", params=SHIPPED)
def shipped(request: pytest.FixtureRequest) -> Rig:
    """One rig after another."""
    return load_rig(request.param)


def lived(rig: Rig, index: int, seed: int) -> Bench:
    """Ten minutes on one of its line-ups."""
    bench = Bench(rig, seed=seed)
    for step in rig.line_ups[index].steps:
        bench.set(step.set, step.to)
        bench.advance(step.wait_s)
    bench.advance(600.0)
    return bench


def test_same_seed_same_run_and_closed_books_in_every_line_up(shipped: Rig) -> None:
    for index in range(len(shipped.line_ups)):
        one, two = lived(shipped, index, 3), lived(shipped, index, 3)
        assert one.readings() == two.readings()
        assert one.events == two.events
        ledger = one.ledger()
        assert abs(ledger["mass_closure"]) < 1e-9
        assert abs(ledger["energy_closure"]) < 1e-6
        assert one.warnings == []
        assert all(isinstance(v, str) or math.isfinite(v) for v in one.readings().values())


def test_every_device_line_up_makes_the_compressor_run(shipped: Rig) -> None:
    for entry in shipped.line_ups:
        if entry.device is not None and entry.mode is not None:
            bench = Bench(shipped)
            line_up(bench, entry.device, entry.mode)
            bench.advance(120.0)
            assert bench.snapshot().running, entry.name


def test_every_tag_of_every_line_up_is_on_the_rig(shipped: Rig) -> None:
    tags = {info.tag for info in Bench(shipped).tags()}
    for entry in shipped.line_ups:
        assert {step.set for step in entry.steps} <= tags
