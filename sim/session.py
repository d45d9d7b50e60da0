"""Beginning: a bench cold and lined up, or running steady, without anyone having to wait."""

from __future__ import annotations

from collections.abc import Callable

from sim.bench import Bench
from sim.errors import PlantError
from sim.rig import Device, Mode, Rig, load_rig
from sim.starts import From, Start

Progress = Callable[[str, float | None], None]

STEADY_S = 7200.0  # measured: eight time constants of the shell; nothing moves any more in the digits shown
START_WAIT_S = (
    120.0  # measured: by then the plant runs on its device and further waiting is only warming
)


def line_up(bench: Bench, device: Device, mode: Mode = "cooling") -> None:
    """Put every valve and switch of the line-up, waiting where it says so."""
    for step in bench.rig.line_up_for(device, mode).steps:
        bench.set(step.set, step.to)
        if step.wait_s:
            bench.advance(step.wait_s)


def start_bench(rig: Rig, start: Start, progress: Progress | None = None) -> Bench:
    """A bench in its starting condition. Raises PlantError when the plant does not run on that device."""
    bench = Bench(rig, seed=start.seed)
    for key, value in start.surroundings.items():
        bench.set(key, value)
    if start.receiver == "bypassed" and start.mode == "cooling":
        from sim.bypassed import bypass

        bench = bypass(bench, start)
    if start.start == "steady":
        make_steady(bench, start.device, start.mode, progress)
    else:
        prepare_only(bench, start.device, start.mode)
    bench.forget()
    return bench


def prepare_only(bench: Bench, device: Device, mode: Mode) -> None:
    """The valves of the line-up with the compressor left off."""
    for step in bench.rig.line_up_for(device, mode).steps:
        if step.set.startswith("HV-") or step.set.startswith("HCV-"):
            bench.set(step.set, step.to)


def make_steady(bench: Bench, device: Device, mode: Mode, progress: Progress | None) -> None:
    """Run the line-up and wait until nothing moves."""
    line_up(bench, device, mode)
    spent = 0.0
    while spent < STEADY_S:
        if progress is not None:
            progress("running the plant in", spent / STEADY_S)
        bench.advance(STEADY_S / 20.0)
        spent += STEADY_S / 20.0
    if float(bench.readings()["compressor_speed_rpm"]) <= 0.0:
        raise PlantError("not-running", f"the compressor does not keep running on the {device} device in {mode}.")  # fmt: skip


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
