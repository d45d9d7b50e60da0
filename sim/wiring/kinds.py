"""Device kind -> class. A new kind is one class and one entry here."""

from __future__ import annotations

from sim.wiring.device import Device
from sim.wiring.fan_motor import CapacitorFan, RunCapacitor
from sim.wiring.loads import Ammeter, Bus, Heater, Lamp, ShadedPoleFan, Voltmeter, Wattmeter
from sim.wiring.machine import BimetalOverload, CurrentRelay, HermeticMotor, StartCapacitor
from sim.wiring.switchgear import (
    Breaker,
    Coil,
    Contactor,
    ControlContact,
    Fuse,
    Limiter,
    Plug,
    ResidualCurrentDevice,
    RestartTimer,
    SelectorSwitch,
)

KINDS: dict[str, type[Device]] = {
    kind.KIND: kind
    for kind in (
        *(Plug, Fuse, Breaker, ResidualCurrentDevice, SelectorSwitch, ControlContact, Limiter),
        *(
            Coil,
            Contactor,
            RestartTimer,
            ShadedPoleFan,
            Heater,
            Lamp,
            Bus,
            Voltmeter,
            Ammeter,
            Wattmeter,
        ),
        *(HermeticMotor, BimetalOverload, CurrentRelay, StartCapacitor, CapacitorFan, RunCapacitor),
    )
}
