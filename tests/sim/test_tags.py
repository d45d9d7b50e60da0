"""Settings in words, as the list of events has them."""

from __future__ import annotations

import pytest

from sim import Bench, load_rig
from sim.tags import Setting, said, tags_of
from sim.units import STANDARD_ATMOSPHERE_PA

INFOS = tags_of(load_rig("fennick_bench"))


@pytest.mark.parametrize(
    ("tag", "value", "words"),
    [
        ("HV-12", 0.0, "receiver outlet: shut"),
        ("HV-12", 1.0, "receiver outlet: open"),
        ("HCV-22", 0.35, "hand expansion valve: 35 % open"),
        ("HCV-22", 0.005, "hand expansion valve: 0.5 % open"),
        ("HS-4", "on", "compressor: on"),
        ("HS-7.watts", 300.0, "load box round coil B: heater: 300 W"),
        ("TCV-23.spring", -2.0, "thermostatic valve: spring: -2 quarter turns"),
        ("PSHH-1.set", 1701325.0, "high-pressure trip: set point: 16 bar g"),
        ("TS-1.set", 283.15, "thermostat on the air entering coil B: set point: 10 °C"),
    ],
)
def test_a_setting_is_said_as_a_person_says_it(tag: str, value: Setting, words: str) -> None:
    assert said(INFOS[tag], value, STANDARD_ATMOSPHERE_PA) == words


def test_no_event_of_a_hand_ends_in_a_bare_number() -> None:
    """Every tag to the end of its range: what is said names a position or a unit."""
    for info in INFOS.values():
        if info.high is not None:
            assert not said(info, info.high, STANDARD_ATMOSPHERE_PA)[-1].isdigit(), info.tag


def test_the_list_of_events_has_those_words() -> None:
    bench = Bench(load_rig("fennick_bench"))
    bench.set("HCV-22", 0.35)
    bench.set("HV-12", 1.0)
    bench.set("HV-12", 0.0)
    bench.set("room_temperature_c", 31.0)
    assert [event.text for event in bench.events] == [
        "hand expansion valve: 35 % open.",
        "receiver outlet: open.",
        "receiver outlet: shut.",
        "room temperature: 31 °C.",
    ]
