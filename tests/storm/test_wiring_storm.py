"""A storm at the panel: faults, lifted leads, jumpers, switches, weak supplies, in any order. Nothing fails, and the books close."""

from __future__ import annotations

import numpy as np
import pytest

from sim import Bench, load_rig
from sim.electrical import ElectricalFault
from sim.errors import InputError
from sim.probing import Probing
from sim.session import line_up
from sim.wiring.display import FUNCTIONS
from sim.wiring.state import FAULT_KINDS

RIG = load_rig("fennick_bench")
KINDS = ("lead", "jumper", "cover", "press", "selector", "reset")


class PanelStorm:
    """One bench in a storm at its panel."""

    def __init__(self, seed: int) -> None:
        self.bench = Bench(RIG, seed=seed)
        self.rng = np.random.default_rng([seed, 3141])
        self.did = 0
        circuit = self.bench.wiring.supply.circuit
        self.branches = [b.name for b in circuit.branches if b.faultable]
        self.terminals = list(circuit.terminals)

    def pick(self, of: list[str]) -> str:
        return of[int(self.rng.integers(len(of)))]

    def fault(self) -> None:
        present = sorted(self.bench.wiring.supply.electrical)
        if present and self.rng.random() < 0.5:
            self.bench.wiring.remove(self.pick(present))
            return
        ohm = float(10.0 ** self.rng.uniform(-2.0, 4.0))
        if self.rng.random() < 0.3:
            made = ElectricalFault(bridge=(self.pick(self.terminals), self.pick(self.terminals)), ohm=ohm)  # fmt: skip
        else:
            kind = self.pick(list(FAULT_KINDS))
            made = ElectricalFault(branch=self.pick(self.branches), state=kind, ohm=ohm)
        try:
            self.bench.wiring.insert(made)
        except InputError:
            return  # a coil cannot be stuck closed, a bridge needs two ends

    def hand(self) -> None:
        infos = [info for info in self.bench.tags() if info.kind in KINDS]
        info = infos[int(self.rng.integers(len(infos)))]
        value = self.pick(list(info.choices)) if info.choices else 1.0
        self.bench.set(info.tag, value)

    def measure(self) -> None:
        mode = self.pick(list(FUNCTIONS))
        between = () if mode == "amps" else (self.pick(self.terminals), self.pick(self.terminals))
        around = (self.pick(self.branches),) if mode in ("amps", "watts", "power-factor") else ()
        probing = Probing(mode=mode, between=between, around=around)
        hidden = {"M1.C", "M1.R", "M1.S"} & set(between)
        if hidden and self.bench.commands["M1.cover"] == "shut":
            with pytest.raises(InputError, match="cover"):
                self.bench.measure(probing)
        else:
            assert self.bench.measure(probing).shown

    def order(self) -> None:
        bench = self.bench
        for name in sorted(bench.wiring.supply.electrical):
            bench.wiring.remove(name)
        for info in bench.tags():
            if info.kind == "lead":
                bench.set(info.tag, "connected")
            elif info.kind == "jumper":
                bench.set(info.tag, "none")
        for tag in sorted(bench.happenings.damage):
            bench.repair(tag)
        for tag in ("F2", "F3", "PSHH-1"):
            bench.set(f"{tag}.reset", 1.0)
        bench.set("supply_voltage_v", 120.0)
        line_up(bench, "thermostatic")
        bench.advance(120.0)

    def run(self, operations: int) -> None:
        while self.did < operations:
            if self.did % 20 == 0:
                self.order()
            act = (self.fault, self.hand, self.measure, self.sag)[int(self.rng.choice(4, p=[0.35, 0.4, 0.2, 0.05]))]  # fmt: skip
            act()
            self.did += 1
            self.bench.advance(float(self.rng.choice([0.01, 0.3, 5.0, 30.0])))
            self.check()

    def sag(self) -> None:
        self.bench.set("supply_voltage_v", float(self.rng.uniform(0.0, 135.0)))

    def check(self) -> None:
        ledger = self.bench.ledger()
        assert np.isfinite(self.bench.watch.y).all()
        assert abs(ledger["energy_closure"]) < 1e-6
        assert abs(ledger["mass_closure"]) < 1e-9
        r = self.bench.readings()
        assert all(np.isfinite(float(r[k])) for k in ("current_a", "power_w", "voltage_v"))


def test_a_short_storm_at_the_panel(seed: int) -> None:
    PanelStorm(seed).run(60)


@pytest.mark.full
@pytest.mark.parametrize("more", range(3))
def test_a_long_storm_at_the_panel(seed: int, more: int) -> None:
    PanelStorm(seed + more).run(500)
