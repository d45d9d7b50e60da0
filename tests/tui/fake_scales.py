"""The default rig's instruments, read from its file without the model."""

from __future__ import annotations

import tomllib
from pathlib import Path
from types import SimpleNamespace

from sim.working.scales import Scale, scales_of

RIG = Path(__file__).parents[2] / "rigs" / "fennick_bench" / "rig.toml"
OPTIONAL = {"float_density_kg_m3": 0.0, "scale_density_kg_m3": 0.0}


def fake_scales() -> dict[str, Scale]:
    """As the model hands them to the screen."""
    raw = tomllib.loads(RIG.read_text(encoding="utf-8"))["instrument"]
    return scales_of(SimpleNamespace(**(OPTIONAL | one)) for one in raw)
