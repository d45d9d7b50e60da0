"""Published rules of how temperatures move under faults, and what the faults cost, held against the bench without its receiver.

Sources and levels are in ``fault_rules.toml``; how a level is put in, in ``fault_rules.py``.
"""

from __future__ import annotations

from typing import Any

import pytest

from sim.rig import Device
from tests.published.fault_rules import COLUMNS, DATA, faulty, look, sound, verdicts

RULES: list[dict[str, Any]] = DATA["rule"]
LOSSES: list[dict[str, Any]] = DATA["loss"]
FIXED: tuple[Any, ...] = ("capillary", pytest.param("hand", marks=pytest.mark.full))


def name_of(entry: dict[str, Any]) -> str:
    return str(entry["fault"])


def test_the_rules_are_those_published() -> None:
    said = [one for rule in RULES for one in rule["signs"].split()]
    assert all(len(rule["signs"].split()) == len(COLUMNS) for rule in RULES)
    assert sum(one != "." for one in said) == DATA["cells"]


@pytest.mark.parametrize("device", FIXED)
@pytest.mark.parametrize("rule", RULES, ids=name_of)
def test_no_reading_moves_against_the_rule_at_any_published_level(rule: dict[str, Any], device: Device) -> None:  # fmt: skip
    for level in rule["levels"]:
        assert "against" not in verdicts(rule, device, level), level


@pytest.mark.parametrize("device", FIXED)
@pytest.mark.parametrize("rule", RULES, ids=name_of)
def test_at_the_largest_level_every_reading_has_moved_but_those_with_a_reason(rule: dict[str, Any], device: Device) -> None:  # fmt: skip
    at = dict(zip(COLUMNS, verdicts(rule, device, rule["levels"][-1]), strict=True))
    assert [name for name, verdict in at.items() if verdict == "within"] == rule["within"]
    assert bool(rule["within"]) == bool(rule["why"])


@pytest.mark.parametrize("device", FIXED)
def test_at_the_largest_levels_at_least_as_many_readings_move_as_agreed(device: Device) -> None:
    moved = [verdicts(rule, device, rule["levels"][-1]).count("moved") for rule in RULES]
    assert sum(moved) >= DATA["least_moved"]


def published(loss: dict[str, Any], level: float) -> float:
    """The regression's ratio of faulty to sound."""
    at = DATA["regression"]
    c1, c2, c3, c4, c5, c6 = loss["coefficients"]
    wet, dry = (at[f"{one}_bulb_c"] / 273.15 + 1.0 for one in ("wet", "dry"))
    slope = c1 + c2 * wet + c3 * dry + c4 * level + c5 * level**2 + c6 * at["rated_cop"]
    return float(1.0 + level * slope)


def computed(loss: dict[str, Any], level: float) -> float:
    """The bench's ratio of faulty to sound, on the capillary."""
    before, after = look(sound("capillary")), faulty(loss["fault"], "capillary", level)
    if loss["of"] == "capacity":
        return after.capacity_w / before.capacity_w
    return before.cop / after.cop


@pytest.mark.parametrize("loss", LOSSES, ids=name_of)
def test_the_regressions_are_written_down_as_they_were_evaluated_elsewhere(loss: dict[str, Any]) -> None:  # fmt: skip
    assert [published(loss, level) for level in loss["levels"]] == pytest.approx(loss["read"], abs=1e-3)  # fmt: skip


@pytest.mark.parametrize("loss", LOSSES, ids=name_of)
def test_a_fault_costs_what_published_regressions_say_within_a_factor(loss: dict[str, Any]) -> None:
    sizes = []
    for level in loss["levels"]:
        ours, theirs = computed(loss, level) - 1.0, published(loss, level) - 1.0
        factor = DATA["regression"]["factor"]
        assert 1.0 / factor < ours / theirs < factor, (level, ours, theirs)
        sizes.append(abs(ours))
    assert sizes[1] > 1.5 * sizes[0]


def test_less_air_over_the_evaporator_costs_the_capacity_that_is_published() -> None:
    entry = DATA["air_over_the_evaporator"]
    whole = look(sound("capillary")).capacity_w
    c0, c1, c2 = entry["coefficients"]
    for level in entry["levels"]:
        air = 1.0 - level
        ratio = faulty("evaporator fouling", "capillary", level).capacity_w / whole
        assert ratio == pytest.approx(c0 + c1 * air + c2 * air**2, abs=entry["tolerance"])
