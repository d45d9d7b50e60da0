"""What somebody who understands the plant knows, and what the usual chart hides. One claim a test; all of it common practice unless a source is named."""

from __future__ import annotations

from typing import Any

import pytest

from sim import Bench
from sim.fluid import Fluid
from sim.rig import Device
from tests.sim.directions import COLUMNS, WARM_S, grams_to_take, in_bands, seen, sign, warm

FIXED: tuple[Device, ...] = ("capillary", "hand")
R134A = Fluid.load("R134a")


def after(device: Device, *faults: tuple[str, float], wait_s: float = WARM_S) -> Bench:
    """A steady bench, some time after these faults."""
    bench = warm(device).fork()
    bench.hold_frost(True)
    for name, severity in faults:
        bench.insert_fault(name, severity)
    bench.advance(wait_s)
    return bench


def moved(device: Device, bench: Bench, *but: str) -> dict[str, str]:
    """Columns of the sign table outside their neutral band, but for some."""
    before, now = seen(warm(device)), seen(bench)
    found = {c: sign(c, before, now) for c in COLUMNS if c not in ("glass", *but)}
    return {column: one for column, one in found.items() if one != "0"}


def share_of(device: Device, bench: Bench, column: str) -> float:
    """Relative change of a column."""
    return float(seen(bench)[column] / seen(warm(device))[column] - 1.0)


def superheat_worked_out(bench: Bench) -> float:
    """K, from the suction gauge and the thermometer at the evaporator's outlet."""
    shown: dict[str, Any] = bench.readings()
    pressure = shown["suction_pressure_pa_shown"]
    return float(shown["evaporator_outlet_temperature_k_shown"] - R134A.dew_temperature(pressure))


def difference_bar(bench: Bench) -> float:
    shown: dict[str, Any] = bench.readings()
    return float(shown["discharge_pressure_pa"] - shown["suction_pressure_pa"]) / 1e5


# --- charge -----------------------------------------------------------------------------------


@pytest.mark.parametrize("device", ["thermostatic", "capillary", "hand", "float"])
def test_a_receiver_hides_charge(device: Device) -> None:
    """Half of its liquid gone: its level falls, nothing else moves."""
    gone = grams_to_take(warm(device).fork(), "half the receiver") / warm(device).rig.charge_kg
    bench = after(device, ("undercharge", gone))
    level = [float(one.readings()["receiver_level"]) for one in (warm(device), bench)]
    assert level[1] < 0.6 * level[0]
    assert moved(device, bench) == {}


def test_half_the_condenser_s_air_and_a_low_charge_nearly_cancel_on_the_gauges() -> None:
    """The suction gauge says nothing; superheat, bubbles and the air's rise give both away."""
    low = grams_to_take(warm("thermostatic").fork(), "past the receiver") + 0.02
    charge = ("undercharge", low / warm("thermostatic").rig.charge_kg)
    air = ("condenser-air-low", 0.5)
    before = seen(warm("thermostatic"))
    alone, both = (seen(after("thermostatic", *faults)) for faults in ((air,), (air, charge)))
    pressures = ("suction pressure", "discharge pressure")
    assert in_bands("suction pressure", before, alone) > 1.0
    assert all(in_bands(p, before, both) < in_bands(p, before, alone) - 0.5 for p in pressures)
    assert abs(in_bands("suction pressure", before, both)) < 1.5
    assert in_bands("superheat", before, both) > 1.0
    assert in_bands("air rise", before, both) > 6.0
    assert both["glass"] == "b"


# --- devices ----------------------------------------------------------------------------------


@pytest.mark.parametrize("fault", ["condenser-air-low", "evaporator-air-low"])
def test_a_thermostatic_valve_hides_air_side_faults_in_superheat_and_fixed_devices_show_them(fault: str) -> None:  # fmt: skip
    steady = after("thermostatic", (fault, 0.5))
    assert "superheat" not in moved("thermostatic", steady)
    for device in FIXED:
        assert moved(device, after(device, (fault, 0.5)))["superheat"] == "--"


# --- meters -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("fault", "severity"), [("condenser-air-low", 0.5), ("pumping-worn", 0.5)])
def test_the_wattmeter_shows_what_the_ammeter_hides(fault: str, severity: float) -> None:
    """Most amps of so small a motor magnetise its iron; in shares the watts move at least twice as far."""
    bench = after("thermostatic", (fault, severity))
    amps, watts = (share_of("thermostatic", bench, c) for c in ("current", "compressor power"))
    assert amps * watts > 0.0
    assert abs(watts) > 2.0 * abs(amps)


