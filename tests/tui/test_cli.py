"""The command line: results on standard output, everything else on standard error, one clear line and an exit code for what goes wrong."""

from __future__ import annotations

import io
import json
import os
import re
import signal
import subprocess
import sys
import textwrap
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from sim.errors import FluidRangeError, PlantError
from sim.rig import Rig
from sim.starts import Start
from tui.cli import main
from tui.console import plant
from tui.console.output import Progress

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "tests" / "data" / "small_rig"
SHEET = (
    f'rig = "{SMALL.as_posix()}"\nduration_s = 3\n[[action]]\nat_s = 1\nset = {{ "HV-1" = 1 }}\n'
)


@dataclass(frozen=True)
class Tag:
    tag: str
    kind: str = "hand_valve"
    what: str = "a valve"
    low: float | None = 0.0
    high: float | None = 1.0
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Event:
    time_s: float = 1.0
    tag: str = "HV-1"
    kind: str = "command"
    text: str = "opened"


@dataclass
class StillBench:
    """A bench on which nothing moves but the clock."""

    begun: Start
    time_s: float = 0.0
    events: tuple[Event, ...] = (Event(),)
    warnings: tuple[str, ...] = ("a model out of its range",)
    set_to: dict[str, float | str] = field(default_factory=dict)

    def set(self, tag: str, value: float | str) -> None:
        self.set_to[tag] = value

    def advance(self, seconds: float) -> None:
        self.time_s += seconds

    def readings(self) -> Mapping[str, float | str]:
        return {
            "suction_pressure_pa": 2.3e5,
            "sight_glass": "clear",
            "suction_temperature_k": 270.0,
        }

    def insert_fault(self, name: str, *, severity: float, ramp_s: float, place: str | None) -> None:
        raise AssertionError("no sheet here has a fault")

    def remove_fault(self, name: str) -> None:
        raise AssertionError("no sheet here has a fault")

    def ledger(self) -> dict[str, Any]:
        return {"mass_kg": {"tank": 0.5}, "mass_closure": 0.0}


def steady_report(
    rig: Rig, device: str, mode: str, settings: Mapping[str, float | str]
) -> dict[str, Any]:
    state = {
        "point": 1,
        "place": device,
        "p_pa": 2e5,
        "t_k": 270.0,
        "h_j_kg": 4e5,
        "s_j_kg_k": 1.7e3,
        "quality": None,
    }
    return {
        "readings": {
            "cop": 2.1,
            "room_temperature_k": 273.15 + float(settings.get("room_temperature_c", 23.0)),
        },
        "states": [state],
        "balance": {"energy_w": 0.1},
        "reference": {"states": [state], "cop": 2.1},
        "difference_percent": {"cop": 0.01},
        "warnings": [],
    }


@pytest.fixture(autouse=True)
def _stand_in(monkeypatch: pytest.MonkeyPatch) -> None:
    """The model behind the command line replaced, so that no kernel is compiled here."""
    monkeypatch.setattr(plant, "start_bench", lambda rig, start: StillBench(start))
    monkeypatch.setattr(
        plant, "tags", lambda rig: [Tag("HV-1"), Tag("HS-4", choices=("off", "on"))]
    )
    monkeypatch.setattr(
        plant, "faults", lambda: {"undercharge": ("charge", "Part of the charge is gone.")}
    )
    monkeypatch.setattr(plant, "steady", steady_report)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "sheet.toml"
    path.write_text(SHEET, encoding="utf-8")
    return path


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
    assert csv_file.read_text().splitlines()[1] == "0.0,230000.0,270.0,clear"
    assert len(csv_file.read_text().splitlines()) == 5
    assert json.loads(json_file.read_text())["rig"] == "small_rig"
    assert "suction_pressure_pa" in capsys.readouterr().out


@pytest.mark.parametrize("words", [["--csv"], ["--csv=-"]])
def test_csv_alone_is_all_of_standard_output(sheet: Path, capsys: Out, words: list[str]) -> None:
    assert main(["run", *words, str(sheet)]) == 0
    assert (
        capsys.readouterr().out.splitlines()[0]
        == "time_s,suction_pressure_pa,suction_temperature_k,sight_glass"
    )


