"""Storms: anything a hand can do, at any time, in any order. Nothing may fail; books close; no section holds more than its own limit.

A storm goes in bouts. Each begins by putting the bench in order again (reset, release, line up, wait for the overload), so that the machine runs
for a fair share of the time, then does what a class of careless people would do in an hour. Every draw comes from the seed.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pytest

from sim import Bench, load_rig
from sim import columns as c
from sim.faults import all_faults
from sim.session import line_up
from sim.study.survey import able
from sim.tags import Setting, TagInfo

RIG = load_rig("fennick_bench")
DEVICES: tuple[Any, ...] = ("thermostatic", "capillary", "hand", "float")
HEAD_PA = 100_000.0  # the rig's reversing valve needs so much to shift
FULL_OF_LIQUID = 0.01  # void below which a section counts as shut in with liquid
SEEDS, OPERATIONS = 5, 2500
MOST_STEPS_PER_S = 2000  # a tenth of a second of wall time for each second of the plant's: below it a storm's pace is held
WEATHER = {
    "room_temperature_c": (5.0, 45.0),
    "relative_humidity": (0.1, 0.95),
    "condenser_air_in_c": (5.0, 50.0),
    "evaporator_air_in_c": (-15.0, 40.0),
    "supply_voltage_v": (60.0, 132.0),
}
AT_THE_WIRING = ("lead", "jumper", "lock", "cover", "press")
FAIR = {"relative_humidity": 0.4, "supply_voltage_v": 120.0}


def by_hand(bench: Bench) -> list[TagInfo]:
    """What hands move at the plant; the wiring has a storm of its own."""
    return [info for info in bench.tags() if info.kind not in AT_THE_WIRING]


@dataclass
class Storm:
    """One bench in a storm, and what has been done to it."""

    bench: Bench
    rng: np.random.Generator
    moved: Counter[str]
    operations: int = 0
    reversals_with_head: int = 0
    shut_ins: int = 0
    events: Counter[str] = field(default_factory=Counter)
    most_steps: int = 0
    highest_share_of_limit: float = 0.0
    time_s: float = 0.0
    running_s: float = 0.0
    set_points: dict[str, Setting] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Remember where the set points stood."""
        self.set_points = {i.tag: i.value for i in self.bench.tags() if i.kind == "set_point"}

    # --- one thing at a time ---------------------------------------------------------------

    def do(self, tag: str, value: Setting) -> None:
        """Set a tag and count it when that moved something."""
        before = self.bench.commands.get(tag)
        if tag == "HS-5" and before != value:
            self.reversals_with_head += self.head() > HEAD_PA
        self.bench.set(tag, value)
        if before is None or before != value or tag.endswith(".reset"):
            self.operations += 1
            self.moved[tag] += 1

    def head(self) -> float:
        """Discharge over suction pressure at the reversing valve, Pa."""
        self.bench.look()
        nodes, P = self.bench.layout.nodes, self.bench.watch.P
        return float(P[nodes["discharge"], c.P_P] - P[nodes["suction_line"], c.P_P])

    def wait(self, seconds: float) -> None:
        """Let time pass in four pieces, and look at everything after each."""
        for _ in range(4):
            steps = self.bench.statistics["steps"]
            self.bench.advance(seconds / 4.0)
            steps = self.bench.statistics["steps"] - steps
            self.most_steps = max(self.most_steps, steps)
            assert steps < MOST_STEPS_PER_S * max(seconds / 4.0, 1.0), (self.bench.time_s, steps)
            self.check()
            self.time_s += seconds / 4.0
            turns = float(self.bench.readings()["compressor_speed_rpm"]) > 1000.0
            self.running_s += turns * seconds / 4.0

    def check(self) -> None:
        """The invariants."""
        bench = self.bench
        for name, value in bench.readings().items():
            assert isinstance(value, str) or math.isfinite(value), (bench.time_s, name)
        assert np.isfinite(bench.watch.y).all(), bench.time_s
        ledger = bench.ledger()
        assert abs(ledger["mass_closure"]) < 1e-9, (bench.time_s, ledger["mass_closure"])
        assert abs(ledger["energy_closure"]) < 1e-6, (bench.time_s, ledger["energy_closure"])
        share = bench.watch.P[:, c.P_P] / bench.plant.node[:, c.N_BURST]
        self.highest_share_of_limit = max(self.highest_share_of_limit, float(share.max()))
        assert share.max() <= 1.0 + 1e-6, (bench.time_s, share.max())

    # --- what people do --------------------------------------------------------------------

    def any_value(self, info: TagInfo) -> Setting:
        """Some other value of a tag; a hand valve is mostly opened or shut altogether."""
        if info.choices:
            others = [choice for choice in info.choices if choice != info.value]
            return str(self.rng.choice(others))
        if info.kind == "reset":
            return 1.0
        assert info.low is not None
        assert info.high is not None
        if info.kind == "hand_valve" and self.rng.random() < 0.8:
            return info.low if float(info.value) > 0.5 else info.high
        return float(self.rng.uniform(info.low, info.high))

    def move_something(self) -> None:
        """The tag that has been moved least, or any."""
        infos = by_hand(self.bench)
        if self.rng.random() < 0.5:
            info = min(infos, key=lambda i: (self.moved[i.tag], i.tag))
        else:
            info = infos[int(self.rng.integers(len(infos)))]
        self.do(info.tag, self.any_value(info))

    def weather(self) -> None:
        """The room, the air at the coils or the supply changes."""
        name = str(self.rng.choice(sorted(WEATHER)))
        self.do(name, float(self.rng.uniform(*WEATHER[name])))

    def fault(self) -> None:
        """A fault comes or goes."""
        present = sorted(self.bench.faults)
        if present and self.rng.random() < 0.5:
            self.bench.remove_fault(str(self.rng.choice(present)))
        else:
            name = str(self.rng.choice(sorted(able(self.bench.rig))))
            worst = 0.3 if all_faults()[name].charge else 1.0
            ramp = float(self.rng.choice([0.0, 20.0]))
            self.bench.insert_fault(name, float(self.rng.uniform(0.0, worst)), ramp_s=ramp)
        self.operations += 1

    def reverse(self) -> None:
        """Throw the mode selector, whatever the pressures."""
        now = self.bench.commands["HS-5"]
        self.do("HS-5", "heating" if now == "cooling" else "cooling")

    def shut_in(self) -> None:
        """Shut the liquid line at both ends and let it warm; open it again later, or leave that to others."""
        self.do("HS-6", "off")
        self.wait(0.5)  # its plunger takes a moment; meanwhile the receiver keeps the line full
        for tag, value in (("HV-12", 0.0), ("HV-13", 0.0)):
            self.do(tag, value)
        self.wait(1.0)
        k = self.bench.layout.nodes["liquid_line"]
        self.shut_ins += bool(self.bench.watch.P[k, c.P_VOID] < FULL_OF_LIQUID)
        self.do("room_temperature_c", float(self.rng.uniform(30.0, 50.0)))
        self.wait(float(self.rng.choice([20.0, 120.0, 600.0])))
        if self.rng.random() < 0.7:
            self.do("HV-12", 1.0)
            self.do("HS-6", "on")

    def chatter(self) -> None:
        """The compressor's switch thrown back and forth."""
        for _ in range(4):
            self.do("HS-4", "off")
            self.wait(float(self.rng.uniform(0.004, 1.0)))
            self.do("HS-4", "on")
            self.wait(float(self.rng.uniform(0.004, 2.0)))

    def order(self) -> None:
        """Put the bench right: mend, recharge, line up, reset, and wait for the overload."""
        bench = self.bench
        for name in sorted(bench.faults):
            bench.remove_fault(name)
        for tag in sorted(t for t, n in bench.happenings.damage.items() if n):
            bench.repair(tag)
        for name in WEATHER:
            self.bench.set(name, FAIR.get(name, 23.0))
        for tag, value in self.set_points.items():
            self.bench.set(tag, value)
        line_up(bench, DEVICES[int(self.rng.integers(4))])
        self.wait(60.0)
        for tag in ("PSHH-1", "F2", "F3"):
            self.do(f"{tag}.reset", 1.0)
        self.wait(180.0)

    def bout(self, operations: int) -> None:
        """Order, then so many operations."""
        self.order()
        end = self.operations + operations
        if self.rng.random() < 0.5:
            self.shut_in()
        for _ in range(2):
            self.reverse()
            self.wait(2.0)
        acts = [self.move_something, self.weather, self.fault, self.reverse, self.shut_in, self.chatter]  # fmt: skip
        while self.operations < end:
            act = self.rng.choice(6, p=[0.70, 0.07, 0.06, 0.08, 0.06, 0.03])
            acts[int(act)]()
            self.wait(float(self.rng.choice([0.05, 1.0, 5.0, 20.0], p=[0.1, 0.3, 0.4, 0.2])))

    def report(self) -> str:
        """What was done."""
        return (
            f"{self.operations} operations in {self.time_s:.0f} s, running {self.running_s / self.time_s:.0%}, {self.reversals_with_head} reversals with head, "
            f"{self.shut_ins} shut-ins of liquid, highest pressure {self.highest_share_of_limit:.0%} of a section's limit, "
            f"most steps between two looks {self.most_steps}, events {dict(sorted(self.events.items()))}"
        )


