"""A survey says of each fault what a bench run by hand shows; what was cut off goes on; pairs are compared with singles."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from sim.cautions import all_cautions
from sim.errors import InputError
from sim.faults import all_faults
from sim.rig import load_rig
from sim.session import open_bench
from sim.study.dials import dials_of
from sim.study.journal import Journal
from sim.study.survey import Plan, able, confusions, survey, work
from sim.study.workers import Here
from tui.cli import main
from tui.console.survey_tables import arrow, rows_of, write_result

RIG = "fennick_bench"


@pytest.fixture(scope="module")
def records() -> list[dict[str, Any]]:
    """Two faults and their pair on the capillary."""
    plan = Plan(RIG, ("condenser-fouled", "undercharge"), ("capillary",), (23.0,), 0.5, True)
    return [record for some in survey(plan, Here()) for record in some]


def test_a_record_is_what_a_bench_run_by_hand_shows(records: list[dict[str, Any]]) -> None:
    record = next(r for r in records if r["faults"] == [["condenser-fouled", 0.5]])
    healthy = open_bench(RIG, "steady", device="capillary", room_c=23.0)
    faulty = healthy.fork()
    faulty.insert_fault("condenser-fouled", 0.5)
    for bench in (healthy, faulty):
        bench.advance(record["looked_s"])
    before, after = healthy.readings(), faulty.readings()
    for key in ("discharge_pressure_pa", "evaporator_superheat_k", "power_w"):
        assert record["readings"][key][0] == pytest.approx(float(before[key]), rel=1e-6, abs=1e-6)
        assert record["readings"][key][1] == pytest.approx(float(after[key]), rel=1e-6, abs=1e-6)
    dial = next(d for d in dials_of(load_rig(RIG)) if d.tag == "PI-2")
    steps = dial.shift(before, after) / dial.least_told
    assert record["steps"]["PI-2"] == pytest.approx(steps, abs=0.01)


def test_singles_and_pairs_are_all_there(records: list[dict[str, Any]]) -> None:
    assert sorted(len(record["faults"]) for record in records) == [1, 1, 2]
    assert all(record["failure"] == "" for record in records)
    (pair,) = confusions(records)
    assert pair.pair == ("condenser-fouled", "undercharge")
    assert pair.nearest in pair.pair
    assert pair.distance > 0.0


def test_every_case_is_done_once_whatever_was_done_before() -> None:
    plan = Plan(RIG, able(load_rig(RIG))[:9], ("hand", "float"), (18.0, 23.0), 1.0, True)
    keys = plan.keys()
    assert len(keys) == len(set(keys)) == 4 * (9 + 36)
    left = [len(piece.cases) for piece in plan.pieces(keys[:50])]
    assert sum(left) == len(keys) - 50


def test_what_cannot_be_computed_says_why() -> None:
    plan = Plan(RIG, ("undercharge",), ("capillary",), (49.9,), 1.0)
    (record,) = work(plan.pieces()[0])
    assert record["failure"] or record["steps"]


def test_a_pool_gives_the_same_as_this_thread(records: list[dict[str, Any]]) -> None:
    plan = Plan(RIG, ("condenser-fouled", "undercharge"), ("capillary",), (23.0,), 0.5, True)
    with ThreadPoolExecutor(1) as pool:
        other = [record for some in survey(plan, pool) for record in some]
    assert sorted(map(json.dumps, other)) == sorted(map(json.dumps, records))


def test_every_file_of_a_survey_carries_the_cautions_of_its_faults(records: list[dict[str, Any]], tmp_path: Path) -> None:  # fmt: skip
    for ending in ("csv", "json"):
        path = tmp_path / f"s.{ending}"
        write_result(path, records)
        with path.open(newline="") as file:
            rows = list(csv.DictReader(file)) if ending == "csv" else json.load(file)
        assert len(rows) == len(records)
        for row, record in zip(rows, records, strict=True):
            ids = {
                "general",
                *(id for name, _ in record["faults"] for id in all_faults()[name].cautions),
            }
            assert all(all_cautions()[id].text in str(row["cautions"]) for id in ids)


# The journal.


def test_a_journal_keeps_what_was_added_and_forgives_a_torn_line(tmp_path: Path) -> None:
    path = tmp_path / "j"
    journal = Journal(path, "abc")
    journal.add([{"key": "a", "x": 1}, {"key": "b", "x": 2}])
    journal.close()
    with path.open("ab") as file:
        file.write(b'{"key": "spoilt\n{"key": "c", "x"')
    again = Journal(path, "abc")
    assert set(again.records) == {"a", "b"}
    again.add([{"key": "c", "x": 3}])
    again.close()
    last = Journal(path, "abc")
    last.close()
    assert set(last.records) == {"a", "b", "c"}


def test_a_journal_of_something_else_is_begun_anew_and_no_journal_is_refused(tmp_path: Path) -> None:  # fmt: skip
    path = tmp_path / "j"
    journal = Journal(path, "abc")
    journal.add([{"key": "a"}])
    journal.close()
    other = Journal(path, "other")
    other.close()
    assert other.records == {}
    path.write_text("my shopping list\n")
    with pytest.raises(InputError, match="no journal"):
        Journal(path, "abc")
    assert path.read_text() == "my shopping list\n", "nothing of the person's is lost"


def test_a_killed_survey_goes_on_where_it_was(tmp_path: Path) -> None:
    out = tmp_path / "s.json"
    names = able(load_rig(RIG))[:24]
    command = [sys.executable, "-m", "tui.cli", "survey", "--faults", ",".join(names), "--devices", "capillary", "--rooms", "23", "--workers", "1", "--out", str(out)]  # fmt: skip

    def journal() -> Path | None:
        return next(iter(tmp_path.glob("s.json.*.journal")), None)

    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)  # fmt: skip
    end = time.monotonic() + 120.0
    while not ((found := journal()) and found.read_bytes().count(b"\n") > 12):
        assert time.monotonic() < end
        assert process.poll() is None, "over before it could be killed"
        time.sleep(0.05)
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    left = journal()
    assert left is not None
    kept = left.read_bytes().count(b'"key"')
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=True)
    assert " are in " in done.stderr
    assert journal() is None
    records = json.loads(out.read_text())
    keys = [record["key"] for record in records]
    assert len(keys) == len(set(keys)) == len(names)
    assert 10 < kept < len(names)


# The command.


def test_the_command_prints_a_table_and_writes_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setattr("sim.study.workers.ProcessPoolExecutor", lambda *_, **__: Here())
    out = tmp_path / "s.csv"
    arguments = ["survey", "--faults", "condenser-air-low", "--devices", "hand", "--rooms", "23", "--out", str(out)]  # fmt: skip
    assert main(arguments) == 0
    printed = capsys.readouterr()
    assert "condenser-air-low" in printed.out
    assert "TI-8" in printed.out or "PI-2" in printed.out
    head = out.read_text().splitlines()[0]
    assert "discharge_pressure_pa_change" in head
    assert "PI-2_steps" in head
    assert not list(tmp_path.glob("*.journal"))


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["--faults", "condenser-foulde"], 2),
        (["--devices", "magic"], 2),
        (["--rooms", "warm"], 2),
        (["--severity", "3"], 2),
        (["--workers", "0"], 2),
        (["--out", "result.xyz"], 2),
        (["--out", "no/such/folder/s.csv"], 1),
    ],
)
def test_wrong_words_are_refused_before_anything_is_computed(words: list[str], code: int, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    assert main(["survey", *words]) == code
    assert capsys.readouterr().err.strip()


def test_arrows_and_rows() -> None:
    assert [arrow(x) for x in (7.0, -1.5, 0.3)] == ["++", "-", "0"]
    assert rows_of([]) == []


def test_the_same_survey_runs_on_a_dask_cluster(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed", reason="the extra 'dask' is not installed")
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, processes=True) as cluster:  # fmt: skip
        out = tmp_path / "s.json"
        words = ["survey", "--faults", "condenser-fouled,undercharge", "--devices", "capillary", "--rooms", "23", "--severity", "0.5", "--out", str(out)]  # fmt: skip
        assert main([*words, "--workers", f"dask:{cluster.scheduler_address}"]) == 0
    assert len(json.loads(out.read_text())) == 2


def test_a_fault_that_shows_at_an_act_is_surveyed_at_it() -> None:
    """An open start relay shows in a start only: the rotor stands and draws its locked current, five times and more of what it runs on (common practice: 4 to 6 times)."""
    plan = Plan(f"{RIG}:120v", ("start-relay-open", "gauge-stuck", "reversing-valve-stuck"), ("hand",), (23.0,), 1.0)  # fmt: skip
    relay, gauge, slide = [record for some in survey(plan, Here()) for record in some]
    assert (relay["occasion"], gauge["occasion"]) == ("restart", "stop")
    assert relay["looked_s"] > 330.0  # when the occasion starts it again
    amps = relay["readings"]["current_a"]
    assert amps[1] > 2.0 * amps[0]
    assert gauge["steps"]["PI-1"] < -10.0
    assert slide["occasion"] == ""  # it needs the capillary
