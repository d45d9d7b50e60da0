"""However a rig file is spoilt, the loader answers with a rig or with FILE:LINE, never with a traceback."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.catalogue import CATALOGUE
from sim.errors import InputError
from sim.rig_find import shipped_folder
from sim.rig_read import build_rig
from sim.tomlfile import parse_toml

SMALL = (Path(__file__).parents[1] / "data" / "small_rig" / "rig.toml").read_text(encoding="utf-8")
SHIPPED = (shipped_folder() / "fennick_bench" / "rig.toml").read_text(encoding="utf-8")
JUNK = [
    "", "x", "[", "[[part]]", "[part]", "[node]", "= 1", "tag = 1", "kind = 7", "kind = []", "name = {}", "from = 1", "to = [1]", "cells = -1",
    "cells = 1_000_000_000", "cells = 0", 'prefix = ""', "kg = -1", "kg = inf", "ps_pa = 0", "volume_m3 = -1e300", "step = 1", "step = [1]",
    "choices = [1]", "choices = []", 'extends = ["x"]', "built_for = [1]", 'air = ""', 'in_line_with = "HV-2"', "set = []", "to = true", "what = 3",
    "wait_s = nan", "\x00", "é", "'", '"""', "# only a comment", "low = 1e400", "reading = 5", 'unit = ""', "at = 2020-01-01",
]  # fmt: skip
VALUES = ["0", "-1", "1e300", "nan", "true", '""', '"x"', "[]", "{}", "[[1]]", "99999999999999999999", '"drum"', '"tank.top"', "2020-01-01"]  # fmt: skip

places = st.integers(0, 10_000)


def drop(lines: list[str], at: int, _: int) -> list[str]:
    return lines[:at] + lines[at + 1 :]


def double(lines: list[str], at: int, _: int) -> list[str]:
    return [*lines[:at], lines[at], *lines[at:]]


def swap(lines: list[str], at: int, other: int) -> list[str]:
    copy = list(lines)
    other %= len(lines)
    copy[at], copy[other] = copy[other], copy[at]
    return copy


def insert(lines: list[str], at: int, other: int) -> list[str]:
    return [*lines[:at], JUNK[other % len(JUNK)], *lines[at:]]


def revalue(lines: list[str], at: int, other: int) -> list[str]:
    copy = list(lines)
    key, equals, _ = copy[at].partition("=")
    copy[at] = f"{key}= {VALUES[other % len(VALUES)]}" if equals else copy[at]
    return copy


def misspell(lines: list[str], at: int, other: int) -> list[str]:
    copy = list(lines)
    if copy[at]:
        here = other % len(copy[at])
        copy[at] = copy[at][:here] + copy[at][here + 1 :]
    return copy


def cut(lines: list[str], at: int, _: int) -> list[str]:
    return lines[:at]


SPOILERS = (drop, double, swap, insert, revalue, misspell, cut)
spoiling = st.lists(st.tuples(st.sampled_from(SPOILERS), places, places), min_size=1, max_size=6)


@pytest.mark.parametrize("original", [SMALL, SHIPPED], ids=["small", "shipped"])
@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(steps=spoiling)
def test_a_spoilt_rig_is_a_rig_or_a_list_of_places(original: str, steps: list[tuple]) -> None:  # type: ignore[type-arg]
    lines = original.splitlines()
    for spoil, at, other in steps:
        if lines:
            lines = spoil(lines, at % len(lines), other)
    text = "\n".join(lines)
    try:
        rig, mistakes = build_rig(parse_toml(text, "spoilt.toml"), Path(), CATALOGUE)
    except InputError as error:
        rig, mistakes = None, error.mistakes
    assert (rig is None) == bool(mistakes)
    for mistake in mistakes:
        assert re.match(r"spoilt\.toml:\d+: \S", str(mistake))
        assert 1 <= mistake.line <= max(1, len(lines))
        assert mistake.remedy
