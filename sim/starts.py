"""How a bench begins: cold or already running steady, on which device, in which mode, with the receiver in line or bypassed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, get_args

from sim.rig import Device, Mode

From = Literal["off", "steady"]
Receiver = Literal["in-line", "bypassed"]
FROM: tuple[str, ...] = get_args(From)
DEVICES: tuple[Device, ...] = get_args(Device)
MODES: tuple[str, ...] = get_args(Mode)
RECEIVERS: tuple[str, ...] = get_args(Receiver)


@dataclass(frozen=True, kw_only=True)
class Start:
    """The starting condition of a bench.

    ``off``: equalised at room temperature, lined up for ``device``. ``steady``: running steady on it. ``bypassed``: receiver and drier empty and shut, the
    charge that which gives 6 K of condenser subcooling at 23 °C on this device; in heating the receiver is shut in full and bypassed in any case.
    ``surroundings`` holds keys of a ``[surroundings]`` table that differ from the rig's.
    """

    start: From = "off"
    device: Device = "hand"
    mode: Mode = "cooling"
    receiver: Receiver = "in-line"
    seed: int = 1
    surroundings: Mapping[str, float] = field(default_factory=dict)
