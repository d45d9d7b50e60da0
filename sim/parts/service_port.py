"""Service port: a capped stub with a valve core where gauges, a charging hose or a recovery line can be joined. Capped, it passes nothing and stores nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from sim.part import Part


@dataclass(frozen=True, kw_only=True)
class ServicePort(Part):
    """A capped service port on a node."""

    KIND: ClassVar[str] = "service_port"
    PORTS: ClassVar[tuple[str, ...]] = ("at",)
    HAZARDS: ClassVar[tuple[str, ...]] = ("pressure", "gas")
