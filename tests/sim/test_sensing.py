"""A bench in health and with faults is found as a technician would find it."""

from __future__ import annotations

from collections.abc import Callable

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI

from sim import Bench
from sim import columns as c
from sim.measure import View
from sim.senses import WET, Spot

ICE_K = 273.15


def spot(bench: Bench, place: str) -> Spot:
    found = bench.senses().spot(place)
    assert found is not None
    return found


def signs(bench: Bench, place: str) -> dict[str, float]:
    return {sign.what: sign.value for sign in spot(bench, place).signs}


def skins(bench: Bench, place: str) -> list[str]:
    return [surface.skin for surface in spot(bench, place).surfaces]


def feels(bench: Bench, place: str) -> list[str]:
    return [surface.feel for surface in spot(bench, place).surfaces]


# --- a sound bench --------------------------------------------------------------------------------


def test_a_bench_that_runs_well_is_found_as_the_trade_describes_it(settled: Bench) -> None:
    # common practice: discharge hot, liquid line warm, suction cool or cold and sweating, evaporator wet and without frost at 23 C
    assert feels(settled, "head")[0] in ("hot", "too hot to touch")
    assert feels(settled, "liquid_line") == ["warm"]
    assert feels(settled, "suction_line") == ["cool"]
    assert feels(settled, "b_outlet") == ["cold"]
    assert skins(settled, "b_outlet") == ["sweating"]
    assert set(skins(settled, "COIL-B")) == {"sweating", "dry"}
    assert feels(settled, "COIL-B")[0] == "cold"
    assert set(skins(settled, "COIL-A")) == {"dry"}
    assert "air warmer" in signs(settled, "COIL-A")
    assert "air cooler" in signs(settled, "COIL-B")


def test_the_dew_point_is_the_rooms(settled: Bench) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    expected = psychrolib.GetTDewPointFromRelHum(23.0, 0.4) + ICE_K
    # psychrolib solves to 0.001 K; the two fits of vapour pressure are the same equation
    assert settled.senses().dew_point_k == pytest.approx(expected, abs=0.01)


def test_the_beat_of_a_two_pole_machine_is_a_little_below_the_mains(settled: Bench) -> None:
    # common practice: two poles on 60 Hz run at 3450 to 3500 rpm, one stroke a turn
    assert 3420 / 60 < signs(settled, "shell")["runs"] < 3560 / 60
    assert signs(settled, "K1")["coil hums"] == pytest.approx(2 * 60.0)


def test_only_the_device_in_use_is_heard(settled: Bench) -> None:
    assert set(signs(settled, "TCV-23")) == {"flashes"}
    assert not signs(settled, "HCV-22")
    assert not signs(settled, "FO-21")
    assert set(signs(settled, "XV-2")) == {"slide"}


def test_frost_on_the_fins_is_the_frost_of_the_readings(settled: Bench) -> None:
    settled.set("HS-2", "off")
    settled.advance(1200.0)
    coil = next(p.part for p in settled.rig.parts if p.tag == "COIL-B")
    cells = spot(settled, "COIL-B").surfaces
    area = coil.fin_area_m2 / len(cells)  # type: ignore[attr-defined]
    on_it = sum(cell.frost_kg_m2 for cell in cells) * area
    assert on_it == pytest.approx(float(settled.readings()["evaporator_frost_kg"]), rel=1e-6)


def test_a_stopped_bench_is_silent_after_a_click(settled: Bench) -> None:
    settled.set("HS-4", "off")
    settled.advance(1.0)
    assert "clicks" in signs(settled, "K1")
    settled.set("HS-1", "off")
    settled.advance(120.0)
    listened = [sign.what for one in settled.senses().spots for sign in one.found("listen")]
    assert listened == []
    assert "stands still" in signs(settled, "FAN-A")


def test_looking_round_changes_nothing(running: Bench, another: Callable[[], Bench]) -> None:
    other = another()
    for _ in range(10):
        running.advance(3.0)
        running.senses()
        other.advance(3.0)
    assert running.readings() == other.readings()
    assert running.watch.y.tolist() == other.watch.y.tolist()
    assert len(running.events) == len(other.events)


# --- faults ---------------------------------------------------------------------------------------


def test_without_its_fan_the_evaporator_turns_white_and_so_does_its_outlet(settled: Bench) -> None:
    settled.insert_fault("evaporator-fan-open")
    settled.advance(1200.0)
    assert skins(settled, "COIL-B")[:5] == ["frosted"] * 5
    assert skins(settled, "b_outlet") == ["frosted"]
    assert set(signs(settled, "FAN-B")) == {"stands still"}, "an open winding does not hum"
    assert "no air" in signs(settled, "COIL-B")


def test_a_starved_coil_is_white_only_where_it_still_has_liquid(settled: Bench) -> None:
    settled.insert_fault("liquid-line-restricted", 0.7)
    settled.advance(1800.0)
    line = skins(settled, "COIL-B")
    assert line[0] == "frosted"
    assert "frosted" not in line[2:], "starved: only the first bends are white"


def test_a_white_coil_thaws_before_it_is_clean_when_the_machine_rests(settled: Bench) -> None:
    settled.set("HS-2", "off")
    settled.advance(1800.0)
    settled.set("HS-4", "off")
    seen = []
    for _ in range(60):
        settled.advance(5.0)
        seen.append(skins(settled, "COIL-B")[0])
    assert "thawing" in seen
    assert seen[-1] in ("sweating", "dry")
    assert "frosted" not in seen[seen.index("thawing") :], "it does not freeze again"


