"""What a meter is asked: its mode, where its probes stand and what lies in its jaws; and its answer."""

from __future__ import annotations

from dataclasses import dataclass

MODES = (
    "volts",
    "volts-low-impedance",
    "dc-volts",
    "ohms",
    "continuity",
    "farads",
    "amps",
    "watts",
    "power-factor",
)
CLAMP_ONLY = ("amps",)
PROBES_AND_CLAMP = ("watts", "power-factor")


@dataclass(frozen=True, kw_only=True)
class Probing:
    """One use of the meter."""

    mode: str
    between: tuple[str, ...] = ()
    """Two terminals for the probes."""
    around: tuple[str, ...] = ()
    """Branches in the clamp's jaws; "-W9" lies the other way round."""
    leads_zeroed: bool = True

    def mistakes(self) -> list[tuple[str, str]]:
        """Every (field, sentence) that is wrong with it, the wiring aside."""
        if self.mode not in MODES:
            return [("mode", f"a meter has no mode {self.mode!r}; it has {', '.join(MODES)}")]
        wrong = []
        if self.mode in CLAMP_ONLY:
            if self.between:
                wrong.append(("between", f"{self.mode} is read with the clamp alone"))
        elif len(self.between) != 2:
            wrong.append(("between", f"{self.mode} needs two terminals"))
        if self.mode in CLAMP_ONLY + PROBES_AND_CLAMP:
            if not self.around:
                wrong.append(("around", f"{self.mode} needs a conductor in the clamp"))
        elif self.around:
            wrong.append(("around", f"{self.mode} is read with the probes alone"))
        return wrong


@dataclass(frozen=True)
class Measured:
    """What the meter says. ``value`` is true, in SI; ``shown`` is its display."""

    mode: str
    value: float
    shown: str
    refusal: str = ""
    would_have: str = ""
    """What would have happened to a real meter and a person."""
    cautions: tuple[str, ...] = ()
    """Ids in rigs/cautions.toml."""
