"""What every part of a rig has in common: parameters with ranges, a check that speaks in sentences, named ports.

A part kind is one file in ``sim/parts``: a frozen dataclass of parameters (the maker fixed them; the unit is in the field name) and pure
compiled functions. Parts never import parts.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import ClassVar


@dataclass(frozen=True, kw_only=True)
class Part:
    """Base of all parameter classes. ``tag`` is the part's name on the rig."""

    KIND: ClassVar[str] = ""
    PORTS: ClassVar[tuple[str, ...]] = ("from", "to")
    """Port keys in the rig file, in the order in which flow is positive."""
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {}
    """Field -> lowest and highest value that the model holds for (SI, as in the field's name)."""
    HAZARDS: ClassVar[tuple[str, ...]] = ()
    """Ids of the cautions in rigs/cautions.toml that belong to this kind."""

    tag: str

    def check(self) -> list[tuple[str, str]]:
        """Every (field, full sentence) that is wrong with the parameters; empty when all is well."""
        wrong = []
        for field in fields(self):
            if field.name in self.RANGES:
                low, high = self.RANGES[field.name]
                value = getattr(self, field.name)
                if value is not None and not low <= value <= high:
                    wrong.append(
                        (
                            field.name,
                            f"{field.name} is {value:g}; the model holds from {low:g} to {high:g}",
                        )
                    )
        return wrong
