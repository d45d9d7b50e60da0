"""Two sheets on one clock: the difference is that of two benches run by hand; equal sheets never part."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from sim.cautions import all_cautions
from sim.faults import all_faults
from sim.session import open_bench
from tui.cli import main
from tui.console.compare import course

HEAD = 'rig = "fennick_bench"\nstart = "steady"\ndevice = "capillary"\nduration_s = {0}\n'
FAULT = '\n[[fault]]\nat_s = 60\nname = "condenser-fouled"\nseverity = 0.5\n'


@pytest.fixture
def sheets(tmp_path: Path) -> tuple[Path, Path]:
    """Healthy, and with a fouled condenser from a minute on; the second lasts longer."""
    one, two = tmp_path / "healthy.toml", tmp_path / "fouled.toml"
    one.write_text(HEAD.format(300))
    two.write_text(HEAD.format(400) + FAULT)
    return one, two


def test_differences_are_those_of_benches_run_by_hand(sheets: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    assert main(["compare", *map(str, sheets), "--json"]) == 0
    printed = capsys.readouterr()
    found = json.loads(printed.out)
    assert found["duration_s"] == 300.0
    assert "shorter" in printed.err
    faulty = open_bench("fennick_bench", "steady", device="capillary")
    healthy = faulty.fork()
    faulty.advance(60.0)
    faulty.insert_fault("condenser-fouled", 0.5)
    faulty.advance(240.0)
    healthy.advance(300.0)
    head = next(part for part in found["partings"] if part["tag"] == "PI-2")
    shift = (float(faulty.readings()["discharge_pressure_pa_shown"]) - float(healthy.readings()["discharge_pressure_pa_shown"])) / 1e5  # fmt: skip
    assert head["shift"] == pytest.approx(shift, abs=1e-6)
    assert head["first_s"] > 60.0
    assert {"general", *all_faults()["condenser-fouled"].cautions} <= {one["id"] for one in found["cautions"]}  # fmt: skip


def test_the_table_says_what_parts_when_and_what_happened(sheets: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    assert main(["compare", *map(str, sheets)]) == 0
    printed = capsys.readouterr().out
    assert "PI-2" in printed
    assert "condenser-fouled" in printed
    assert "never apart: " in printed
    assert re.search(r"PI-2 +\d+ s +8\.\d* bar g +\d", printed), (
        "as the gauge is read, not in pascals"
    )
    assert re.search(r"FI-1 +\d+ s +[\d.]+ L/h", printed)
    assert " Pa " not in printed
    for id in ("general", *all_faults()["condenser-fouled"].cautions):
        assert all_cautions()[id].line() in printed


def test_a_sheet_never_parts_from_itself(sheets: tuple[Path, Path], capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    assert main(["compare", str(sheets[0]), str(sheets[0])]) == 0
    printed = capsys.readouterr().out
    assert "the same events on both" in printed
    assert "parts at" not in printed


@pytest.mark.parametrize(("words", "code"), [(["no.toml", "no.toml"], 1), (["--every", "0"], 2)])
def test_wrong_words_are_refused(words: list[str], code: int, sheets: tuple[Path, Path]) -> None:
    names = [] if code == 1 else list(map(str, sheets))
    assert main(["compare", *names, *words]) == code


def test_a_course_is_tallest_where_the_difference_is_largest() -> None:
    assert course([0.0, 1.0, 2.0]).index("#") == 2
    assert course([0.0, 0.0]) == ""