def test_json_alone_is_all_of_standard_output(sheet: Path, capsys: Out) -> None:
    assert main(["run", str(sheet), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["final"]["sight_glass"] == "clear"


def test_two_results_on_one_output_is_wrong_usage(sheet: Path, capsys: Out) -> None:
    assert main(["run", "--csv", "--json", str(sheet)]) == 2
    assert "--csv=FILE" in one_line(capsys.readouterr().err)


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
    def fail(rig: Rig, start: Start) -> StillBench:
        raise error

    monkeypatch.setattr(plant, "start_bench", fail)
    assert main(["run", str(sheet)]) == code
    assert words in one_line(capsys.readouterr().err)


def test_a_right_sheet_checks_out(sheet: Path, capsys: Out) -> None:
    assert main(["check", str(sheet), str(SMALL)]) == 0
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count(": right\n") == 2


def test_every_mistake_of_every_file_is_listed(tmp_path: Path, capsys: Out) -> None:
    (tmp_path / "a.toml").write_text(SHEET.replace("HV-1", "HV-9") + "x = 1\n", encoding="utf-8")
    (tmp_path / "b.toml").write_text("rig = \n", encoding="utf-8")
    (tmp_path / "c.toml").write_text(SHEET, encoding="utf-8")
    assert main(["check", str(tmp_path)]) == 1
    out, err = capsys.readouterr()
    assert [Path(line.split(":")[0]).name for line in out.splitlines()] == [
        "a.toml",
        "a.toml",
        "b.toml",
    ]
    assert all(PLACE.match(line) for line in out.splitlines())
    assert err.endswith("3 mistakes\n")


def test_a_flammable_rig_says_so_when_it_is_checked(tmp_path: Path, capsys: Out) -> None:
    text = (SMALL / "rig.toml").read_text(encoding="utf-8").replace("R134a", "R290")
    (tmp_path / "rig.toml").write_text(text.replace("kg = 0.5", "kg = 0.1"), encoding="utf-8")
    assert main(["check", str(tmp_path)]) == 0
    assert "A3: no ignition source" in capsys.readouterr().err


def junk_file(folder: Path) -> Path:
    path = folder / "junk.toml"
    path.write_bytes(bytes(range(256)) * 20)
    return path


def locked_file(folder: Path) -> Path:
    path = folder / "locked.toml"
    path.write_text(SHEET, encoding="utf-8")
    path.chmod(0)
    return path


@pytest.mark.parametrize("command", ["run", "check"])
@pytest.mark.parametrize(
    "make",
    [
        lambda d: d / "none.toml",
        lambda d: d,
        junk_file,
        lambda d: Path("\0"),
        lambda d: d / ("x" * 400),
    ],
)
def test_bad_input_is_a_line_with_place_and_remedy(
    tmp_path: Path, capsys: Out, command: str, make: Any
) -> None:
    assert main([command, str(make(tmp_path))]) == 1
    out, err = capsys.readouterr()
    line = one_line(out if command == "check" else err)
    assert PLACE.match(line)
    assert line.count(".") >= 2  # a sentence and a remedy


@pytest.mark.skipif(
    os.name != "posix" or os.geteuid() == 0, reason="the superuser may read everything"
)
def test_a_file_that_may_not_be_read_is_a_line(tmp_path: Path, capsys: Out) -> None:
    assert main(["check", str(locked_file(tmp_path))]) == 1
    assert "permission" in one_line(capsys.readouterr().out)


def test_a_file_that_may_not_be_read_is_a_line_for_the_superuser_too(
    sheet: Path, capsys: Out, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "open", refuse)
    assert main(["check", str(sheet)]) == 1
    assert "may not read" in one_line(capsys.readouterr().out)


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


@pytest.mark.parametrize(
    "words",
    [
        ["run"],
        ["run", "--loud", "x"],
        ["list"],
        ["list", "moods"],
        ["steady"],
        ["--room", "hot"],
        ["--device", "wick"],
        ["a", "b"],
    ],
)
def test_wrong_usage_is_code_2(words: list[str], capsys: Out) -> None:
    with pytest.raises(SystemExit) as caught:
        main(words)
    assert caught.value.code == 2
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["chek"], "Did you mean check?"),
        (["--room", "99"], "give -20 to 50"),
        ([], "needs a terminal"),
        (["steady", "fennick_bench", "--set", "room"], "NAME=VALUE"),
    ],
)
def test_usage_that_parses_but_cannot_be_meant_is_code_2(
    words: list[str], says: str, capsys: Out
) -> None:
    assert main(words) == 2
    assert says in one_line(capsys.readouterr().err)


def test_an_unknown_rig_is_wrong_input(capsys: Out) -> None:
    assert main(["fenick_bench"]) == 1
    assert "Did you mean fennick_bench?" in one_line(capsys.readouterr().err)


def test_opening_hands_the_start_to_the_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []

    def note(rig: str, start: Start, **more: object) -> int:
        asked.append((rig, start, more))
        return 0

    monkeypatch.setattr(plant, "open_screen", note)
    for stream in (sys.stdin, sys.stdout):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)
    assert main(["--start", "steady", "--device", "float", "--room", "31", "--instructor"]) == 0
    ((rig, start, more),) = asked
    assert rig == "fennick_bench"
    assert start == Start(start="steady", device="float", surroundings={"room_temperature_c": 31.0})
    assert more == {"load": None, "instructor": True}


