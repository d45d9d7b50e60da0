"""Builds whatever the first start would build: the compiled kernels, kept in the platform's cache folder."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[float, str], None]
SHARES = ((0.05, "loading the compiler"), (0.15, "compiling properties and parts"), (0.25, "compiling the plant's equations"))  # fmt: skip


def prepare(on_progress: Progress) -> None:
    """Compile everything a bench needs, telling (share, what) on the way."""
    on_progress(*SHARES[0])
    from sim.bench import Bench
    from sim.rig import load_rig
    from sim.session import line_up

    on_progress(*SHARES[1])
    rig = load_rig("fennick_bench")
    on_progress(*SHARES[2])
    bench = Bench(rig)
    on_progress(0.9, "compiling the run")
    line_up(bench, "hand")
    bench.advance(2.0)
    bench.snapshot()
    on_progress(1.0, "ready")
