"""A case to study: a bench that runs steady, and the fault that then sets in. Its clock begins when the fault does."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sim.bench import Bench
from sim.errors import InputError
from sim.faults import FAULTS, Fault
from sim.rig import Device, Mode, Rig
from sim.session import start_bench
from sim.starts import Start


@dataclass(frozen=True)
class Case:
    """A fault of a severity (above 0, to 1) on a rig that has been started."""

    rig: Rig
    start: Start
    name: str
    severity: float

    @property
    def fault(self) -> Fault:
        """What is known of its fault."""
        return FAULTS[self.name]

    @property
    def may_be_staged(self) -> bool:
        """False when only consequences may be shown."""
        return self.fault.on_a_real_rig != "never"

    def of_severity(self, severity: float) -> Case:
        """The same fault, stronger or weaker."""
        return replace(self, severity=severity)

    def in_room(self, room_c: float) -> Case:
        """The same in a room of another temperature."""
        around = {**self.start.surroundings, "room_temperature_c": room_c}
        return replace(self, start=replace(self.start, surroundings=around))

    def healthy(self) -> Bench:
        """A bench at the instant before the fault. Raises PlantError when the plant does not run."""
        return start_bench(self.rig, self.start)


def case_of(
    rig: Rig,
    name: str,
    *,
    severity: float = 1.0,
    device: Device = "thermostatic",
    mode: Mode = "cooling",
    room_c: float | None = None,
) -> Case:
    """A fault that sets in at once on a bench that runs steady. Raises InputError for a wrong name or severity."""
    if name not in FAULTS:
        raise InputError(f"there is no fault {name!r}; known are {', '.join(sorted(FAULTS))}.")
    if not 0.0 < severity <= 1.0:
        raise InputError(f"severity is {severity:g}; it goes from above 0 to 1 (the worst).")
    around = {} if room_c is None else {"room_temperature_c": room_c}
    start = Start(start="steady", device=device, mode=mode, surroundings=around)
    return Case(rig, start, name, severity)