def test_behind_a_choked_drier_the_line_is_cold_and_in_damp_air_it_sweats(settled: Bench) -> None:
    # common practice: a drop in temperature across a drier that one can feel is a restriction
    before = spot(settled, "receiver").surfaces[0].temperature_k - spot(settled, "drier").surfaces[0].temperature_k  # fmt: skip
    settled.insert_fault(
        "liquid-line-restricted", 0.8
    )  # at 1 the low-pressure control opens within minutes
    settled.advance(300.0)
    behind = spot(settled, "drier").surfaces[0]
    drop = spot(settled, "receiver").surfaces[0].temperature_k - behind.temperature_k
    assert before < 4.0
    assert drop > 10.0
    assert behind.feel == "cool"
    assert behind.skin == "dry"
    assert "gurgles" in signs(settled, "TCV-23"), "bubbles go into the valve"
    assert "foam" in signs(settled, "header")
    settled.set("relative_humidity", 0.85)
    settled.advance(60.0)
    assert skins(settled, "drier") == ["sweating"]


def test_a_leaking_slide_hisses_and_warms_the_suction_pipe_at_the_valve(settled: Bench) -> None:
    # common practice: suction pipe at the valve warmer than the pipe from the evaporator by more than a few kelvin
    settled.insert_fault("reversing-valve-leak")
    settled.advance(300.0)
    assert "gas hisses" in signs(settled, "XV-2")
    assert feels(settled, "suction_line") == ["warm"]
    assert feels(settled, "b_outlet") == ["cool"]


@pytest.mark.parametrize("hertz", [50.0, 60.0])
def test_a_seized_compressor_hums_at_twice_the_mains(settled: Bench, hertz: float) -> None:
    settled.insert_fault("compressor-seized")
    settled.set("HS-4", "off")
    settled.advance(60.0)
    settled.set("supply_frequency_hz", hertz)
    settled.set("HS-4", "on")
    settled.advance(1.0)
    heard = signs(settled, "shell")
    assert heard["hums"] == pytest.approx(2.0 * hertz)
    assert "runs" not in heard


def test_a_throttled_suction_valve_hisses_with_the_power_that_the_gas_loses(settled: Bench) -> None:
    settled.set("HV-41", 0.06)
    settled.advance(300.0)
    now = settled.snapshot()
    a, b = now.places["accumulator"], now.places["suction_port"]
    volume = [1.0 / PropsSI("D", "P", p.pressure_pa, "T", p.temperature_k, "R134a") for p in (a, b)]
    power = now.flows["HV-41"] * (a.pressure_pa - b.pressure_pa) * sum(volume) / 2.0
    # the gas behind is taken as just saturated; with some 10 K of superheat it is 5 % larger
    assert signs(settled, "HV-41")["gas hisses"] == pytest.approx(power, rel=0.06)


def test_liquid_in_the_cylinder_knocks(settled: Bench) -> None:
    settled.insert_fault("overcharge")
    settled.advance(60.0)
    for tag, value in (("HV-22", 1.0), ("HCV-22", 1.0), ("HV-21", 1.0), ("HS-2", "off")):
        settled.set(tag, value)
    for _ in range(600):
        settled.advance(1.0)
        if "knocks" in signs(settled, "shell"):
            break
    assert "knocks" in signs(settled, "shell")
    assert "slug" in {event.kind for event in settled.events}


def test_a_stalled_fan_hums(settled: Bench) -> None:
    settled.set("supply_voltage_v", 60.0)
    settled.set("HS-3", "off")
    settled.advance(5.0)
    settled.set("HS-3", "low")
    settled.advance(5.0)
    assert set(signs(settled, "FAN-A")) == {"stands still", "hums"}


def test_a_strap_on_thermometer_feels_the_metal_as_a_hand_does(settled: Bench) -> None:
    """On the shell of a running machine the metal is warm while the gas inside is cold suction gas."""
    settled.set("TI-10.place", "shell")
    settled.advance(120.0)
    readings = settled.readings()
    assert readings["strap_on_temperature_k"] == pytest.approx(float(readings["shell_temperature_k"]), abs=0.3)  # fmt: skip
    assert float(readings["strap_on_temperature_k"]) > settled.snapshot().places["shell"].temperature_k + 10.0  # fmt: skip


def test_liquid_that_comes_back_with_the_gas_is_seen_on_the_suction_glass(settled: Bench) -> None:
    # common practice: liquid on its way back runs along the glass; here it is a third of the stream by mass and two percent of the pipe
    assert settled.readings()["sight_glass_FG-2"] == "empty"
    settled.set("HV-22", 1.0)
    settled.set("HCV-22", 0.7)
    settled.advance(180.0)
    place = settled.snapshot().places["suction_line"]
    assert place.void > 0.97
    assert place.quality < 0.9
    assert settled.readings()["sight_glass_FG-2"] == "wet"
    assert "wet" in signs(settled, "suction_line")


def test_a_glass_is_wetted_by_what_flows_and_not_by_what_stands(settled: Bench) -> None:
    # all flow ends and all is at rest in the suction line, with the same share of liquid: it drains to the bottom
    view = View(settled)
    view.P[settled.layout.nodes["suction_line"], c.P_X] = 0.9
    assert view.glass("suction_line") == "wet"
    view.P[settled.layout.nodes["suction_line"], c.P_X] = 1.0 - WET / 2
    assert view.glass("suction_line") == "empty"
    view.P[settled.layout.nodes["suction_line"], c.P_X] = 0.9
    view.F[:] = 0.0
    assert view.glass("suction_line") == "empty"
