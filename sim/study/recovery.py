"""How a bench is put right after a demonstration, with waiting times found by doing it on the model."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from sim.bench import Bench
from sim.charging import move_by_mass
from sim.faulting import CHARGE_TIME_S
from sim.faults import ISOLATED, all_faults
from sim.occasions import position
from sim.study.case import Case
from sim.study.dials import Dial, dials_of
from sim.study.twins import Twins, Watched, look_times
from sim.switches import MAIN_SWITCH, HighPressureTrip
from sim.tags import Setting

OFF_TIME_S = 300.0  # common practice: five minutes between a stop and the next start
EQUAL_PA = 0.5e5  # guess: two steps of the discharge gauge
LONGEST_WAIT_S = 3600.0  # guess: nobody waits longer for pressures to draw together
BACK_WITHIN_S = (
    7200.0  # common practice: a shell needs half an hour to an hour to be as warm as before
)
CHARGING_KG_S = (
    0.1 / 60.0
)  # guess: a hundred grams a minute, as liquid through a hose, leaves time to read the scale
SMALLEST_KG = 1e-4  # less no scale in a workshop shows
MISWEIGHED_KG = 2e-3  # common practice: recovery and charging scales read in steps of 1 to 5 g
GRID = ((120.0, 5.0), (1800.0, 20.0), (BACK_WITHIN_S, 60.0))
COMPRESSOR = "HS-4"


class Step(NamedTuple):
    """One line of the recipe: what is done, and how long to wait then."""

    do: str
    wait_s: float | None
    until: str
    """What the wait is for; a wait of None has not ended within the time tried."""


def _stands(bench: Bench) -> bool:
    return float(bench.readings()["compressor_speed_rpm"]) <= 0.0


class Recovery:
    """Undoes a case on its faulty bench, while a sound one runs on beside it that shows how the plant was."""

    def __init__(self, case: Case, twins: Twins, before: Bench) -> None:
        """``before``: a bench at the instant before the first fault."""
        self.case = case
        self.twin, self.faulty = twins.healthy, twins.faulty
        self.bench: Bench = twins.faulty.bench
        self.sound = Watched(before.fork(), case.undisturbed, faulty=False) if case.occasion else self.twin  # fmt: skip
        """Without the occasion's acts, which the recipe takes back."""
        self.steps: list[Step] = []
        self.dials = [dial for dial in dials_of(case.rig) if not dial.glass]
        self.missing_kg = 0.0
        """What the plant lacks when the faults have been taken away, and before anything is put back."""

    def carry_out(self) -> list[Step]:
        """The recipe, step by step. Leaves the benches at its end."""
        stopped = self.take_away()
        off_since_s = self._off_since()
        self._charge_right()
        acts = self.case.occasion.acts if self.case.occasion else ()
        back = {act.set: self.faulty.commands[act.set] for act in reversed(acts)}
        switched = back.pop(COMPRESSOR, None) is not None
        still = stopped or switched or (bool(acts) and _stands(self.bench))
        if still and acts:
            self._switch_off()
        if not switched:  # what was moved while the machine ran is moved back first
            self._put_back(back)
        if still and not self._ready_to_start(off_since_s):
            return self.steps
        if switched:
            self._put_back(back)
        if not still or self._starts():
            self._until_back()
        return self.steps

    def take_away(self) -> bool:
        """Take every fault out: with the compressor off if they have stopped it, and the panel dead if hands go into the wiring. Is it off now?"""
        for twin in (self.twin, self.faulty):
            twin.forget_rest()
        dead = self._needs_isolating()
        off = dead or ((_stands(self.bench) or self._ended()) and not _stands(self.twin.bench))
        if off:
            self.bench.set(COMPRESSOR, "off")
        if dead:
            self.bench.set(MAIN_SWITCH, "off")
        said = f"{COMPRESSOR} off, {ISOLATED}; " if dead else f"{COMPRESSOR} off; " if off else ""
        for name, how in self._taken_away():
            self.steps.append(Step(f"{said}take away {name}: {how}", 0.0, ""))
            said = ""
        if dead:
            self.bench.set(MAIN_SWITCH, "on")
            self.steps.append(Step(f"{MAIN_SWITCH} on", 0.0, ""))
        self.missing_kg = self.twin.bench.total_mass_kg - self.bench.total_mass_kg
        return off

    def _needs_isolating(self) -> bool:
        """Do hands go into the wiring?"""
        return bool(self.case.sheet.wiring_faults) or any(all_faults()[one.name].isolate for one in self.bench.faults.values())  # fmt: skip

    def _ended(self) -> bool:
        """Has the faulty bench, and not the healthy one, reached something that ends a demonstration? A control may have let the machine run again."""
        usual = {(one.tag, one.text) for one in self.twin.lookout.found}
        return any(one.ends and (one.tag, one.text) not in usual for one in self.faulty.lookout.found)  # fmt: skip

    def _taken_away(self) -> Iterator[tuple[str, str]]:
        """Take out every fault that is still there: its name, and how that is done."""
        for active in list(self.bench.faults.values()):
            self.bench.remove_fault(active.name, place=active.place or None)
            yield active.name, all_faults()[active.name].removal
        for one in self.case.sheet.wiring_faults:
            if one.fault.name in self.bench.wiring.supply.electrical:
                self.bench.wiring.remove(one.fault.name)
                yield one.fault.name, "mend it"

    def _off_since(self) -> float:
        """When the compressor was switched off: by the occasion's last act, or now."""
        last = self.case.occasion.acts[-1] if self.case.occasion else None
        by_hand = last is not None and (last.set, last.to) == (COMPRESSOR, "off")
        return self.faulty.begun_s + last.at_s if last and by_hand else self.bench.time_s

    def _charge_right(self) -> None:
        """Put in by mass what is missing, or take out what is too much."""
        kg = self.missing_kg
        if abs(kg) < SMALLEST_KG:
            return
        seconds = max(abs(kg) / CHARGING_KG_S, CHARGE_TIME_S)
        move_by_mass(self.bench, kg, seconds)
        left = abs(self.twin.bench.total_mass_kg - self.bench.total_mass_kg)
        do = f"{'recharge' if kg > 0.0 else 'recover'} {1000.0 * abs(kg):.0f} g by mass"
        if left > MISWEIGHED_KG:
            self.steps.append(Step(do, None, f"the scale; {1000.0 * left:.0f} g of it do not go over in the model"))  # fmt: skip
        else:
            self.steps.append(Step(do, seconds, "the scale, at 100 g a minute"))

    def _switch_off(self) -> None:
        if self.bench.commands[COMPRESSOR] != "off":
            self.steps.append(Step(f"{COMPRESSOR} off", 0.0, ""))
        self.bench.set(COMPRESSOR, "off")

    def _put_back(self, moved: Mapping[str, Setting]) -> None:
        if not moved:
            return
        for tag, to in moved.items():
            self.bench.set(tag, to)
        said = ", ".join(f"{tag} {position(to)}" for tag, to in moved.items())
        self.steps.append(Step(f"put back {said}", 0.0, ""))

    def _ready_to_start(self, off_since_s: float) -> bool:
        """Wait for equal pressures and the off-time, reset what has tripped. False when that cannot be."""
        self._wait_for_equal_pressures(off_since_s)
        for tag, switch in self.bench.controls.switches.items():
            if isinstance(switch, HighPressureTrip) and tag in self.bench.controls.latched:
                self.bench.set(f"{tag}.reset", 1)
                if tag in self.bench.controls.latched:
                    self.steps.append(Step(f"{tag} will not reset: leave the bench stopped", None, ""))  # fmt: skip
                    return False
                self.steps.append(Step(f"reset {tag} once", 0.0, "find the cause first"))
        return True

    def _starts(self) -> bool:
        """Switch the compressor on. False when it does not run then."""
        self.bench.set(COMPRESSOR, "on")
        self.bench.advance(10.0)
        runs = not _stands(self.bench)
        self.steps.append(Step(f"{COMPRESSOR} on" if runs else f"{COMPRESSOR} on: the compressor does not start again in the model", 0.0, ""))  # fmt: skip
        return runs

    def _wait_for_equal_pressures(self, off_since_s: float) -> None:
        begun = self.bench.time_s
        equal: float | None = None
        while equal is None and self.bench.time_s - begun < LONGEST_WAIT_S:
            self.bench.advance(10.0)
            readings = self.bench.readings()
            apart = float(readings["discharge_pressure_pa"]) - float(readings["suction_pressure_pa"])  # fmt: skip
            if abs(apart) <= EQUAL_PA:
                equal = self.bench.time_s - begun
        if equal is None:
            self.steps.append(Step("wait", None, "the pressures to draw together; they have not within an hour"))  # fmt: skip
            return
        self.bench.advance(max(off_since_s + OFF_TIME_S - self.bench.time_s, 0.0))
        waited = self.bench.time_s - begun
        self.steps.append(Step("wait", waited, f"equal pressures ({equal:.0f} s in the model) and at least five minutes of off-time"))  # fmt: skip

    def _until_back(self) -> None:
        """When the gauges, then every instrument, have come back to within their resolution for good."""
        begun = self.bench.time_s - self.faulty.begun_s
        last_out = {dial.tag: 0.0 for dial in self.dials}
        waited, stood = 0.0, set[str]()
        for waited in look_times(GRID, BACK_WITHIN_S):
            faulty = self.faulty.go_to(begun + waited)
            sound = self.sound.go_to(begun + waited)
            if _stands(self.bench):
                stood |= self.bench.controls.open_contacts
                latched = sorted(self.bench.controls.latched)
                if latched:
                    self.steps.append(Step(f"{', '.join(latched)} stops the compressor again in the model, after {waited:.0f} s: find what is still wrong", None, ""))  # fmt: skip
                    return
            for dial in self.dials:
                if not dial.is_back(dial.shift(sound, faulty)):
                    last_out[dial.tag] = waited
        if stood:
            does = "keeps the compressor off at the end" if _stands(self.bench) else "stops the compressor meanwhile, and lets it start by itself"  # fmt: skip
            self.steps.append(Step(f"{', '.join(sorted(stood))} {does}", 0.0, ""))
        gauges = [dial for dial in self.dials if dial.key.endswith("pressure_pa_shown")]
        self._back("the gauges are back within their resolution", gauges, last_out, waited)
        self._back("every display is back within its resolution", self.dials, last_out, waited)

    def _back(self, what: str, dials: list[Dial], last_out: dict[str, float], end_s: float) -> None:
        out = [dial.tag for dial in dials if last_out[dial.tag] >= end_s]
        if out:
            self.steps.append(Step("wait", None, f"{what}: not within {end_s / 60:.0f} min ({', '.join(out)})"))  # fmt: skip
            return
        latest = max(dials, key=lambda dial: last_out[dial.tag])
        after = next(at for at in look_times(GRID, end_s) if at > last_out[latest.tag])
        self.steps.append(Step("wait", after, f"{what} (last: {latest.tag})"))
