"""The very first start on a machine with two processors or more: another process compiles one part while this one compiles the rest.

The compiler holds one lock in a process, so only a second process helps. Both write the same cache; what one has finished the other finds there. With
anything in the cache already, without one that can be written, or on a single processor nothing is started.
"""

from __future__ import annotations

import os
import subprocess
import sys

CHILD = "import sys; from sim.prepare import compile_slopes; compile_slopes(sys.argv[1])"


def helps() -> bool:
    """Would a second process help?"""
    from sim.compiled import CACHED, cache_folder

    return CACHED and (os.cpu_count() or 1) > 1 and not any(cache_folder().rglob("*.nbc"))


def compile_beside(rig: str) -> None:
    """Compile what a standing bench needs while another process compiles the Jacobian; returns when both are done. What the other does not manage is compiled later."""
    from sim.bench import Bench
    from sim.rig import load_rig

    quiet = subprocess.DEVNULL
    other = subprocess.Popen([sys.executable, "-c", CHILD, rig], stdin=quiet, stdout=quiet, stderr=quiet)  # fmt: skip
    try:
        Bench(load_rig(rig))
        other.wait()
    finally:
        other.kill()
        other.wait()
