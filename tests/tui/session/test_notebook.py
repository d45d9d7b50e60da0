"""Notes, reading sets and the log: nothing written down is lost or changed."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from sim.working.sheet import Held
from tests.tui.fake_bench import FakeBench
from tui.marking import Answer
from tui.session.log import SessionLog, as_csv, as_parquet
from tui.session.notebook import Notebook, beside
from tui.session.writing import NotWrittenError, free_name, put_in_place, wrong_with
from tui.working import NOT_KEPT, WorkingDesk, page_rows


def test_a_notebook_is_read_as_it_was_written(tmp_path: Path) -> None:
    book, other = Notebook(), Notebook()
    book.write(12.5, "Glas klar – 3 °C <&>")
    book.take(13.0, [("suction", "1.25 bar g"), ("watts", "240 W")])
    path = beside(tmp_path / "bench.rime")
    book.save(path)
    assert other.load(path)
    assert (other.notes, other.sets) == (book.notes, book.sets)


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"notes": [1], "sets": []}', "[" * 100_000, "\0"])  # fmt: skip
def test_a_strangers_file_changes_nothing(text: str, tmp_path: Path) -> None:
    book = Notebook()
    book.write(1.0, "kept")
    path = tmp_path / "x.notes.json"
    path.write_text(text)
    assert not book.load(path)
    assert [note.text for note in book.notes] == ["kept"]


def test_a_set_from_before_numbers_were_kept_is_still_read(tmp_path: Path) -> None:
    path = tmp_path / "old.notes.json"
    path.write_text('{"notes": [], "sets": [{"time_s": 1.0, "values": [["suction", "1.25 bar g"]]}]}')  # fmt: skip
    book = Notebook()
    assert book.load(path)
    assert book.sets[0].held is None
    assert page_rows(book.sets[0].held, WorkingDesk())[0].below == (NOT_KEPT,)


@pytest.mark.parametrize("answer", ['{"step": "compression_ratio"}', '{"step": "rm -rf", "own": 1, "computed": 1, "tolerance": 1, "reading": 1, "rounding": 0, "why": "", "slip": ""}', "3"])  # fmt: skip
def test_own_results_that_are_none_of_ours_change_nothing(answer: str, tmp_path: Path) -> None:
    path = tmp_path / "x.notes.json"
    path.write_text(f'{{"notes": [], "sets": [{{"time_s": 1.0, "values": [], "answers": [{answer}]}}]}}')  # fmt: skip
    assert not Notebook().load(path)


def test_an_own_result_stands_and_is_read_as_it_was_written(tmp_path: Path) -> None:
    book, other = Notebook(), Notebook()
    held = Held(2.0, {"voltage_v": 120.0, "sight_glass": "clear"}, 101325.0, True, False)
    book.take(2.0, [], held)
    book.answer(0, Answer("power_factor", 0.6, 0.61, 0.02, 0.01, 0.05))
    book.answer(0, Answer("power_factor", 0.7, 0.61, 0.02))
    book.answer(0, Answer("taken_up_w", None, None, why="the compressor stands"))
    assert [answer.own for answer in book.sets[0].answers] == [0.6, None]
    book.save(tmp_path / "x.json")
    assert other.load(tmp_path / "x.json")
    assert other.sets == book.sets


def test_pasted_garbage_becomes_one_line() -> None:
    note = Notebook().write(0.0, "a\x1b[31m\r\nb\t\0c")
    assert note.text == "a [31m b c"


def test_sets_stand_side_by_side_by_name() -> None:
    book = Notebook()
    book.take(60.0, [("suction", "1"), ("glass", "clear")])
    book.take(120.0, [("suction", "2"), ("amps", "3")])
    assert book.compared(2) == [("", "00:01:00", "00:02:00"), ("suction", "1", "2"), ("glass", "clear", ""), ("amps", "", "3")]  # fmt: skip
    assert book.compared(1)[0] == ("", "00:02:00")


def filled(most_rows: int, seconds: int) -> SessionLog:
    log, bench = SessionLog(most_rows), FakeBench()
    for second in range(seconds):
        log.add(replace(bench.snapshot(), time_s=float(second)))
    return log


def test_a_full_log_keeps_the_whole_session_with_a_longer_step() -> None:
    times = filled(100, 1000).table(False)["time_s"]
    assert times[0] == 0.0
    assert times[-1] > 980.0
    steps = {later - earlier for earlier, later in pairwise(times)}
    assert len(times) < 100
    assert steps == {16.0}


def test_the_learners_log_holds_displays_only() -> None:
    log = filled(100, 10)
    assert all(name.endswith("_shown") for name in log.table(False) if name != "time_s")
    assert set(log.table(True)) > set(log.table(False))


def test_the_csv_reads_back_number_for_number() -> None:
    table = filled(100, 10).table(True)
    rows = list(csv.reader(io.StringIO(as_csv(table).decode())))
    assert rows[0] == list(table)
    assert [float(row[0]) for row in rows[1:]] == table["time_s"]


def test_parquet_holds_what_csv_holds() -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    table = filled(100, 10).table(False)
    assert parquet.read_table(io.BytesIO(as_parquet(table))).to_pydict() == table


def test_a_proposed_name_is_free(tmp_path: Path) -> None:
    for expected in ("a.csv", "a-2.csv", "a-3.csv"):
        free = free_name(tmp_path / "a.csv")
        assert free.name == expected
        free.touch()


def test_a_name_that_cannot_be_is_refused_in_a_sentence(tmp_path: Path) -> None:
    for typed in (str(tmp_path), str(tmp_path / "no" / "x"), "a\0b", "a\x1bb", "x" * 5000 + "/y"):
        assert wrong_with(typed).endswith((".", "it.", "first."))
    assert wrong_with(str(tmp_path / "x.csv")) == ""


def test_a_file_that_fails_leaves_the_old_one_and_no_scraps(tmp_path: Path) -> None:
    folder = tmp_path / "x.csv"
    folder.mkdir()
    with pytest.raises(NotWrittenError, match="could not be written"):
        put_in_place(folder, b"new")
    assert list(tmp_path.iterdir()) == [folder]