def fresh(seed: int, air: float) -> Bench:
    """A bench at rest, with so much of the worst case of air in it."""
    bench = Bench(RIG, seed=seed)
    if air:
        bench.insert_fault("non-condensable", air)
        bench.advance(40.0)  # until it is in
    return bench


def storm(seed: int, operations: int, moved: Counter[str], bout: int = 20, air: float = 0.0) -> Storm:  # fmt: skip
    """Run a storm of at least so many operations; with a fresh bench when much of the charge is gone or much too much is in."""
    s = Storm(fresh(seed, air), np.random.default_rng([seed, 2718]), moved)
    while s.operations < operations:
        s.bout(bout)
        if not 0.6 < s.bench.total_mass_kg / RIG.charge_kg < 1.3:
            s.events.update(e.kind for e in s.bench.events)
            s.bench = fresh(seed, air)
    s.events.update(e.kind for e in s.bench.events)
    return s


def test_a_short_storm(seed: int) -> None:
    """A sample of what the full tier does."""
    s = storm(seed, 60, Counter())
    print(s.report())
    assert s.operations >= 60
    assert s.running_s >= 0.3 * s.time_s


def test_a_short_storm_with_air_in_the_circuit(seed: int) -> None:
    s = storm(seed, 40, Counter(), air=0.6)
    print(s.report())
    assert s.bench.layout.n_species == 2
    gas = s.bench.ledger()["gas_kg"]
    assert abs(sum(gas.values())) < 1e-9 * RIG.charge_kg
    assert sum(kg for name, kg in gas.items() if name != "outside") > 0.0


