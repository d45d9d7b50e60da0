"""What a wiring must be before anything is computed with it."""

from __future__ import annotations

from collections.abc import Mapping

from sim.record import Reader
from sim.tomlfile import Key
from sim.wiring.netlist import Wiring


def check_wiring(reader: Reader, wiring: Wiring, places: Mapping[str, Key]) -> None:
    """Notes every mistake in ``reader``."""