def test_a_suction_gauge_that_reads_high_makes_superheat_read_low_and_changes_nothing_else() -> (
    None
):
    """0.3 bar at -4 °C are about 3 K (R134a: 0.094 bar/K)."""
    bench = after("thermostatic", ("gauge-offset", 0.3))
    assert moved("thermostatic", bench) == {}
    fell = superheat_worked_out(warm("thermostatic")) - superheat_worked_out(bench)
    assert fell == pytest.approx(3.2, abs=0.6)  # steps of gauge and thermometer


def test_a_loose_thermometer_makes_superheat_read_high_and_changes_nothing_else() -> None:
    bench = warm("thermostatic").fork()
    place = next(i.tag for i in bench.rig.instruments if i.reading == "evaporator_outlet_temperature_k")  # fmt: skip
    bench.insert_fault("thermometer-loose", 0.5, place=place)
    bench.advance(600.0)
    assert moved("thermostatic", bench) == {}
    rose = superheat_worked_out(bench) - superheat_worked_out(warm("thermostatic"))
    assert 3.0 < rose < 15.0


# --- leaks inside -----------------------------------------------------------------------------


@pytest.mark.parametrize("device", ["thermostatic", "capillary"])
def test_a_leaking_discharge_valve_and_a_leaking_reversing_valve_differ_in_the_discharge_pipe(device: Device) -> None:  # fmt: skip
    """On the suction gauge both are the same. The reed takes its hot gas back at the cylinder, so the pipe is warmer; the slide lets it warm the suction."""
    reed, slide = after(device, ("discharge-valve-leak", 0.5)), after(device, ("reversing-valve-leak", 0.12))  # fmt: skip
    rises = [in_bands("suction pressure", seen(warm(device)), seen(bench)) for bench in (reed, slide)]  # fmt: skip
    assert rises[0] > 1.0
    assert rises[1] == pytest.approx(rises[0], rel=0.25)
    assert seen(reed)["discharge pipe"] > seen(slide)["discharge pipe"] + 2.0
    assert suction_pipe_rise(slide) > suction_pipe_rise(reed) + 2.0


def suction_pipe_rise(bench: Bench) -> float:
    """K from the evaporator's outlet to the compressor: what a comparison of the valve's pipes by hand finds."""
    readings: dict[str, Any] = bench.readings()
    return float(readings["suction_temperature_k"] - readings["evaporator_outlet_temperature_k"])


# --- at rest ----------------------------------------------------------------------------------


def stopped_and_shut(device: Device, pumped_down: bool) -> list[float]:
    """Differences in bar, a minute apart, after a stop with the device's hand valve shut; pumped down before or not."""
    bench = warm(device).fork()
    if pumped_down:
        bench.set("HV-12", 0.0)
        bench.advance(180.0)  # to the low-pressure control
    bench.set("HS-4", "off")
    bench.set("HV-24" if device == "float" else "HV-23", 0.0)
    found = []
    for _ in range(20):
        bench.advance(60.0)
        found.append(difference_bar(bench))
    return found


def test_with_the_valve_shut_pressures_meet_while_liquid_remains_in_the_low_side() -> None:
    """Both drift to the room's saturation: the flooded coil's liquid boils up to it, the condenser's vapour condenses down to it."""
    assert stopped_and_shut("float", pumped_down=False)[-1] < 0.3


def test_after_a_pump_down_pressures_do_not_meet() -> None:
    """What vapour is left only warms; sound valve plates hold the rest apart for hours."""
    dry = stopped_and_shut("thermostatic", pumped_down=True)
    assert dry[-1] > 2.0
    assert dry[-1] > 0.7 * dry[4]


# --- severity ---------------------------------------------------------------------------------

