"""What a meter is asked: its mode, where its probes stand and what lies in its jaws."""

from __future__ import annotations

from dataclasses import dataclass

from sim.wiring.display import FUNCTIONS

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
        if self.mode not in FUNCTIONS:
            return [("mode", f"a meter has no mode {self.mode!r}; it has {', '.join(FUNCTIONS)}")]
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
