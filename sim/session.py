"""Beginning: a bench cold and lined up, or running steady, without anyone having to wait."""

from __future__ import annotations

from collections.abc import Callable

from sim.bench import Bench
from sim.errors import PlantError
from sim.rig import Device, Mode, Rig, load_rig
from sim.starts import From, Receiver, Start

Progress = Callable[[str, float | None], None]

STEADY_S = 7200.0  # measured: eight time constants of the shell; nothing moves any more in the digits shown
WAITS = 20  # how often progress is told
START_WAIT_S = 600.0  # common practice: ten minutes of cooling before a cycle is reversed
VALVES = ("HV-", "HCV-")
"""Tags of what is lined up before the panel is switched on."""
BYPASS_VALVES: dict[str, float | str] = {"HV-11": 0.0, "HV-12": 0.0, "HV-13": 1.0}
"""Contract of the rigs: receiver inlet, outlet and bypass."""
BYPASS_TARGET_K = 6.0  # contract of run sheets (subcooling); common practice for superheat
NOMINAL_ROOM = {"room_temperature_c": 23.0}
BYPASS_CLOSE_K = 0.05
# guess: the lines and coils hold 0.09 kg as vapour with full liquid lines; 0.45 kg drowns coils and drum
BYPASS_CHARGES_KG = (0.09, 0.45)
BYPASS_STEP_KG = 0.03
BYPASS_RUN_S = 1800.0  # measured: subcooling follows the charge within minutes, the shell's slow warming moves it by tenths


def line_up(bench: Bench, device: Device, mode: Mode = "cooling", receiver: Receiver = "in-line") -> None:  # fmt: skip
    """Put every valve and switch of the line-up, waiting where it says so."""
    bypassed = BYPASS_VALVES if receiver == "bypassed" and mode == "cooling" else {}
    for step in bench.rig.line_up_for(device, mode).steps:
        bench.set(step.set, bypassed.get(step.set, step.to))
        if step.wait_s:
            bench.advance(step.wait_s)


def start_bench(rig: Rig, start: Start, progress: Progress | None = None) -> Bench:
    """A bench in its starting condition. Raises PlantError when the plant does not run on that device."""
    if start.receiver == "bypassed" and start.mode == "cooling":
        bench = bypassed_bench(rig, start)
    else:
        bench = Bench(rig, seed=start.seed, surroundings=start.surroundings)
    if start.start == "steady":
        make_steady(bench, start, progress)
    else:
        prepare_only(bench, start)
    bench.forget()
    return bench


def prepare_only(bench: Bench, start: Start) -> None:
    """The valves of the line-up; the panel stays dead."""
    bypassed = BYPASS_VALVES if start.receiver == "bypassed" and start.mode == "cooling" else {}
    for step in bench.rig.line_up_for(start.device, start.mode).steps:
        if step.set.startswith(VALVES):
            bench.set(step.set, bypassed.get(step.set, step.to))


def make_steady(bench: Bench, start: Start, progress: Progress | None) -> None:
    """Run the line-up and wait until nothing moves; heating is reached from cooling on the same device, as by hand.

    Frost is held at its present amount (a new bench is clean) and let go at the end: with frost growing there is no steady state.
    """
    bench.hold_frost(True)
    if start.mode == "heating":
        line_up(bench, start.device)
        bench.advance(START_WAIT_S)
    line_up(bench, start.device, start.mode, start.receiver)
    for k in range(WAITS):
        if progress is not None:
            progress("running the plant in", k / WAITS)
        bench.advance(STEADY_S / WAITS)
    if float(bench.readings()["compressor_speed_rpm"]) <= 0.0:
        raise PlantError("not-running", f"the compressor does not keep running on the {start.device} device in {start.mode}.")  # fmt: skip
    bench.hold_frost(False)


def bypassed_bench(rig: Rig, start: Start) -> Bench:
    """A bench with receiver and drier empty and shut, holding the right charge for this device at 23 degC, found by running.

    A thermostatic or float valve is charged to 6 K of condenser subcooling. A fixed restriction cannot hold liquid back: charge beyond a
    few kelvin of subcooling floods the evaporator into the accumulator, so capillary and hand valve are charged to 6 K of evaporator superheat
    (common practice: fixed restrictions by superheat, expansion valves by subcooling). Raises PlantError when no charge does it.
    """
    low, most = BYPASS_CHARGES_KG
    high = low
    low_k = high_k = charge_miss(rig, start, low)
    while high_k < 0.0 and high < most:
        low, low_k = high, high_k
        high += BYPASS_STEP_KG
        high_k = charge_miss(rig, start, high)
    if low_k * high_k > 0.0:
        raise PlantError("no-charge", f"no charge up to {most:g} kg suits the {start.device} device with the receiver bypassed.")  # fmt: skip
    charge = high
    for _ in range(20):
        charge = low + (high - low) * min(max(-low_k / (high_k - low_k), 0.1), 0.9)
        miss = charge_miss(rig, start, charge)
        if abs(miss) < BYPASS_CLOSE_K:
            break
        if miss * low_k > 0.0:
            low, low_k = charge, miss
        else:
            high, high_k = charge, miss
    return Bench(rig, start.seed, charge_kg=charge, surroundings=start.surroundings, receiver_empty=True)  # fmt: skip


def charge_miss(rig: Rig, start: Start, charge_kg: float) -> float:
    """How far the bypassed plant on this charge is beyond its target in a room of 23 degC, K; rises with the charge."""
    bench = Bench(rig, charge_kg=charge_kg, surroundings=NOMINAL_ROOM, receiver_empty=True)
    bench.hold_frost(True)
    line_up(bench, start.device, "cooling", "bypassed")
    bench.advance(BYPASS_RUN_S)
    readings = bench.readings()
    if start.device in ("capillary", "hand"):
        return BYPASS_TARGET_K - float(readings["evaporator_superheat_k"])
    return float(readings["condenser_subcooling_k"]) - BYPASS_TARGET_K


def open_bench(
    rig_name: str,
    start: From = "off",
    device: Device = "hand",
    mode: Mode = "cooling",
    room_c: float | None = None,
    seed: int = 1,
    progress: Progress | None = None,
) -> Bench:
    """A bench for the screen. Raises InputError or PlantError."""
    if progress is not None:
        progress("building the plant", None)
    surroundings = {} if room_c is None else {"room_temperature_c": room_c}
    begin = Start(start=start, device=device, mode=mode, seed=seed, surroundings=surroundings)
    return start_bench(load_rig(rig_name), begin, progress)
