"""A run sheet is read, held against its rig and carried out through the bench's public names."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.cautions import all_cautions
from sim.electrical import ElectricalFault
from sim.errors import InputError, Mistake
from sim.onset import Onset
from sim.probing import Probing
from sim.readings import READINGS
from sim.rig import load_rig
from sim.run_bench import run_on
from sim.run_check import check_sheet
from sim.run_log import CsvLog, columns, run_result, to_json
from sim.run_sheet import RunSheet, load_sheet
from sim.wiring.multimeter import Reading as MeterReading

SMALL = Path(__file__).parents[1] / "data" / "small_rig"
FAULTS = ("undercharge", "overcharge", "condenser-air-low")
TEXT = f"""rig = "{SMALL.as_posix()}"
seed = 3
start = "off"
device = "hand"
duration_s = 10
log_every_s = 2.0

[surroundings]
room_temperature_c = 31.0

[[action]]
at_s = 4
set = {{ "HV-1" = 0.5, "HS-4" = "on" }}

[[action]]
at_s = 1
set = {{ "room_temperature_c" = 25.0 }}

[[fault]]
at_s = 3
name = "undercharge"
severity = 0.3
ramp_s = 5
until_s = 7
"""


@dataclass(frozen=True)
class Tag:
    tag: str
    kind: str = "hand_valve"
    what: str = "a valve"
    low: float | None = 0.0
    high: float | None = 1.0
    choices: tuple[str, ...] = ()


TAGS = (
    Tag("HV-1"),
    Tag("HV-2"),
    Tag("HCV-2"),
    Tag("HS-4", choices=("off", "on")),
    Tag("TCV-3.spring", low=-8.0, high=8.0),
)


@dataclass(frozen=True)
class Event:
    time_s: float
    tag: str
    kind: str
    text: str


@dataclass
class NoteBench:
    """A bench that only writes down what is asked of it; its pressure is its clock."""

    time_s: float = 0.0
    done: list[tuple[float, str]] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

    def set(self, tag: str, value: float | str) -> None:
        self.done.append((self.time_s, f"{tag}={value}"))
        self.events.append(Event(self.time_s, tag, "command", f"{tag} to {value}"))

    def advance(self, seconds: float) -> None:
        assert seconds > 0
        self.time_s += seconds

    def readings(self) -> Mapping[str, float | str]:
        return {
            "sight_glass_FG-2": "clear",
            "cop": float("nan"),
            "suction_pressure_pa": 1e5 + self.time_s,
            "sight_glass": "foam",
        }

    def insert_fault(self, name: str, *, severity: float, place: str | None, onset: Onset) -> None:  # fmt: skip
        self.done.append((self.time_s, f"+{name} {severity} {onset.ramp_s} {place}"))

    def remove_fault(self, name: str, *, place: str | None = None) -> None:
        self.done.append((self.time_s, f"-{name}"))

    @property
    def wiring(self) -> NoteBench:
        return self

    def insert(self, fault: ElectricalFault) -> None:
        self.done.append((self.time_s, f"+{fault.name}"))

    def remove(self, name: str) -> None:
        self.done.append((self.time_s, f"-{name}"))

    def measure(self, probing: Probing) -> MeterReading:
        self.done.append((self.time_s, f"{probing.mode} {' '.join(probing.between)}"))
        return MeterReading(probing.mode, self.time_s, f"{self.time_s:.1f}")

    def ledger(self) -> dict[str, Any]:
        return {"mass_kg": {"tank": 0.5}, "mass_closure": 1e-12}


def sheet_at(folder: Path, text: str = TEXT) -> Path:
    path = folder / "sheet.toml"
    path.write_text(text, encoding="utf-8")
    return path


def mistakes_in(folder: Path, text: str) -> list[Mistake]:
    path = sheet_at(folder, text)
    try:
        return check_sheet(
            path, lambda name, near: load_rig(name, near=near), lambda _: TAGS, FAULTS
        )[2]
    except InputError as error:
        return error.mistakes


def carried_out(sheet: RunSheet) -> tuple[NoteBench, list[tuple[float, float]]]:
    bench = NoteBench()
    rows: list[tuple[float, float]] = []
    run_on(bench, sheet, lambda t, r: rows.append((t, float(r["suction_pressure_pa"]))))
    return bench, rows


def test_a_right_sheet_has_no_mistakes(tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, TEXT) == []


def test_a_sheet_says_how_the_bench_begins(tmp_path: Path) -> None:
    begin = load_sheet(sheet_at(tmp_path)).beginning
    assert (begin.start, begin.device, begin.mode, begin.receiver, begin.seed) == (
        "off",
        "hand",
        "cooling",
        "in-line",
        3,
    )
    assert begin.surroundings == {"room_temperature_c": 31.0}


def test_everything_is_done_at_its_time(tmp_path: Path) -> None:
    bench, _ = carried_out(load_sheet(sheet_at(tmp_path)))
    assert bench.done == [
        (1.0, "room_temperature_c=25.0"),
        (3.0, "+undercharge 0.3 5.0 None"),
        (4.0, "HV-1=0.5"),
        (4.0, "HS-4=on"),
        (7.0, "-undercharge"),
    ]
    assert bench.time_s == 10.0


def test_a_row_is_logged_every_step_and_at_the_end(tmp_path: Path) -> None:
    text = TEXT.replace("log_every_s = 2.0", "log_every_s = 4.0")
    _, rows = carried_out(load_sheet(sheet_at(tmp_path, text)))
    assert [time for time, _ in rows] == [0.0, 4.0, 8.0, 10.0]
    assert [pressure - 1e5 for _, pressure in rows] == [0.0, 4.0, 8.0, 10.0]


def test_what_is_done_does_not_depend_on_the_log(tmp_path: Path) -> None:
    often = carried_out(
        load_sheet(sheet_at(tmp_path, TEXT.replace("log_every_s = 2.0", "log_every_s = 0.5")))
    )
    seldom = carried_out(
        load_sheet(sheet_at(tmp_path, TEXT.replace("log_every_s = 2.0", "log_every_s = 9.0")))
    )
    assert often[0].done == seldom[0].done


def test_progress_runs_to_the_end(tmp_path: Path) -> None:
    shares: list[float] = []
    run_on(NoteBench(), load_sheet(sheet_at(tmp_path)), lambda t, r: None, shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0


def test_a_run_of_no_length_logs_its_beginning(tmp_path: Path) -> None:
    text = f'rig = "{SMALL.as_posix()}"\nduration_s = 0\n'
    _, rows = carried_out(load_sheet(sheet_at(tmp_path, text)))
    assert rows == [(0.0, 1e5)]


def test_the_csv_has_one_header_and_a_row_a_step(tmp_path: Path) -> None:
    stream = io.StringIO()
    run_on(
        NoteBench(), load_sheet(sheet_at(tmp_path)), CsvLog(stream, [all_cautions()["general"]]).row
    )
    rows = list(csv.reader(io.StringIO(stream.getvalue())))
    assert rows[0] == ["time_s", "suction_pressure_pa", "sight_glass", "cop", "sight_glass_FG-2", "cautions"]  # fmt: skip
    assert [row[-1] for row in rows[1:]] == [all_cautions()["general"].line(), *[""] * 5]
    assert [row[0] for row in rows[1:]] == ["0.0", "2.0", "4.0", "6.0", "8.0", "10.0"]
    assert rows[2] == ["2.0", "100002.0", "foam", "nan", "clear", ""]


def test_columns_follow_the_table_of_readings() -> None:
    assert columns(["x_shown", *reversed(READINGS)]) == [*READINGS, "x_shown"]


def test_the_json_has_the_agreed_keys_and_no_word_that_json_lacks(tmp_path: Path) -> None:
    sheet = load_sheet(sheet_at(tmp_path))
    bench, _ = carried_out(sheet)
    record = json.loads(to_json(run_result(bench, sheet, "small_rig")))
    assert {
        "rig",
        "seed",
        "version",
        "final",
        "events",
        "measurements",
        "ledger",
        "warnings",
    } <= set(record)
    assert record["seed"] == 3
    assert "general" in {one["id"] for one in record["cautions"]}
    assert record["final"]["cop"] is None
    assert set(record["events"][0]) == {"time_s", "tag", "kind", "text"}


ONE_MISTAKE = [
    ("duration_s = 10", "duration_min = 10", "wrong unit", "duration_s = 600"),
    ("duration_s = 10", "", "duration_s is missing", "Add a line"),
    ("duration_s = 10", "duration_s = 1e12", "duration_s is 1e+12", "within"),
    ("log_every_s = 2.0", "log_every_s = 1e-9", "log_every_s is 1e-09", ""),
    ("seed = 3", "seed = 3.5", "whole number", ""),
    ('device = "hand"', 'device = "handy"', "no choice", "thermostatic"),
    ('device = "hand"', 'device = "float"', "no line-up for float in cooling", "hand in cooling"),
    ('start = "off"', 'start = "cold"', "no choice", "off, steady"),
    ("seed = 3", "sead = 3", "no key sead", "Did you mean seed?"),
    ("[[action]]", "[[actoin]]", "no key actoin", "Did you mean action?"),
    ("room_temperature_c = 31.0", "room_temperature_k = 304", "wrong unit", "room_temperature_c = 30.85"),
    ("room_temperature_c = 31.0", "room_temperature_c = 88", "the model holds from -20 to 50", ""),
    ('"HV-1" = 0.5', '"HV-7" = 0.5', "no HV-7 to set", "Did you mean HV-"),
    ('"HV-1" = 0.5', '"HV-1" = 5', "outside its range", "Give 0 to 1."),
    ('"HV-1" = 0.5', '"HV-1" = "open"', "takes a number", "Give 0 to 1."),
    ('"HV-1" = 0.5', '"HV-1" = true', "cannot be set to True", "number or a word"),
    ('"HS-4" = "on"', '"HS-4" = "onn"', "no position", "Did you mean on?"),
    ('"HS-4" = "on"', '"HS-4" = 1', "no position", "off, on"),
    ('"room_temperature_c" = 25.0', '"room_temperature_c" = 99.0', "outside its range", "-20 to 50"),
    ("at_s = 4", "at_s = 40", "after the end of the run", "lengthen"),
    ("at_s = 4", "at_s = -4", "at_s is -4", ""),
    ('name = "undercharge"', 'name = "undercharg"', "no fault", "Did you mean undercharge?"),
    ("severity = 0.3", "severity = 30", "from 0 to 1", ""),
    ("until_s = 7", "until_s = 2", "not after at_s", ""),
    ("ramp_s = 5", 'on = "tripp"', "names a kind of event", ""),
    ("ramp_s = 5", "period_s = 0.2", "takes 1 s or more", ""),
    ("ramp_s = 5", "period_s = 60", "moves charge and so cannot come and go", "Leave out period_s."),
    ("ramp_s = 5", "duty = 0.0", "share above 0", ""),
    ("ramp_s = 5", "ramp_s = 5\nperiod_s = 60", "not both", ""),
    ('name = "undercharge"', 'branch = "W20"', "needs a wiring", "RIG:WIRING"),
    ("[[fault]]", "[fault]", "array of tables", "two brackets"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "what", "remedy"), ONE_MISTAKE)
def test_a_mistake_is_named_at_its_line_with_a_remedy(
    tmp_path: Path, old: str, new: str, what: str, remedy: str
) -> None:
    assert old in TEXT
    found = mistakes_in(tmp_path, TEXT.replace(old, new, 1))
    line = TEXT[: TEXT.index(old)].count("\n") + 1
    assert any(what in one.what and remedy in one.remedy for one in found), found
    assert min(abs(one.line - line) for one in found) <= 5
    assert all(one.remedy for one in found)


def test_an_inline_table_that_spans_the_mistake_still_points_at_its_line(tmp_path: Path) -> None:
    text = TEXT.replace(
        'set = { "HV-1" = 0.5, "HS-4" = "on" }', '[action.set]\n"HS-4" = "on"\n"HV-9" = 1'
    )
    (mistake,) = mistakes_in(tmp_path, text)
    assert text.splitlines()[mistake.line - 1] == '"HV-9" = 1'


def test_all_mistakes_come_at_once(tmp_path: Path) -> None:
    text = TEXT
    for old, new in (
        ("duration_s = 10", "duration_h = 1"),
        ('"HV-1" = 0.5', '"HV-1" = 5'),
        ('"undercharge"', '"undercharg"'),
    ):
        text = text.replace(old, new, 1)
    assert [one.line for one in mistakes_in(tmp_path, text)] == [5, 13, 21]


def test_a_wrong_rig_is_reported_in_its_own_lines_too(tmp_path: Path) -> None:
    rig = tmp_path / "wrong"
    rig.mkdir()
    text = (SMALL / "rig.toml").read_text(encoding="utf-8").replace("kg = 0.5", "kg = 50.0")
    (rig / "rig.toml").write_text(text, encoding="utf-8")
    found = mistakes_in(tmp_path, TEXT.replace(SMALL.as_posix(), "wrong"))  # beside the sheet
    assert [Path(one.file).name for one in found] == ["sheet.toml", "rig.toml"]


@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    at=st.integers(0, 25),
    other=st.integers(0, 25),
    junk=st.sampled_from(
        [
            "",
            "x = [",
            "set = 1",
            "at_s = nan",
            "rig = 5",
            "duration_s = 0",
            "[[fault]]",
            "name = []",
            "[surroundings]",
            "mode = {}",
        ]
    ),
    drop=st.booleans(),
)
def test_a_spoilt_sheet_is_right_or_a_list_of_places(
    tmp_path: Path, at: int, other: int, junk: str, drop: bool
) -> None:
    lines = TEXT.splitlines()
    if drop:
        del lines[at % len(lines)]
    lines.insert(other, junk)
    for mistake in mistakes_in(tmp_path, "\n".join(lines)):
        assert re.search(r"\.toml:\d+: \S", str(mistake))
        assert 1 <= mistake.line <= len(lines)
        assert mistake.remedy
