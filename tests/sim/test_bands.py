"""The default rig runs as such rigs do: every reading in the band a trainer's log would call normal, on all devices, steady, in four rooms."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI

from sim import Bench, load_rig
from sim.columns import P_RHOL
from sim.rig import Device
from sim.session import line_up

DATA = tomllib.loads(Path(__file__).with_name("bands.toml").read_text(encoding="utf-8"))
DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
CASES = [(band, device) for band in DATA["band"] for device in band["on"]]
WARM_S = 7200.0
ATMOSPHERE_PA = 101325.0
SWEEP_M3 = 5.8e-6  # as in the rig file; a test below holds the two together
TRIP_BAR_G = 16.0


@cache
def steady(device: Device, room_c: float = 23.0) -> Bench:
    """A bench two hours after the start."""
    bench = Bench(load_rig("fennick_bench"))
    bench.set("room_temperature_c", room_c)
    line_up(bench, device)
    bench.advance(WARM_S)
    return bench


def bar_g(pa: float) -> float:
    return (pa - ATMOSPHERE_PA) / 1e5


def in_words(bench: Bench) -> dict[str, float]:
    """Readings as the table of bands names them, in its units."""
    r: dict[str, Any] = bench.readings()
    density = bench.watch.P[bench.layout.nodes["header"], P_RHOL]
    return {
        "suction pressure": bar_g(r["suction_pressure_pa"]),
        "discharge pressure": bar_g(r["discharge_pressure_pa"]),
        "superheat at the evaporator": r["evaporator_superheat_k"],
        "superheat at the compressor": r["suction_superheat_k"],
        "compressor power": r["compressor_power_w"],
        "cop": r["cop"],
        "discharge pipe": r["discharge_temperature_k"] - 273.15,
        "shell": r["shell_temperature_k"] - 273.15,
        "subcooling at the condenser": r["condenser_subcooling_k"],
        "subcooling at the device": r["liquid_subcooling_k"],
        "liquid flow": r["liquid_flow_kg_s"] / density * 3.6e6,
        "air drop over the evaporator": r["evaporator_air_in_k"] - r["evaporator_air_out_k"],
        "air rise over the condenser": r["condenser_air_out_k"] - r["condenser_air_in_k"],
        "receiver level": r["receiver_level"],
        "power factor": r["power_factor"],
        "winding": r["winding_temperature_k"] - 273.15,
    }


@pytest.mark.parametrize(("band", "device"), CASES, ids=lambda x: x if isinstance(x, str) else x["reading"])  # fmt: skip
def test_a_reading_is_in_its_normal_band(band: dict[str, Any], device: Device) -> None:
    value = in_words(steady(device))[band["reading"]]
    # a tenth of a microkelvin below zero is rounding of the saturation curve, not subcooled gas
    assert band["low"] - 1e-6 <= value <= band["high"], f"{value:.3f} {band['unit']}"


@pytest.mark.parametrize("device", DEVICES)
def test_the_glass_before_the_devices_is_clear(device: Device) -> None:
    assert steady(device).readings()["sight_glass"] == "clear"


@pytest.mark.parametrize("device", DEVICES)
def test_normal_running_warns_of_nothing(device: Device) -> None:
    bench = steady(device)
    assert bench.warnings == []
    assert [e for e in bench.events if e.kind not in ("command", "contact")] == []


def test_the_coils_lose_what_such_coils_lose() -> None:
    """About 3 kPa over the evaporator (common practice for a short circuit), less over the condenser with its denser vapour."""
    bench = steady("thermostatic")
    places = bench.snapshot().places
    drop = {c: places[f"{c}1"].pressure_pa - places[f"{c}8"].pressure_pa for c in "ab"}
    assert 2500.0 < drop["b"] < 3500.0
    assert 300.0 < drop["a"] < 2000.0


@pytest.mark.parametrize("room_c", [15.0, 23.0, 31.0])
def test_the_thermostatic_valve_does_not_hunt(room_c: float) -> None:
    """A gust of half a minute over the evaporator; half an hour later superheat stands within 0.5 K, with the integrator held to short steps."""
    bench = steady("thermostatic", room_c).fork()
    bench.set("HS-2", "high")
    bench.advance(30.0)
    bench.set("HS-2", "low")
    bench.advance(1200.0)
    superheat = []
    for _ in range(120):
        bench.apply()  # begins anew, so that no long implicit step hides a growing swing
        bench.advance(5.0)
        superheat.append(float(bench.readings()["evaporator_superheat_k"]))
    assert max(superheat) - min(superheat) < 0.5
    assert min(superheat) > 3.0


@pytest.mark.parametrize("room_c", [23.0, 31.0, 38.0])
def test_the_compressor_is_as_efficient_as_its_kind(room_c: float) -> None:
    """Volumetric and overall isentropic efficiency from readings at the service valves and CoolProp, inside the published ranges."""
    bench = steady("thermostatic", room_c)
    r: dict[str, Any] = bench.readings()
    p1, t1, p2 = r["suction_pressure_pa"], r["suction_temperature_k"], r["discharge_pressure_pa"]
    swept = SWEEP_M3 * r["compressor_speed_rpm"] / 60.0
    volumetric = r["mass_flow_kg_s"] / (PropsSI("D", "P", p1, "T", t1, "R134a") * swept)
    h1, s1 = PropsSI("H", "P", p1, "T", t1, "R134a"), PropsSI("S", "P", p1, "T", t1, "R134a")
    work = PropsSI("H", "P", p2, "S", s1, "R134a") - h1
    overall = r["mass_flow_kg_s"] * work / r["compressor_power_w"]
    range_of = DATA["efficiency"]
    assert p2 / p1 >= range_of["from_pressure_ratio"]
    assert range_of["volumetric_low"] <= volumetric <= range_of["volumetric_high"]
    assert range_of["overall_low"] <= overall <= range_of["overall_high"]


def test_the_sweep_used_here_is_the_rig_s() -> None:
    parts = {placed.tag: placed.part for placed in load_rig("fennick_bench").parts}
    assert parts["M1"].displacement_m3 == SWEEP_M3  # type: ignore[attr-defined]


def test_heating_through_the_capillary_pays_and_stays_below_the_trip() -> None:
    """Heating COP at least 2.3 and discharge 1.5 bar below the trip from the start peak on."""
    bench = steady("capillary").fork()
    line_up(bench, "capillary", "heating")
    peak = 0.0
    for _ in range(90):
        bench.advance(2.0)
        peak = max(peak, bar_g(float(bench.readings()["discharge_pressure_pa"])))
    bench.advance(3600.0)
    r: dict[str, Any] = bench.readings()
    assert peak < TRIP_BAR_G - 1.5
    assert bar_g(r["discharge_pressure_pa"]) < TRIP_BAR_G - 3.0
    assert r["cop"] >= 2.3
    # the capillary is fed straight from the coil that condenses, so that is what stands before it; the liquid's thermometer hangs behind it, in the cold mixture
    assert r["liquid_subcooling_k"] == r["condenser_subcooling_k"]
    assert r["condenser_outlet_temperature_k"] > r["room_temperature_k"]
    header = bench.snapshot().places["header"]
    assert r["liquid_temperature_k"] == header.temperature_k < r["room_temperature_k"]
    assert header.temperature_k == pytest.approx(
        PropsSI("T", "P", header.pressure_pa, "Q", 1, "R134a"), abs=0.1
    )
    air_w = (
        r["condenser_air_flow_kg_s"] * 1015.0 * (r["condenser_air_out_k"] - r["condenser_air_in_k"])
    )  # moist air, J/kgK
    assert air_w == pytest.approx(
        r["heat_rejected_w"], rel=0.08
    )  # pipes and the fan share the rest
    assert not any(bench.snapshot().tripped.values())
