"""What follows when something passes a threshold: contacts, trips, relief valves, bursting, liquid in the cylinder, a rotor that will not turn.

``happened`` is told which monitor fired; ``settle`` brings contacts, start relay and monitors into line with the present state after any change.

Over 300 lines: everything that can happen is a method of one class, a few lines each.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from sim import columns as c
from sim import course
from sim.cautions import all_cautions
from sim.charging import move_charge
from sim.dead_end import dead_end
from sim.electrician import Electrician
from sim.errors import InputError
from sim.faulting import step
from sim.magnets import Magnets
from sim.parts import relief_valve
from sim.parts.motor import SinglePhaseMotor
from sim.rig import BURST_FACTOR
from sim.supply_wired import WiredSupply
from sim.switches import HighPressureTrip, LowPressureControl, Thermostat
from sim.tags import Setting
from sim.watching import WINDINGS

if TYPE_CHECKING:
    from sim.bench import Bench

VENT_AREA_M2 = (
    2e-5  # guess: a split of a few square millimetres empties the plant in about a minute
)
STALL_AFTER_S = 1.0  # common practice: a sound machine is at speed in well under a second
STALLED_RAD_S = 50.0  # guess: far above the creep of a standing rotor, far below running
SLUG_PAUSE_S = 5.0  # guess: one slug is counted once


class Happenings:
    """The reactions of one bench."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.index = {m.name: k for k, m in enumerate(bench.watching.monitors)}
        self.magnets = Magnets(bench)
        self.wired = Electrician(bench, bench.supply) if isinstance(bench.supply, WiredSupply) else None  # fmt: skip
        self.acts = self.wired.acts if self.wired else None
        self.was_on = False
        self.off_tick = -1
        """When the motor last went off: on again at the same instant, it was never off."""
        self.was_closed = False
        self.damage: dict[str, int] = {}

    # --- monitors ---------------------------------------------------------------------------

    def arm(self, name: str, armed: bool, threshold: float | None = None) -> None:
        """Arm or disarm a monitor, with a new threshold if given."""
        if name in self.index:
            row = self.bench.watch.monitor[self.index[name]]
            row[course.MONITOR_ARMED] = float(armed)
            if threshold is not None:
                row[course.MONITOR_THRESHOLD] = threshold

    def happened(self, k: int) -> None:
        """Monitor k has passed its threshold."""
        name = self.bench.watching.monitors[k].name
        tag, _, what = name.rpartition(".")
        actions = {"lift": self.lifted, "reseat": self.reseated, "open": self.opened, "close": self.closed, "over": self.slid_over, "back": self.slid_back}  # fmt: skip
        if name == "slug":
            self.slug()
        elif name == "burst":
            self.burst()
        elif name == "beyond-tables":
            self.beyond()
        elif what == "burn":
            self.burnt(tag)
        elif what in ("pull", "drop"):
            self.magnets.begin(tag)
        else:
            actions[what](tag)

    def opened(self, tag: str) -> None:
        """A control or protector opens its contact."""
        controls = self.bench.controls
        controls.open_contacts.add(tag)
        switch = controls.switches.get(tag)
        if tag in controls.stuck:
            return  # it moves, and its contact does not
        if isinstance(switch, HighPressureTrip):
            controls.open_contacts.discard(tag)
            controls.latched.add(tag)
            self.bench.note(tag, "trip", "The high-pressure trip has opened; it stays open until it is reset by hand.")  # fmt: skip
        elif tag == "F1":
            self.bench.note(tag, "trip", "The motor's overload has opened; it closes again by itself when it has cooled.")  # fmt: skip
        elif tag.endswith(".limit"):
            self.bench.note(tag, "contact", f"The load box is too hot: the limiter of {tag.removesuffix('.limit')} has switched its heater off.")  # fmt: skip
        else:
            self.bench.note(tag, "contact", f"{tag} has opened its contact.")

    def closed(self, tag: str) -> None:
        """A control or protector closes its contact again by itself."""
        self.bench.controls.open_contacts.discard(tag)
        if tag in self.bench.controls.stuck:
            return
        self.bench.note(tag, "contact", f"{tag} has closed its contact again.")

    def lifted(self, tag: str) -> None:
        """A relief valve opens."""
        self.bench.note(tag, "lift", f"{tag} has lifted: an alarm, not a control. Stop, and keep clear of its outlet.")  # fmt: skip
        self.arm(f"{tag}.lift", False)
        self.arm(f"{tag}.reseat", True)

    def reseated(self, tag: str) -> None:
        """A relief valve shuts again."""
        self.bench.note(tag, "note", f"{tag} has shut again.")
        self.arm(f"{tag}.lift", True)
        self.arm(f"{tag}.reseat", False)

    def slid_over(self, tag: str) -> None:
        """A reversing valve's slide has come to the heating side."""
        self.bench.note(tag, "note", f"The slide of {tag} has gone over to heating: the coils have changed their work.")  # fmt: skip
        self.arm(f"{tag}.over", False)
        self.arm(f"{tag}.back", True)

    def slid_back(self, tag: str) -> None:
        """And back."""
        self.bench.note(tag, "note", f"The slide of {tag} has gone back to cooling: the coils have changed their work.")  # fmt: skip
        self.arm(f"{tag}.over", True)
        self.arm(f"{tag}.back", False)

    def armature(self, name: str) -> None:
        """The delay of an electromagnet is over."""
        if self.magnets.move(name) and self.wired is not None:
            self.wired.timers.moved(name)

    def time_over(self, tag: str) -> None:
        """A restart timer's off-time is over."""
        self.electrical().timers.over(tag)

    def slug(self) -> None:
        """Liquid in the cylinder: the discharge reed bends a little more each time."""
        bench = self.bench
        tag = bench.machine_tag
        self.arm("slug", False)
        bench.later(SLUG_PAUSE_S, "arm", "slug", True)
        bench.note(tag, "slug", "Liquid has entered the cylinder.")
        self.damage[tag] = self.damage.get(tag, 0) + 1
        bench.note(
            tag, "damage", "The discharge valve leaks more than before; repair it to go on as new."
        )

    def burst(self) -> None:
        """The weakest node opens to the room."""
        bench = self.bench
        bench.look()  # tracing other monitors has left another instant in the tables
        pressure = bench.watch.P[:, c.P_P]
        k = int(np.argmax(pressure - bench.plant.node[:, c.N_BURST]))
        name = next(n for n, i in bench.layout.nodes.items() if i == k)
        bench.plant.node[k, c.N_BURST] = np.inf
        self.damage[name] = 1
        text = f"{name.replace('_', ' ')} has burst at its limit of {BURST_FACTOR:g} PS; the charge goes to the room."
        bench.note(name, "burst", text)

    def beyond(self) -> None:
        """A state has left the property tables: said once, then the tables' continuation is used."""
        self.arm("beyond-tables", False)
        self.bench.look()
        t = self.bench.watch.P[:, c.P_T]
        k = int(
            np.argmax(np.maximum(t - self.bench.watch.limits[0], self.bench.watch.limits[1] - t))
        )
        name = next(n for n, i in self.bench.layout.nodes.items() if i == k)
        text = f"beyond-tables: {name.replace('_', ' ')} at {t[k] - 273.15:.0f} °C is outside the property tables; numbers are a continuation from here."  # fmt: skip
        self.bench.warnings.append(text)
        self.bench.note(name, "beyond-tables", text)

    def burnt(self, which: str) -> None:
        """A winding is hotter than its insulation can be: it burns through and stays open."""
        bench = self.bench
        self.arm(f"{which}.burn", False)
        if self.wired is None or which in self.wired.supply.burnt:
            return
        self.wired.supply.burnt.add(which)
        self.damage[f"{bench.machine_tag}.{which}"] = 1
        bench.note(bench.machine_tag, "damage", f"The {which} winding has burnt through: a burn-out. Acid is in the oil; the compressor is replaced and the circuit cleaned.")  # fmt: skip

    def protection(self, tag: str, turn: int) -> None:
        """What a fuse, breaker or residual-current device was foreseen to do."""
        if self.wired is not None:
            self.wired.protection.open(tag, turn)

    def electrical(self) -> Electrician:
        """Who works at the wiring. Raises InputError on a rig without one."""
        if self.wired is None:
            raise InputError(f"{self.bench.rig.name} has no wiring; name one, as in fennick_bench:120v.")  # fmt: skip
        return self.wired

    # --- hands ------------------------------------------------------------------------------

    def may(self, tag: str, value: Setting) -> None:
        """Before a hand moves something. Raises InputError for what cannot be done."""
        if self.acts is not None:
            self.acts.may(tag, value)

    def did(self, tag: str, value: Setting) -> None:
        """After it, and before the circuit has answered."""
        if self.acts is not None:
            self.acts.did(tag, value)
        shut = dead_end(self.bench.rig, self.bench.commands) if self.was_on else ()
        if tag in shut:
            self.pushes(tag, f"{tag} was shut while the compressor is on")

    def pushes(self, tag: str, how: str) -> None:
        """Severe, whatever follows; a protector may still stop it."""
        text = f"{how}: it pushes into a dead end, and only a protector stops the pressure."
        self.bench.note(tag, "violation", f"{text} {all_cautions()['protective'].text}")

    def pressed(self, tag: str) -> None:
        """A button or tool was used once."""
        what, _, verb = tag.rpartition(".")
        if self.wired is not None and what in self.wired.protection.devices:
            self.wired.protection.close(what)
        elif self.acts is not None and verb == "discharge":
            self.acts.discharge(what)
        else:
            self.reset(what)

    def reset(self, tag: str) -> None:
        """Press a trip's reset button; it holds only below the reset pressure."""
        bench = self.bench
        switch = bench.controls.switches.get(tag)
        if not isinstance(switch, HighPressureTrip) or tag not in bench.controls.latched:
            bench.note(tag, "note", f"{tag} is not tripped; nothing to reset.")
            return
        bench.look()
        pressure = bench.watch.P[bench.layout.nodes[switch.tap], c.P_P]
        if pressure >= switch.reset_below_pa:
            bench.note(tag, "note", f"{tag} will not reset yet: the pressure is still too high.")
            return
        bench.controls.latched.discard(tag)
        bench.note(tag, "reset", f"{tag} has been reset by hand. Find the cause before starting.")

    def repair(self, tag: str) -> None:
        """Mend a damaged part. Raises InputError when nothing on it is damaged."""
        bench = self.bench
        found = [key for key in self.damage if key == tag or key.startswith(f"{tag}.")]
        if not found:
            raise InputError(f"nothing on {tag} is damaged.")
        for key in found:
            del self.damage[key]
        if tag.partition(".")[0] == bench.machine_tag:
            if self.wired is not None:
                self.wired.supply.burnt.clear()
            for which in WINDINGS:
                self.arm(f"{which}.burn", True)
        else:
            k = bench.layout.nodes[tag]
            bench.plant.node[k, c.N_BURST] = bench.rig.burst_pa(bench.rig.node(tag))
        bench.note(tag, "note", f"{tag} has been repaired.")

    def charge_step(self) -> None:
        """Next second of a charge that is being let out or put in."""
        move_charge(self.bench)

    def moisture_step(self) -> None:
        """Water has moved on; the bench writes what ice leaves open after this call."""
        self.bench.moisture.step(self.bench)

    def fault_step(self, key: str) -> None:
        """A fault sets in, grows, comes or goes (its severity follows from the clock); the bench applies it after this call."""
        step(self.bench, key)

    def vents(self) -> list[float]:
        """Area through which each node is open to the room, m2: a burst one's split."""
        return [VENT_AREA_M2 if name in self.damage else 0.0 for name in self.bench.layout.nodes]

    # --- settling ---------------------------------------------------------------------------

    def begin(self) -> None:
        """After the plant has begun anew from a change: armatures and protection that now have their condition."""
        self.magnets.settle()
        if self.wired is not None:
            self.wired.protection.settle()
            self.wired.acts.cover()

    def settle(self) -> None:
        """After any change: contactor, motor, armatures, and which monitors listen."""
        bench = self.bench
        self.set_points()
        bench.appliance.electrics(bench.supply)
        bench.supply.write()
        closed = bench.supply.contactor_closed()
        if closed != self.was_closed:
            self.was_closed = closed
            self.magnets.contactor(closed)
        on = bench.supply.motor_on()
        if on and not self.was_on and bench._tick != self.off_tick:
            bench.later(STALL_AFTER_S, "stall_check")
            for tag in dead_end(bench.rig, bench.commands):
                self.pushes(tag, f"The compressor was started with {tag} shut")
        if self.was_on and not on:
            self.off_tick = bench._tick
        self.was_on = on
        self.magnets.arm()

    def set_points(self) -> None:
        """Which monitors listen, and at what value."""
        bench = self.bench
        for k, plan in enumerate(bench.layout.plans):
            if plan.kind == c.RELIEF:
                at = float(bench.plant.link[k, c.L_PART + relief_valve.SET])
                for what, share in (("lift", 1.0), ("reseat", plan.part.reseat_share)):
                    row = bench.watch.monitor[self.index[f"{plan.tag}.{what}"]]
                    row[course.MONITOR_THRESHOLD] = at * share
        for tag, switch in bench.controls.switches.items():
            if not isinstance(switch, HighPressureTrip | LowPressureControl | Thermostat):
                continue
            point = float(bench.commands[f"{tag}.set"]) + bench.controls.set_error.get(tag, 0.0)
            is_open = tag in bench.controls.open_contacts
            self.arm(f"{tag}.open", not is_open and tag not in bench.controls.latched, point)
            if isinstance(switch, LowPressureControl):
                self.arm(f"{tag}.close", is_open, point + switch.difference_pa)
            elif isinstance(switch, Thermostat):
                self.arm(f"{tag}.close", is_open, point + switch.difference_k)
        box = bench.controls.box()
        for protector in ("F1", f"{box.tag}.limit" if box else "F1"):
            tripped = protector in bench.controls.open_contacts
            self.arm(f"{protector}.open", not tripped)
            self.arm(f"{protector}.close", tripped)

    def stall_check(self) -> None:
        """A second after the motor came on: does it turn?"""
        bench = self.bench
        if not self.was_on or bench.supply.motor is None:
            return
        bench.look()
        if bench.watch.y[bench.layout.slow["machine.speed"]] < STALLED_RAD_S:
            bench.note(bench.machine_tag, "stall", "The motor hums and does not come to speed: it draws locked-rotor current.")  # fmt: skip


__all__ = ["Happenings", "SinglePhaseMotor"]
