"""The faults of the plant: each a named change of physical parameters. Everything a person sees of one is then computed.

A fault multiplies, adds or takes away; shares multiply and areas add, so the order of insertion never matters.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

OnARealRig = Literal["never", "trained staff only", "ordinary"]


@dataclass
class Effects:
    """What all present faults together do to the parameters."""

    air_share: dict[str, float] = field(default_factory=dict)
    """Coil role (condenser, evaporator: the names they have in cooling) to the share of its air that is left."""
    clean_share: dict[str, float] = field(default_factory=dict)
    """Coil role to the share of its air film that is left."""
    discharge_leak_m2: float = 0.0
    pumping_share: float = 1.0
    """Share of the charge drawn in that is still delivered."""
    reversing_leak_m2: float = 0.0

    def shrink(self, table: dict[str, float], role: str, share: float) -> None:
        """Multiply one role's share."""
        table[role] = table.get(role, 1.0) * share


@dataclass(frozen=True)
class Fault:
    """A named mechanism. ``severity`` says what 0..1 means; ``effect`` writes it into Effects; ``charge`` is the share of the charge it takes."""

    family: str
    what: str
    severity: str
    on_a_real_rig: OnARealRig
    cautions: tuple[str, ...]
    removal: str
    source: str
    effect: Callable[[Effects, float], None] | None = None
    charge: float = 0.0
    """Share of the nominal charge that severity 1 takes out (negative: puts in)."""


# Full-severity sizes
WORST_DISCHARGE_LEAK_M2 = (
    0.3e-6  # guess: a broken reed; flow falls by about a third at the nominal point
)
WORST_PUMPING_LOSS = 0.5  # guess: beyond half the flow the machine would have been changed
WORST_REVERSING_LEAK_M2 = 0.8e-6  # guess: a scored slide passes as much as a millimetre hole


def _discharge(e: Effects, s: float) -> None:
    e.discharge_leak_m2 += s * WORST_DISCHARGE_LEAK_M2


def _pumping(e: Effects, s: float) -> None:
    e.pumping_share *= 1.0 - s * WORST_PUMPING_LOSS


def _reversing(e: Effects, s: float) -> None:
    e.reversing_leak_m2 += s * WORST_REVERSING_LEAK_M2


def _air(role: str) -> Callable[[Effects, float], None]:
    return lambda e, s: e.shrink(e.air_share, role, 1.0 - s)


def _film(role: str) -> Callable[[Effects, float], None]:
    return lambda e, s: e.shrink(e.clean_share, role, 1.0 - s)


FAULTS: dict[str, Fault] = {
    "undercharge": Fault(
        "refrigerant circuit", "Part of the charge is gone.",
        "share of the nominal charge that is missing, taken over at least 30 s",
        "trained staff only", ("gas", "cylinder"), "recharge by mass; removing the fault puts nothing back",
        "common practice", charge=1.0,
    ),
    "overcharge": Fault(
        "refrigerant circuit", "There is more charge than the plant was built for.",
        "1 is half the nominal charge again, added over at least 30 s",
        "trained staff only", ("pressure", "cylinder"), "recover by mass; removing the fault takes nothing out",
        "common practice", charge=-0.5,
    ),
    "condenser-air-low": Fault(
        "air side", "Less air passes the condenser's coil than should.", "share of the air that is missing",
        "ordinary", ("pressure", "protective"), "clear the air's way", "common practice", _air("condenser"),
    ),
    "condenser-fouled": Fault(
        "air side", "Dirt lies on the condenser's fins.", "share of the air film that is lost",
        "ordinary", ("pressure",), "clean the fins", "common practice", _film("condenser"),
    ),
    "evaporator-air-low": Fault(
        "air side", "Less air passes the evaporator's coil than should.", "share of the air that is missing",
        "ordinary", ("pressure",), "clear the air's way", "common practice", _air("evaporator"),
    ),
    "evaporator-fouled": Fault(
        "air side", "Dirt lies on the evaporator's fins.", "share of the air film that is lost",
        "ordinary", ("pressure",), "clean the fins", "common practice", _film("evaporator"),
    ),
    "discharge-valve-leak": Fault(
        "compressor", "The discharge reed leaks hot gas back into the cylinder.",
        "1 is a leak of 0.3 mm2", "never", ("hot/cold",), "change the compressor", "common practice", _discharge,
    ),
    "pumping-worn": Fault(
        "compressor", "Worn rings and a late suction valve give part of the gas back before delivery.",
        "1 is half the flow lost", "never", ("hot/cold",), "change the compressor", "common practice", _pumping,
    ),
    "reversing-valve-leak": Fault(
        "reversing valve", "The slide leaks discharge gas into the suction line.",
        "1 is a leak of 0.8 mm2", "never", ("hot/cold",), "change the valve", "common practice", _reversing,
    ),
}  # fmt: skip
