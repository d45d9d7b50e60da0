"""Cautions are asked before the act, and their words are the file's."""

from __future__ import annotations

from sim.cautions import all_cautions
from tests.tui.fake_bench import SPACES, FakeBench, steady_bench
from tests.tui.fake_wiring import fake_plan, measured
from tui.cautions import (
    all_lines,
    before,
    first_run_lines,
    for_meter,
    lines_of,
    live_volts,
    restart_lines,
)
from tui.meter import MeterDesk, Use


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
    for ids in (
        ("trapped",),
        ("protective",),
        ("vacuum",),
        ("isolate",),
        ("capacitor",),
        ("terminals",),
    ):
        assert len(lines_of(ids)) == 1


def test_a_live_lead_is_asked_about_and_a_dead_one_is_not() -> None:
    plan, bench = fake_plan(), steady_bench()
    assert before("W56", "lifted", bench.snapshot(), SPACES, plan) == ("isolate",)
    assert live_volts("W56", "lifted", bench.snapshot(), plan) > 100.0
    bench.set("HS-1", "off")
    assert before("W56", "lifted", bench.snapshot(), SPACES, plan) == ()


def test_the_terminal_cover_asks_always_and_more_when_its_terminals_are_live() -> None:
    plan, bench = fake_plan(), steady_bench()
    assert before("M1.cover", "open", bench.snapshot(), SPACES, plan) == ("terminals", "isolate")
    assert before("M1.cover", "shut", bench.snapshot(), SPACES, plan) == ()
    bench.set("HS-1", "off")
    assert before("M1.cover", "open", bench.snapshot(), SPACES, plan) == ("terminals",)


def test_a_jumper_a_discharge_and_a_reset_are_asked_about_and_taking_a_jumper_off_is_not() -> None:
    plan, snapshot = fake_plan(), steady_bench().snapshot()
    assert before("jumper.1", "TS-1.1", snapshot, SPACES, plan) == ("protective", "isolate")
    assert before("jumper.1", "none", snapshot, SPACES, plan) == ()
    assert before("C1.discharge", 1.0, snapshot, SPACES, plan) == ("capacitor",)
    assert before("F3.reset", 1.0, snapshot, SPACES, plan) == ("protective",)


def test_beside_the_meter_stand_the_cautions_of_mode_place_and_refusal() -> None:
    plan, bench = fake_plan(), steady_bench()
    assert for_meter(plan, MeterDesk(cursor="HS-4.1"), None) == ()
    assert for_meter(plan, MeterDesk(cursor="HS-4.1", knob=3), None) == ("isolate",)
    assert for_meter(plan, MeterDesk(cursor="W56"), None) == ("terminals",)
    assert for_meter(plan, MeterDesk(cursor="N.1", probes=["C1.1", "C1.2"]), None) == ("capacitor",)
    refused = measured(Use("ohms", ("L.1", "N.1")), bench.snapshot().circuit)  # type: ignore[arg-type]
    assert for_meter(plan, MeterDesk(cursor="N.1"), refused) == ("isolate",)


def test_a_start_against_pressure_is_asked_about_and_one_at_rest_is_not() -> None:
    """Common practice: let the pressures draw together before a small compressor starts again."""
    stopped = steady_bench()
    stopped.set("HS-4", "off")
    apart, at_rest = stopped.snapshot(), FakeBench().snapshot()
    assert "bar apart" in " ".join(restart_lines("HS-4", "on", apart))
    assert restart_lines("HS-4", "off", apart) == restart_lines("HS-3", "on", apart) == []
    assert restart_lines("HS-4", "on", at_rest) == []