def test_help_carries_the_general_caution(capsys: Out) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["--help"])
    assert caught.value.code == 0
    assert "Practice only." in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("subject", "keys"),
    [
        ("rigs", {"name", "title", "fluid", "wirings", "what"}),
        ("faults", {"name", "family", "what"}),
        ("readings", {"name", "unit", "what"}),
    ],
)
def test_lists_are_objects_for_other_programs(subject: str, keys: set[str], capsys: Out) -> None:
    assert main(["list", subject, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert rows
    assert all(set(row) == keys for row in rows)


def test_tags_have_a_range_or_choices(capsys: Out) -> None:
    assert main(["list", "tags", "--rig", str(SMALL), "--json"]) == 0
    valve, switch = json.loads(capsys.readouterr().out)
    assert valve == {"tag": "HV-1", "kind": "hand_valve", "what": "a valve", "range": [0.0, 1.0]}
    assert switch["choices"] == ["off", "on"]
    assert "range" not in switch


def test_readings_of_a_rig_include_what_its_instruments_show(capsys: Out) -> None:
    assert main(["list", "readings", "--rig", str(SMALL), "--json"]) == 0
    names = [row["name"] for row in json.loads(capsys.readouterr().out)]
    assert "suction_pressure_pa_shown" in names


@pytest.mark.parametrize("subject", ["rigs", "faults", "lessons", "readings", "tags"])
def test_every_list_is_readable_as_a_table(subject: str, capsys: Out) -> None:
    assert main(["list", subject]) == 0
    assert capsys.readouterr().out.strip()


def test_steady_takes_settings_and_shows_both_cycles(capsys: Out) -> None:
    words = [
        "steady",
        str(SMALL),
        "--device",
        "float",
        "--set",
        "room_temperature_c=31",
        "--set",
        "HS-2=low",
    ]
    assert main(words) == 0
    out = capsys.readouterr().out
    assert re.search(r"room_temperature_k +304\.15 K +31 °C", out)
    assert out.count("kJ/(kg K)") == 2


def test_steady_as_json_has_the_agreed_keys(capsys: Out) -> None:
    assert main(["steady", str(SMALL), "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert {"readings", "states", "balance", "reference", "difference_percent", "warnings"} <= set(
        report
    )


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("no_colour", [True, False])
def test_the_bar_shows_only_on_a_terminal_and_its_colour_only_when_wanted(
    monkeypatch: pytest.MonkeyPatch, no_colour: bool
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    if no_colour:
        monkeypatch.setenv("NO_COLOR", "1")
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with Progress("work") as bar:
        bar(1.0)
    assert "100%" in stream.getvalue()
    assert ("\x1b[36m" in stream.getvalue()) != no_colour
    plain = io.StringIO()
    monkeypatch.setattr(sys, "stderr", plain)
    with Progress("work") as bar:
        bar(1.0)
    assert plain.getvalue() == ""


STAND_IN = """
import sys, time
sys.path.insert(0, {root!r})
from tui.console import plant

class Bench:
    time_s, events, warnings = 0.0, (), ()
    def set(self, tag, value): pass
    def advance(self, seconds):
        self.time_s += seconds
        time.sleep({pause})
    def readings(self): return {{"cop": 2.0}}
    def ledger(self): return {{}}

class Tag:
    tag, kind, what, low, high, choices = "HV-1", "hand_valve", "", 0.0, 1.0, ()

plant.start_bench = lambda rig, start: Bench()
plant.tags = lambda rig: [Tag()]
plant.faults = dict
from tui.cli import main
sys.exit(main())
"""


def script(folder: Path, pause: float = 0.0) -> Path:
    path = folder / "stand_in.py"
    path.write_text(textwrap.dedent(STAND_IN).format(root=str(ROOT), pause=pause), encoding="utf-8")
    return path


@pytest.mark.skipif(os.name != "posix", reason="signals and pipes of a shell")
def test_ctrl_c_keeps_the_rows_so_far_and_says_where_it_stopped(
    tmp_path: Path, sheet: Path
) -> None:
    sheet.write_text(SHEET.replace("duration_s = 3", "duration_s = 3000"), encoding="utf-8")
    log = tmp_path / "a.csv"
    words = [sys.executable, str(script(tmp_path, 0.02)), "run", str(sheet), f"--csv={log}"]
    with subprocess.Popen(
        words, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        while not log.exists() and process.poll() is None:
            time.sleep(0.02)
        time.sleep(0.3)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=20)
    assert process.returncode == 130
    assert out == ""
    assert re.match(r"rimebench: stopped by hand at \d+ s of 3000 s", one_line(err))
    rows = log.read_text().splitlines()
    assert len(rows) > 2
    assert all(row.endswith(",2.0") for row in rows[1:])


@pytest.mark.skipif(os.name != "posix", reason="pipes of a shell")
def test_a_reader_that_goes_away_ends_the_run_without_a_traceback(
    tmp_path: Path, sheet: Path
) -> None:
    sheet.write_text(SHEET.replace("duration_s = 3", "duration_s = 30000"), encoding="utf-8")
    words = [sys.executable, str(script(tmp_path)), "run", "--csv", str(sheet)]
    with subprocess.Popen(
        words, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        err = process.stderr.read()
    assert process.returncode == 141
    assert "has ended" in one_line(err)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_behind_standard_output_is_a_line(tmp_path: Path, sheet: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, str(script(tmp_path)), "run", str(sheet)],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
    assert done.returncode == 1
    assert "No space left" in one_line(done.stderr)


def test_listing_readings_needs_no_compiler() -> None:
    code = "import sys; from tui.cli import main; main(['list', 'readings']); sys.exit('numba' in sys.modules or 'textual' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=False)
    assert done.returncode == 0