@pytest.mark.full
def test_two_storms_with_air_in_the_circuit(seed: int) -> None:
    for k in range(2):
        print(storm(seed + k, OPERATIONS // SEEDS, Counter(), air=0.6).report())


@pytest.mark.full
def test_five_storms(seed: int, capsys: pytest.CaptureFixture[str]) -> None:
    """Two thousand operations and more, every operable part moved twenty times, fifty reversals with head, twenty shut-ins of liquid."""
    moved: Counter[str] = Counter()
    storms = []
    for k in range(SEEDS):
        storms.append(storm(seed + k, OPERATIONS // SEEDS, moved))
        with capsys.disabled():
            print(f"\nstorm of seed {seed + k}: {storms[-1].report()}", end="")
    least = min((moved[info.tag], info.tag) for info in by_hand(storms[0].bench))
    time_s = sum(s.time_s for s in storms)
    running_s = sum(s.running_s for s in storms)
    with capsys.disabled():
        print(f"\nall: {sum(s.operations for s in storms)} operations, running {running_s / time_s:.0%} of {time_s:.0f} s, least moved {least}")  # fmt: skip
    assert sum(s.operations for s in storms) >= OPERATIONS
    assert running_s >= 0.3 * time_s
    assert least[0] >= 20
    assert sum(s.reversals_with_head for s in storms) >= 50
    assert sum(s.shut_ins for s in storms) >= 20
