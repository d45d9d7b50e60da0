"""What stays on record in a conversation, and what an assessed one is and shows."""

from __future__ import annotations

from pathlib import Path

from tests.tui.plain.conftest import Converse, Typist

RIG = "fennick_bench:120v"


def test_a_violation_stays_on_record_through_two_ways_back_a_beginning_and_a_load(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    file = tmp_path / "early.rime"
    said = converse("set HS-1 on", "wait 20", f"save {file}", "set W26 lifted", "yes", "wait 20", "back 30 s", "yes", "back 5 s", "yes", "events all", "begin", "yes", f"load {file}", "yes", "events all", rig=RIG)  # fmt: skip
    assert said.text.count("Stays on record: violation at 20 seconds") == 2, said.text
    assert all(sum(event.kind == "record" for event in one.events) == 1 for one in said.benches[1:])


def test_an_assessed_session_has_one_bench(converse: Converse, tmp_path: Path) -> None:
    said = converse("wait 1", f"save {tmp_path / 'a.rime'}", "begin", "steady hand", f"load {tmp_path / 'a.rime'}", assessed=True)  # fmt: skip
    assert said.text.count("there is one bench, from its beginning to its end") == 3
    assert len(said.benches) == 1


def test_a_save_of_an_assessed_session_is_opened_assessed(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    file = tmp_path / "a.rime"
    converse("wait 1", f"save {file}", assessed=True)
    said = converse("view instructor", "back 1", "read superheat", load=str(file))
    assert "This session is assessed: no way back, and results are yours to work out." in said.text
    assert said.answers.count("assessed") == 3
    seen = converse("view learner", "back 1", "no", load=str(file), instructor=True)
    assert "assessed" not in seen.answers
    assert seen.bench.events[-1].kind == "record"


def test_files_of_an_assessed_session_give_no_result_away(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    for assessed in (True, False):
        files = {kind: tmp_path / f"{kind} {assessed}" for kind in ("report", "trend", "chart")}
        converse("wait 20", *(f"export {kind} {file}" for kind, file in files.items()), assessed=assessed, start="steady")  # fmt: skip
        for kind, file in files.items():
            told = "superheat" in file.read_text()
            assert told is (not assessed and kind != "chart"), (kind, assessed)


def test_a_session_that_a_load_made_assessed_stays_so_after_a_failure(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    file = tmp_path / "a.rime"
    converse("wait 1", f"save {file}", assessed=True)
    typist = Typist()
    typist.types(f"load {file}")
    typist.talk.failure = "nothing converges."
    typist.types("begin")
    again = tmp_path / "b.rime"
    typist.types(f"save {again}")
    assert typist.talk.bench.assessed
    said = converse("read superheat", load=str(again))
    assert "This session is assessed" in said.text
