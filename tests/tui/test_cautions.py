"""Cautions are asked before the act, and their words are the file's."""

from __future__ import annotations

from sim.cautions import all_cautions
from tests.tui.fake_bench import SPACES, FakeBench, steady_bench
from tui.cautions import all_lines, before, first_run_lines, lines_of


def test_words_come_from_the_file_and_nothing_is_left_out() -> None:
    lines = "\n".join(all_lines("A1"))
    for caution in all_cautions().values():
        assert caution.text.replace("{class}", "A1") in lines


def test_the_first_start_shows_the_general_caution() -> None:
    assert any("Practice only" in line for line in first_run_lines())


def test_symbol_and_word_stand_before_every_caution() -> None:
    assert all(line.startswith("[") and ": " in line for line in first_run_lines())


def test_shutting_in_liquid_is_asked_about() -> None:
    bench = steady_bench()
    bench.set("HV-22", 0.0)
    assert before("HV-12", 0.0, bench.snapshot(), SPACES) == ("trapped",)
    assert before("HV-12", 1.0, bench.snapshot(), SPACES) == ()


def test_a_valve_with_a_way_out_beyond_it_is_not_asked_about() -> None:
    assert before("HV-12", 0.0, steady_bench().snapshot(), SPACES) == ()


def test_service_valves_are_asked_about_only_while_the_compressor_runs() -> None:
    assert before("HV-42", 0.0, steady_bench().snapshot(), SPACES) == ("protective",)
    assert before("HV-41", 0.0, steady_bench().snapshot(), SPACES) == ("vacuum",)
    assert before("HV-42", 0.0, FakeBench().snapshot(), SPACES) == ()


def test_protective_switches_are_never_set_or_reset_without_reading() -> None:
    for tag in ("PSHH-1.set", "PSHH-1.reset", "PSL-1.set"):
        assert before(tag, "press", FakeBench().snapshot(), SPACES) == ("protective",)


def test_the_emergency_stop_never_asks() -> None:
    assert before("HS-0", "pressed", steady_bench().snapshot(), SPACES) == ()


def test_every_id_that_the_screen_asks_for_is_in_the_file() -> None:
    for ids in (("trapped",), ("protective",), ("vacuum",)):
        assert len(lines_of(ids)) == 1
