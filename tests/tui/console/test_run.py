"""``rimebench run``: readings, events, files."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from sim.cautions import all_cautions
from sim.errors import FluidRangeError, PlantError
from sim.rig import Rig
from sim.starts import Start
from tui.cli import main
from tui.console import plant

ROOT = Path(__file__).parents[3]
Out = pytest.CaptureFixture[str]
PLACE = re.compile(r"^.+:\d+: \S.*$")


def one_line(text: str) -> str:
    """The only line of ``text``."""
    (line,) = text.splitlines()
    return line


def test_a_run_ends_with_tables_of_readings_and_events(sheet: Path, capsys: Out) -> None:
    assert main(["run", str(sheet)]) == 0
    out, err = capsys.readouterr()
    assert re.search(r"suction_pressure_pa +230000 Pa +1\.287 bar g", out)  # (2.3 - 1.01325) bar
    assert re.search(r"1\.0 +HV-1 +command +opened", out)
    assert err == "warning: a model out of its range\n"


def test_csv_and_json_go_to_their_files_and_tables_to_the_output(
    sheet: Path, capsys: Out, tmp_path: Path
) -> None:
    csv_file, json_file = tmp_path / "a.csv", tmp_path / "a.json"
    assert main(["run", str(sheet), f"--csv={csv_file}", f"--json={json_file}"]) == 0
    first, second = csv_file.read_text().splitlines()[1:3]
    assert first == f'0.0,230000.0,270.0,clear,"{all_cautions()["general"].line()}"'
    assert second.endswith(",clear,")
    assert len(csv_file.read_text().splitlines()) == 5
    record = json.loads(json_file.read_text())
    assert record["rig"] == "small_rig"
    assert record["cautions"] == [all_cautions()["general"].record]
    assert "suction_pressure_pa" in capsys.readouterr().out


@pytest.mark.parametrize("words", [["--csv"], ["--csv=-"]])
def test_csv_alone_is_all_of_standard_output(sheet: Path, capsys: Out, words: list[str]) -> None:
    assert main(["run", *words, str(sheet)]) == 0
    assert (
        capsys.readouterr().out.splitlines()[0]
        == "time_s,suction_pressure_pa,suction_temperature_k,sight_glass,cautions"
    )


def test_json_alone_is_all_of_standard_output(sheet: Path, capsys: Out) -> None:
    assert main(["run", str(sheet), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["final"]["sight_glass"] == "clear"


def test_quiet_leaves_only_warnings(sheet: Path, capsys: Out) -> None:
    assert main(["run", "--quiet", str(sheet)]) == 0
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (PlantError("stiff", "the step became too small at 3 s"), 3, "(stiff): the step"),
        (FluidRangeError("R134a at 900 K"), 3, "beyond-tables"),
        (KeyboardInterrupt(), 130, "stopped by hand"),
        (OSError(28, "No space left on device", "x"), 1, "No space left"),
    ],
)
def test_what_the_plant_cannot_do_is_one_line_and_a_code(
    monkeypatch: pytest.MonkeyPatch,
    sheet: Path,
    capsys: Out,
    error: BaseException,
    code: int,
    words: str,
) -> None:
    def fail(rig: Rig, start: Start) -> None:
        raise error

    monkeypatch.setattr(plant, "start_bench", fail)
    assert main(["run", str(sheet)]) == code
    assert words in one_line(capsys.readouterr().err)


@pytest.mark.parametrize("name", ["no/such/folder/a.csv", ".", "\0"])
def test_a_result_file_that_cannot_be_made_is_a_line(sheet: Path, capsys: Out, name: str) -> None:
    assert main(["run", str(sheet), f"--csv={name}"]) == 1
    assert PLACE.match(one_line(capsys.readouterr().err))


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("option", ["--csv", "--json"])
def test_a_full_disk_is_a_line(sheet: Path, capsys: Out, option: str) -> None:
    assert main(["run", str(sheet), f"{option}=/dev/full"]) == 1
    line = capsys.readouterr().err.splitlines()[-1]
    assert "No space left" in line
    assert "Free some space" in line
