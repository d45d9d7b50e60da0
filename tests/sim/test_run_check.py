"""A sheet held against its rig: what only the rig can tell, told beside the sheet's own mistakes."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.bench import Bench
from sim.rig import load_rig
from sim.run_check import check_sheet
from tests.sim.test_run_sheet import FAULTS, TEXT, mistakes_in, sheet_at


@pytest.mark.parametrize(("tag", "right"), [("PSHH-1", True), ("K1", True), ("receiver", True), ("HS-7.limit", True), ("PSHH-1.set", True), ("W12", True), ("room_temperature_c", True), ("PSHH-7", False)])  # fmt: skip
def test_a_fault_that_waits_for_nothing_on_the_rig_is_told(tmp_path: Path, tag: str, right: bool) -> None:  # fmt: skip
    text = f"""
rig = "fennick_bench"
duration_s = 10.0
log_every_s = 1.0

[[fault]]
name = "undercharge"
at_s = 1.0
on = "trip:{tag}"
"""
    found = check_sheet(sheet_at(tmp_path, text), lambda name, near: load_rig(name), lambda rig: Bench(rig).tags(), FAULTS)[2]  # fmt: skip
    assert [one.what for one in found] == ([] if right else ["the fault waits for an event of PSHH-7, which rig fennick_bench has not."])  # fmt: skip
    assert right or found[0].line == 9


@pytest.mark.parametrize("value", ["[1]", "true", "{}"])
def test_a_setting_that_is_none_is_told_once(tmp_path: Path, value: str) -> None:
    text = TEXT.replace('"HV-1" = 0.5', f'"HV-1" = {value}')
    assert text != TEXT
    assert len(mistakes_in(tmp_path, text)) == 1


def test_mistakes_that_only_the_rig_can_tell_stand_beside_the_sheets_own(tmp_path: Path) -> None:
    """A wrong number, a mode that the device has no line-up for, and both ends of a meter, in one answer."""
    text = """
rig = "fennick_bench"
device = "float"
mode = "heating"
duration_s = "ten"
log_every_s = 1.0

[[measure]]
at_s = 1.0
name = "nowhere"
mode = "volts"
between = ["K1.9", "F1.9"]
"""
    path = sheet_at(tmp_path, text)
    found = [one.what for one in check_sheet(path, lambda name, near: load_rig(name), lambda _: (), ())[2]]  # fmt: skip
    for said in ("duration_s", "no line-up for float in heating", "no terminal K1.9", "no terminal F1.9"):  # fmt: skip
        assert any(said in one for one in found), (said, found)
