"""What the card of a thermostatic valve says of its spring."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from sim.rig import load_rig
from tests.screen.stored import stored, stored_fluid
from tests.tui.conftest import RIGS
from tui.draw.scene import Scene
from tui.opening import _springs
from tui.part_card import card_of
from tui.report import Report

SPRINGS = _springs(load_rig(RIGS / "fennick_bench").parts)


def said(turns: float, evaporating_k: float) -> list[float]:
    fluid, found = stored_fluid(), stored("cooling")
    pressure = fluid.dew_pa(evaporating_k)
    snapshot = replace(found.snapshot, readings=dict(found.snapshot.readings) | {"suction_pressure_pa_shown": pressure}, commands=dict(found.snapshot.commands) | {"TCV-23.spring": turns})  # fmt: skip
    scene = Scene(snapshot=snapshot, tags=found.tags, fluid=fluid)
    lines = card_of("TCV-23", scene, None, Report(springs=SPRINGS)).lines
    line = next(one for one in lines if "sets the superheat" in one)
    return [float(number) for number in re.findall(r"([\d.]+) K", line)]


def test_as_delivered_it_is_the_static_superheat_of_its_data_sheet() -> None:
    """The rig's source: 29 kPa are 3.3 K at -6.6 °C, since the saturation line rises by 8.77 kPa a kelvin there (CoolProp); a quarter turn of 7 kPa is 0.8 K. The line is curved: 29 kPa further up it are 3.2 K."""
    begins, step = said(0.0, 266.55)
    assert begins == pytest.approx(3.2, abs=0.1)
    assert step == pytest.approx(0.75, abs=0.06)


def test_turning_in_raises_it_and_warmth_lowers_it() -> None:
    assert said(2.0, 266.55)[0] == pytest.approx(said(0.0, 266.55)[0] + 2 * 0.75, abs=0.15)
    assert said(0.0, 283.15)[0] < said(0.0, 266.55)[0]


def test_other_parts_have_no_spring() -> None:
    found = stored("cooling")
    scene = Scene(snapshot=found.snapshot, tags=found.tags, fluid=stored_fluid())
    assert not any("spring" in line for line in card_of("HCV-22", scene, None, Report(springs=SPRINGS)).stands)  # fmt: skip