GROWS: list[tuple[str, Device, tuple[float, ...], str, str]] = [
    ("condenser-air-low", "thermostatic", (0.2, 0.4, 0.6), "discharge pressure", "+"),
    ("condenser-air-low", "capillary", (0.2, 0.4, 0.6), "compressor power", "+"),
    ("condenser-air-low", "float", (0.2, 0.4, 0.6), "air rise", "+"),
    ("evaporator-air-low", "thermostatic", (0.2, 0.4, 0.6), "suction pressure", "-"),
    ("evaporator-air-low", "capillary", (0.2, 0.4, 0.6), "air drop", "+"),
    ("evaporator-air-low", "float", (0.2, 0.4, 0.6), "suction pressure", "-"),
    ("liquid-line-restricted", "thermostatic", (0.2, 0.3, 0.4), "superheat", "+"),
    ("liquid-line-restricted", "capillary", (0.1, 0.2, 0.3), "suction pressure", "-"),
    ("liquid-line-restricted", "hand", (0.1, 0.2, 0.3), "liquid flow", "-"),
    ("suction-line-restricted", "thermostatic", (0.2, 0.5, 0.8), "suction pressure", "-"),
    ("pumping-worn", "thermostatic", (0.2, 0.4, 0.6), "compressor power", "-"),
    ("non-condensable", "thermostatic", (0.2, 0.4, 0.6), "discharge pressure", "+"),
    ("non-condensable", "thermostatic", (0.2, 0.4, 0.6), "subcooling", "+"),
    # on a fixed device the receiver gives liquid away from 0.4 on (half full there, a sixth at 0.6), and its growing gas space takes the air: hardly more shows
    ("non-condensable", "capillary", (0.1, 0.2, 0.4), "discharge pressure", "+"),
    ("non-condensable", "hand", (0.1, 0.2, 0.4), "compressor power", "+"),
    ("non-condensable", "float", (0.2, 0.6, 1.0), "discharge pressure", "+"),
    # shares of the nominal charge; up to some 0.74 the receiver makes up for it
    ("undercharge", "thermostatic", (0.75, 0.77, 0.79), "superheat", "+"),
    ("undercharge", "thermostatic", (0.75, 0.77, 0.79), "discharge pressure", "-"),
    ("undercharge", "capillary", (0.75, 0.77, 0.79), "suction pressure", "-"),
    ("undercharge", "hand", (0.75, 0.77, 0.79), "liquid flow", "-"),
]


@pytest.mark.parametrize(("fault", "device", "severities", "column", "way"), GROWS)
def test_a_stronger_fault_shows_more(fault: str, device: Device, severities: tuple[float, ...], column: str, way: str) -> None:  # fmt: skip
    one = 1.0 if way == "+" else -1.0
    changes = [one * in_bands(column, seen(warm(device)), seen(after(device, (fault, s)))) for s in (severities)]  # fmt: skip
    assert 0.0 < changes[0] < changes[1] < changes[2]
    assert changes[2] > 1.0


@pytest.mark.parametrize("device", ["thermostatic", "capillary"])
def test_once_the_receiver_is_empty_every_gram_less_costs_capacity(device: Device) -> None:
    empty = grams_to_take(warm(device).fork(), "past the receiver")
    capacities = []
    for more_kg in (0.0, 0.015, 0.03):
        bench = after(device, ("undercharge", (empty + more_kg) / warm(device).rig.charge_kg))
        capacities.append(float(bench.readings()["refrigerating_capacity_w"]))
    assert capacities[0] > capacities[1] > capacities[2]


def test_the_discharge_pipe_does_not_follow_the_strength_of_a_restriction() -> None:
    """Moderate: warmer, by the gas's superheat. Severe: too little flows to keep the pipe hot, while the winding goes on warming. Never score it."""
    sizes = (0.3, 0.6, 0.9)
    benches = [after("capillary", ("low-pressure-control-stuck-closed", 1.0), ("capillary-blocked", s)) for s in sizes]  # fmt: skip
    pipes = [seen(bench)["discharge pipe"] for bench in benches]
    assert pipes[1] > seen(warm("capillary"))["discharge pipe"] + 1.5
    assert pipes[2] < pipes[1] - 1.5


# --- frost ------------------------------------------------------------------------------------


def first_out_of_band(bench: Bench, within_s: float) -> tuple[str, str] | None:
    """The reading that leaves its neutral band first, looked at every minute, and its direction."""
    start = seen(bench)
    for _ in range(int(within_s / 60.0)):
        bench.advance(60.0)
        now = seen(bench)
        out = [c for c in COLUMNS if c != "glass" and abs(in_bands(c, start, now)) > 1.0]
        if out:
            return out[0], sign(out[0], start, now)[0]
    return None


@pytest.mark.parametrize("device", ["thermostatic", "capillary", "hand", "float"])
def test_in_an_ordinary_room_a_clean_coil_keeps_every_reading_for_a_lesson(device: Device) -> None:
    """23 °C and 40 %: for an hour nothing leaves its band, frost or no frost."""
    assert first_out_of_band(warm(device).fork(), 3600.0) is None


@pytest.mark.parametrize("device", ["thermostatic", "capillary"])
def test_of_a_frosting_coil_the_air_s_drop_shows_first_and_upwards(device: Device) -> None:
    """Three tenths of the air left: still ten minutes of steady readings; then less air comes through, and what comes leaves colder."""
    bench = after(device, ("evaporator-air-low", 0.7))
    bench.hold_frost(False)
    assert first_out_of_band(bench.fork(), 600.0) is None
    assert first_out_of_band(bench, 4.0 * 3600.0) == ("air drop", "+")
