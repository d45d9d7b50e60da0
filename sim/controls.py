"""Switches, protectors and contacts: what a hand or a pressure does to the compressor's supply.

A contact is either open or closed; the bench asks ``Controls`` what follows from the present positions after every command and at every
monitor. The chain of the default rig: main switch, emergency stop, compressor switch, high-pressure trip (latched until reset by hand),
low-pressure control and thermostat (close again by themselves; heating takes the thermostat out), contactor; the motor's overload and start relay
sit in the motor's own line.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from sim.rig import Rig
from sim.switches import (
    EMERGENCY_STOP,
    MAIN_SWITCH,
    HighPressureTrip,
    LoadBox,
    LowPressureControl,
    Selector,
    Switch,
    Thermostat,
)

BOX_LIMIT_K = 328.15  # guess: 55 degC, the warmest surroundings EN 378-2 reckons with; electric heaters in closed boxes carry such a limiter (common practice)
BOX_LIMIT_DIFFERENCE_K = 10.0  # common practice: a bimetal limiter closes again 10 to 20 K lower

CONTACTS = (HighPressureTrip, LowPressureControl, Thermostat)


@dataclass
class Controls:
    """Positions of switches and contacts."""

    switches: dict[str, Switch]
    position: dict[str, str]
    """Selector tag to its position."""
    open_contacts: set[str] = field(default_factory=set)
    """Tags of controls whose contact is open, and of protectors that have opened."""
    latched: set[str] = field(default_factory=set)
    """Trips that need a reset by hand."""
    set_error: dict[str, float] = field(default_factory=dict)
    """By how much a control works above its mark: Pa or K."""
    stuck: set[str] = field(default_factory=set)
    """Controls and protectors whose contact a fault keeps closed."""

    @staticmethod
    def of(rig: Rig) -> Controls:
        """All switches in their first positions."""
        selectors = {s.tag: s.initial for s in rig.switches if isinstance(s, Selector)}
        return Controls({s.tag: s for s in rig.switches}, selectors)

    def worker(self, part: str) -> str | None:
        """Position of the selector that works a part; None when no switch does."""
        for tag, switch in self.switches.items():
            if isinstance(switch, Selector) and switch.works == part:
                return self.position[tag]
        return None

    @property
    def powered(self) -> bool:
        """Is the panel live? Main switch on, emergency stop released."""
        return (
            self.position.get(MAIN_SWITCH, "on") == "on"
            and self.position.get(EMERGENCY_STOP, "released") == "released"
        )

    @property
    def heating(self) -> bool:
        """Does the mode selector stand at heating?"""
        return "heating" in self.position.values()

    def fan_speed(self, fan: str) -> float:
        """0, 1 or 2 of the fan with this tag."""
        if not self.powered:
            return 0.0
        return {"off": 0.0, "low": 1.0, "high": 2.0}.get(self.worker(fan) or "off", 0.0)

    def energised(self, part: str) -> bool:
        """Is the coil of a solenoid or pilot under voltage?"""
        return self.powered and (self.worker(part) in ("on", "heating", "open"))

    def contactor_closed(self, machine: str) -> bool:
        """Do all contacts of the compressor's control circuit conduct?"""
        if not self.powered or self.worker(machine) not in (None, "on") or self.latched:
            return False
        for tag in self.open_contacts:
            switch = self.switches.get(tag)
            if isinstance(switch, LowPressureControl):
                return False
            if isinstance(switch, Thermostat) and not self.heating:
                return False
        return True

    def motor_on(self, machine: str) -> bool:
        """Is the motor on its supply: contactor closed and overload closed?"""
        return self.contactor_closed(machine) and "F1" not in self.open_contacts

    def drop_out(self, machine: str) -> dict[str, str]:
        """Put the compressor's switch to off, as an emergency stop does: releasing it only permits a restart (ISO 13850, from memory)."""
        works = [t for t, s in self.switches.items() if isinstance(s, Selector) and s.works == machine]  # fmt: skip
        changed = dict.fromkeys(works, "off")
        self.position.update(changed)
        return changed

    def box(self) -> LoadBox | None:
        """The load box, if the rig has one."""
        for switch in self.switches.values():
            if isinstance(switch, LoadBox):
                return switch
        return None

    def box_heater_on(self) -> bool:
        """Is the load box's heater under voltage: box shut and switched on, its overheat limiter closed?"""
        box = self.box()
        if box is None or not self.powered or self.position[box.tag] != "heated":
            return False
        return f"{box.tag}.limit" not in self.open_contacts

    def is_open(self, tag: str) -> bool:
        """Is the contact of this control or protector open?"""
        return tag in self.open_contacts or tag in self.latched

    def tripped(self) -> dict[str, bool]:
        """Every protector and control: is its contact open?"""
        found = {t: self.is_open(t) for t, s in self.switches.items() if isinstance(s, CONTACTS)}
        found["F1"] = "F1" in self.open_contacts
        return {tag: is_open and tag not in self.stuck for tag, is_open in found.items()}
