"""Shutting the compressor's outlet in is severe, and on record as such, not only as the trip that follows.

Source: design/teaching L02 (iii): "discharge valve shut: positive displacement into a closed line ... the tool must log 'severe'"; common practice.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sim import Bench
from sim.dead_end import dead_end
from sim.parts.check_valve import CheckValve
from sim.rig import load_rig

RIGS = Path(__file__).parents[1] / "data"


def severe(bench: Bench) -> list[str]:
    return [event.tag for event in bench.events if event.kind == "violation"]


def test_shutting_the_discharge_valve_of_a_running_machine_is_a_violation(running: Bench) -> None:
    running.set("HV-42", 0.0)
    running.advance(5.0)
    assert severe(running) == ["HV-42"]
    running.set("HV-42", 0.5)
    running.set("HV-11", 0.0)  # behind it stands the condenser: no dead end
    assert severe(running) == ["HV-42"]


def test_a_start_against_a_shut_discharge_valve_is_one_and_shutting_it_at_rest_is_not(running: Bench) -> None:  # fmt: skip
    running.set("HS-4", "off")
    running.advance(400.0)
    running.set("HV-42", 0.0)
    running.advance(1.0)
    assert severe(running) == []
    running.set("HS-4", "on")
    running.advance(0.5)
    assert severe(running) == ["HV-42"]
    assert any("started with HV-42 shut" in event.text for event in running.events)


def test_a_bench_that_is_loaded_meanwhile_says_it_once(running: Bench) -> None:
    running.set("HV-42", 0.0)
    twin = running.fork()
    twin.advance(0.5)
    twin.set("HS-2", "off")
    assert severe(twin) == ["HV-42"]


def test_a_check_valve_is_no_way_on_to_a_shut_valve(running: Bench) -> None:
    rig = running.rig
    (valve,) = [placed for placed in rig.parts if placed.tag == "HV-42"]
    between = replace(valve.ports[0], node="between")
    check = replace(valve, part=CheckValve(tag="CV-9", kv_m3_h=1.0), ports=(valve.ports[0], between))  # fmt: skip
    moved = replace(valve, ports=(between, valve.ports[1]))
    parts = (*(placed for placed in rig.parts if placed is not valve), check, moved)
    assert dead_end(replace(rig, parts=parts), {**running.commands, "HV-42": 0.0}) == ("HV-42",)
    assert dead_end(replace(rig, parts=parts), running.commands) == ()


def test_a_compressor_without_a_valve_has_no_dead_end() -> None:
    rig = load_rig(RIGS / "small_rig")
    assert dead_end(rig, {part.tag: 0.0 for part in rig.parts}) == ()
