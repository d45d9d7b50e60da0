"""What every device is made of: branches between two terminals, contacts among them, and magnets that move contacts.

A branch has one impedance at rest (contact open, plunger out, fan standing) and may have another when moved (contact closed, plunger seated, fan
turning). Reactances are at the supply's rated frequency and grow with frequency.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal, NamedTuple

CLOSED_OHM = 0.005  # common practice: a sound contact or crimp has a few milliohms
OPEN_OHM = 1e10  # guess: leakage across an open contact; 12 nA at 120 V, far below what any meter here shows
LINK_OHM = 0.001  # guess: the internal joint of a winding; far below a winding's ohms

Role = Literal["wire", "contact", "magnet", "fan", "load", "capacitor", "link", "hidden"]


class Impedance(NamedTuple):
    """A series of resistance, reactance and capacitance."""

    ohm: float
    reactance_ohm: float = 0.0
    farad: float = inf


CLOSED = Impedance(CLOSED_OHM)
OPEN = Impedance(OPEN_OHM)


@dataclass(frozen=True, kw_only=True)
class Branch:
    """Two terminals and what lies between them."""

    name: str
    a: str
    b: str
    role: Role
    rest: Impedance
    moved: Impedance | None = None
    dc_ohm: float | None = None
    """Direct-current resistance when it is not the ohms of the impedance; infinite for a capacitor."""
    closed_at_rest: bool = False
    """Contacts: how it stands on a new rig with no hand on it."""
    closes_in: tuple[str, ...] = ()
    """Contacts of a hand switch: the positions in which it is closed."""

    @property
    def faultable(self) -> bool:
        """Can this branch break, rust or be shorted? Insulation and iron loss are no parts that one can touch."""
        return self.role != "hidden"


@dataclass(frozen=True, kw_only=True)
class Magnet:
    """A coil that moves contacts or a plunger: it pulls in above one value and drops out below another, both held for ``delay_s``."""

    name: str
    branch: str
    quantity: Literal["volts", "amps"]
    pull_in: float
    drop_out: float
    delay_s: float
    contacts: tuple[str, ...] = ()
    """Contacts that close when it is seated."""


def contact(
    name: str, a: str, b: str, *, closed: bool = False, closes_in: tuple[str, ...] = ()
) -> Branch:
    """A plain contact."""
    return Branch(
        name=name,
        a=a,
        b=b,
        role="contact",
        rest=OPEN,
        moved=CLOSED,
        closed_at_rest=closed,
        closes_in=closes_in,
    )
