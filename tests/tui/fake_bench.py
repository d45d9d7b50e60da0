"""A stand-in for the bench, for tests of the screen only: plausible numbers from plain formulas, no physics, no claim.

It answers to the same names as ``sim.bench.Bench``, so the screen can be built and tested without compiling a kernel. Nothing under ``tui`` imports it.
"""

from __future__ import annotations

import copy
import math
import pickle
from collections.abc import Iterator
from dataclasses import dataclass, field, fields, replace
from typing import NamedTuple, cast

from sim.faults import all_faults
from sim.rig import load_rig
from sim.senses import Senses
from sim.study.survey import able
from tests.tui.fake_fluid import BAR as BAR
from tests.tui.fake_fluid import ICE as ICE
from tests.tui.fake_fluid import boiling_k as boiling_k
from tests.tui.fake_fluid import fake_chart as fake_chart
from tests.tui.fake_scales import fake_scales
from tests.tui.fake_senses import senses_of
from tests.tui.fake_tags import TAGS, FakeTag
from tests.tui.fake_wiring import FakeCircuit, FakeMeasured, circuit_of, fake_plan, measured
from tui.beside import Beside
from tui.faults import FaultDoor, entries_from, in_now
from tui.meter import Use
from tui.orders import Begin
from tui.plant import Bench, Setting
from tui.roles import (
    COLD_FAN,
    DISCHARGE,
    PROTECTS,
    REJECTS,
    REVERSES,
    SHUTS_IN,
    STARTS,
    SUCTION,
    WARM_FAN,
    Roles,
)
from tui.runner import Opened, Progress
from tui.spaces import Passage, Spaces


@dataclass(frozen=True)
class FakePlace:
    pressure_pa: float
    temperature_k: float
    quality: float
    void: float
    density: float = 50.0
    warmer_k: float | None = None

    @property
    def metal_k(self) -> float:
        """Unless it is said as in a running coil: it boils below 6 bar and condenses above."""
        in_a_coil = 4.0 if self.pressure_pa < 6e5 else -4.0
        return self.temperature_k + (in_a_coil if self.warmer_k is None else self.warmer_k)


@dataclass(frozen=True)
class FakeEvent:
    time_s: float
    tag: str
    kind: str
    text: str


@dataclass(frozen=True)
class FakeSnapshot:
    time_s: float
    seq: int
    readings: dict[str, float | str]
    commands: dict[str, Setting]
    places: dict[str, FakePlace]
    flows: dict[str, float]
    levels: dict[str, float]
    positions: dict[str, float]
    events: tuple[FakeEvent, ...]
    running: bool
    tripped: dict[str, bool]
    senses: Senses
    circuit: FakeCircuit | None = None
    charged_with: str = "R134a"

    @property
    def slide(self) -> float:
        return self.positions.get("XV-2", 0.0)


_COIL_A = tuple(f"a{i}" for i in range(1, 9))
_COIL_B = tuple(f"b{i}" for i in range(1, 9))


@dataclass
class FakeFault:
    name: str
    place: str
    severity: float
    since_s: float

    def present(self, now_s: float) -> float:
        return self.severity


def fake_door() -> FaultDoor:
    """The shipped catalogue as far as the default rig can have it, with places as it names them."""
    here = able(load_rig("fennick_bench"))
    return FaultDoor(entries_from(all_faults().values(), lambda fault: fault.places if fault.name in here else None, 0.7), in_now)  # fmt: skip


def fake_ahead(copy: FakeBench) -> Iterator[FakeAhead]:
    """Runs ahead and sees a trip after a minute."""
    trip = FakeComing(60.0, "PSHH-1", "The high-pressure trip has opened.", True)
    for k in range(1, 11):
        copy.advance(60.0)
        yield FakeAhead(60.0 * k, (trip,), 360.0, 60.0, k == 10)


class FakeComing(NamedTuple):
    after_s: float
    tag: str
    text: str
    limit: bool
    kind: str = "trip"


class FakeAhead(NamedTuple):
    seen_s: float
    coming: tuple[FakeComing, ...]
    warmest_k: float
    warmest_s: float
    ended: bool
    unable: str = ""
    words: str = "Looked 10 minutes ahead on a copy; first limit after 60 s."

    @property
    def first_limit(self) -> FakeComing:
        return self.coming[0]


@dataclass
class FakeBench:
    """Runs like a bench: pressures relax towards a running or a standing state."""

    seed: int = 1
    held_peaks: dict[str, float] = field(default_factory=dict)
    rig: object = None
    time_s: float = 0.0
    suction_pa: float = 6.27 * BAR
    discharge_pa: float = 6.27 * BAR
    slide: float = 0.0
    values: dict[str, Setting] = field(default_factory=lambda: {tag.tag: tag.value for tag in TAGS})
    events: list[FakeEvent] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    seq: int = 0
    advances: int = 0
    fail_at_s: float = math.inf
    white: int = 0
    """Cells of coil B that carry frost."""
    faults: dict[str, FakeFault] = field(default_factory=dict)

    def fork(self) -> FakeBench:
        return copy.deepcopy(self)

    def insert_fault(self, name: str, severity: float = 1.0, *, place: str | None = None, onset: object = None) -> None:  # fmt: skip
        self.faults[f"{name}@{place or ''}"] = FakeFault(name, place or "", severity, self.time_s)
        self.events.append(FakeEvent(self.time_s, name, "fault", f"{all_faults()[name].what} Severity {severity:g}."))  # fmt: skip
        self.seq += 1

    def remove_fault(self, name: str, *, place: str | None = None) -> None:
        del self.faults[f"{name}@{place or ''}"]
        self.events.append(FakeEvent(self.time_s, name, "fault", f"{name} has been removed."))
        self.seq += 1

    def set(self, tag: str, value: Setting) -> None:
        if tag not in self.values:
            raise KeyError(tag)
        self.values[tag] = value
        self.events.append(FakeEvent(self.time_s, tag, "command", f"{tag} to {value}"))
        self.seq += 1

    @property
    def running(self) -> bool:
        v = self.values
        return v["HS-1"] == "on" and v["HS-4"] == "on" and v["HS-0"] == "released"

    def _device(self) -> float:
        v = self.values
        need = float(v["HCV-22"]) / 0.35
        return sum(
            (float(v["HV-21"]), float(v["HV-22"]) * need, float(v["HV-23"]), float(v["HV-24"]))
        )

    def advance(self, seconds: float) -> None:
        if self.time_s + seconds > self.fail_at_s:
            raise ArithmeticError("the step size fell below its limit")
        self.advances += 1
        feed = self._device()
        low, high = (0.6 + 1.7 * min(feed, 2.0), 9.5) if self.running else (6.27, 6.27)
        share = 1 - math.exp(-seconds / (20.0 if self.running else 90.0))
        self.suction_pa += (low * BAR - self.suction_pa) * share
        self.discharge_pa += (high * BAR - self.discharge_pa) * share
        want = 1.0 if self.values["HS-5"] == "heating" else 0.0
        if self.discharge_pa - self.suction_pa > BAR:
            self.slide += max(-1.0, min(1.0, want - self.slide)) * min(1.0, seconds)
        self.time_s += seconds
        self.seq += 1

    def packed(self) -> bytes:
        return pickle.dumps({f.name: getattr(self, f.name) for f in fields(self)})

    def unpacked(self, blob: bytes) -> FakeBench:
        twin = FakeBench()
        twin.__dict__.update(pickle.loads(blob))
        return twin

    def note(self, tag: str, kind: str, text: str) -> None:
        self.events.append(FakeEvent(self.time_s, tag, kind, text))

    def tags(self) -> list[FakeTag]:
        return [replace(tag, value=self.values[tag.tag]) for tag in TAGS]

    def touch(self, place: str) -> None:
        self.events.append(FakeEvent(self.time_s, place, "note", f"{place} touched"))

    def repair(self, tag: str) -> None:
        self.events.append(FakeEvent(self.time_s, tag, "note", f"{tag} repaired"))

    def _flow(self) -> float:
        lift = (self.discharge_pa - self.suction_pa) / (7.2 * BAR)
        return 0.00284 * max(0.0, lift) if self.running else 0.0

    def _places(self) -> dict[str, FakePlace]:
        low, high = self.suction_pa, self.discharge_pa
        cold, warm = boiling_k(low), boiling_k(high)
        on = min(1.0, self._flow() / 0.0028)
        room = 23 + ICE
        places = {
            "shell": FakePlace(low, room + 30 * on, 1.2, 1.0),
            "head": FakePlace(high, room + 52 * on, 1.4, 1.0),
            "discharge": FakePlace(high, room + 48 * on, 1.35, 1.0),
            "receiver": FakePlace(high, warm - 0.5 * on, 0.02, 0.35),
            "drier": FakePlace(high, warm - 1.5 * on, -0.02, 0.0),
            "liquid_line": FakePlace(high, warm - 2.5 * on, -0.03, 0.0),
            "header": FakePlace(high, warm - 3.5 * on, -0.04 if on > 0.3 else 0.05, 0.0),
            "drum": FakePlace(low, cold, 0.5, 0.9),
            "b_outlet": FakePlace(low, cold + 6.7 * on, 1.0 + 0.03 * on, 1.0),
            "suction_line": FakePlace(low, cold + 10 * on, 1.05, 1.0),
            "accumulator": FakePlace(low, cold + 12 * on, 1.06, 1.0),
            "suction_port": FakePlace(low, cold + 15 * on, 1.08, 1.0),
        }
        hot, wet = _COIL_A, _COIL_B
        if self.slide > 0.5:
            hot, wet = tuple(reversed(_COIL_B)), tuple(reversed(_COIL_A))
        for i, node in enumerate(hot):
            quality = 1.2 - 1.22 * i / 7
            places[node] = FakePlace(
                high, warm + max(0.0, 30 * on * (1 - i)), quality, max(0.0, min(1.0, quality))
            )
        for i, node in enumerate(wet):
            quality = 0.25 + 0.78 * i / 7
            places[node] = FakePlace(low, cold + (6 * on if i == 7 else 0), quality, 0.95)
        return places

    def _readings(self, flow: float, places: dict[str, FakePlace]) -> dict[str, float | str]:
        low, high = self.suction_pa, self.discharge_pa
        on = flow / 0.00284
        room = 23 + ICE
        volts = 120.0 if self.values["HS-1"] == "on" else 0.0
        truth: dict[str, float | str] = {
            "suction_pressure_pa": low, "discharge_pressure_pa": high,
            "suction_temperature_k": places["suction_port"].temperature_k, "discharge_temperature_k": places["head"].temperature_k,
            "suction_superheat_k": places["suction_port"].temperature_k - boiling_k(low), "suction_quality": places["suction_port"].quality,
            "evaporating_temperature_k": boiling_k(low), "condensing_temperature_k": boiling_k(high),
            "evaporator_outlet_temperature_k": boiling_k(low) + 6.7 * on,
            "strap_on_temperature_k": room,
            "evaporator_superheat_k": 6.7 * on, "evaporator_outlet_quality": 1.0 + 0.03 * on,
            "condenser_subcooling_k": 0.5 * on, "liquid_subcooling_k": 3.5 * on, "liquid_temperature_k": places["header"].temperature_k,
            "evaporator_air_in_k": room, "evaporator_air_out_k": room - 8.1 * on,
            "condenser_air_in_k": room, "condenser_air_out_k": room + 6.5 * on,
            "mass_flow_kg_s": flow, "liquid_flow_kg_s": flow, "receiver_level": 0.68 - 0.02 * on, "float_level": 0.0,
            "sight_glass": "clear" if on > 0.5 else "bubbles",
            "refrigerating_capacity_w": 435 * on, "heat_rejected_w": 600 * on, "compressor_power_w": 200 * on,
            "cop": 2.17 if on > 0.2 else 0.0, "pressure_ratio": high / low, "shell_temperature_k": room + 30 * on,
            "winding_temperature_k": room + 55 * on, "compressor_speed_rpm": 3450 * on,
            "supply_voltage_v": 120.0, "voltage_v": volts, "current_a": 2.9 * on + (0.3 if volts else 0), "power_w": 235 * on + (12 if volts else 0),
            "power_factor": 0.6, "room_temperature_k": room, "charge_kg": 0.7, "atmospheric_pressure_pa": 101325.0,
        }  # fmt: skip
        shown = ("suction_pressure_pa", "discharge_pressure_pa", "suction_temperature_k", "discharge_temperature_k", "liquid_temperature_k", "evaporator_outlet_temperature_k", "strap_on_temperature_k",
                 "evaporator_air_in_k", "evaporator_air_out_k", "condenser_air_in_k", "condenser_air_out_k", "receiver_level", "float_level",
                 "sight_glass", "voltage_v", "current_a", "power_w", "room_temperature_k")  # fmt: skip
        truth |= {f"{name}_shown": truth[name] for name in shown}
        truth["flowmeter_shown"] = flow / 1165 * 3.6e6
        return truth

    def readings(self) -> dict[str, float | str]:
        return self._readings(self._flow(), self._places())

    def _circuit(self) -> FakeCircuit:
        return circuit_of(fake_plan(), self.values, self.running)

    def measure(self, use: Use) -> FakeMeasured:
        return measured(use, self._circuit())

    def peaks(self) -> dict[str, float]:
        return {
            name: max(value, self.held_peaks.get(name, value))
            for name, value in self._panel().items()
        }

    def clear_peaks(self) -> None:
        self.held_peaks = self._panel()

    def _panel(self) -> dict[str, float]:
        truth = self.readings()
        return {
            name: float(truth[name])
            for name in ("voltage_v", "current_a", "power_w")
            if name in truth
        }

    def snapshot(self) -> FakeSnapshot:
        flow = self._flow()
        places = self._places()
        v = self.values
        sign = -1.0 if self.slide > 0.5 else 1.0
        flows = {tag: flow for tag in ("M1", "HV-42", "HV-41", "XV-1", "HV-12")}
        flows |= {
            "HV-11": sign * flow,
            "HV-13": 0.0,
            **{f"COIL-{coil}.{cell}": sign * flow for coil in "AB" for cell in range(1, 8)},
            "L-B": sign * flow,
            "HV-31": 0.0,
            "HV-32": 0.0,
            "L-31": 0.0,
            "L-1": sign * flow,
            "L-S1": flow,
            "EQ-1": 0.0,
        }
        open_ = [float(v[t]) for t in ("HV-21", "HV-22", "HV-23", "HV-24")]
        for tag, share in zip(("FO-21", "HCV-22", "TCV-23", "LCV-24"), open_, strict=True):
            flows[tag] = sign * flow * share / max(1e-9, sum(open_))
        return FakeSnapshot(
            self.time_s, self.seq, self._readings(flow, places), dict(v), places, flows,
            {"LG-1": 0.68 - 7 * flow, "LG-2": 0.0, "accumulator": 0.02}, {"XV-2": self.slide, "XV-1": 1.0 if v["HS-6"] == "on" else 0.0},
            tuple(self.events), self.running, {"PSHH-1": False, "PSL-1": False}, senses_of(places, self.running, v, self.white), self._circuit(),
        )  # fmt: skip


def steady_bench() -> FakeBench:
    """A bench that has been running for ten minutes."""
    bench = FakeBench()
    for tag, value in (("HS-1", "on"), ("HS-2", "low"), ("HS-3", "high"), ("HS-4", "on")):
        bench.set(tag, value)
    for _ in range(60):
        bench.advance(10.0)
    return bench


SPACES = Spaces(
    (
        Passage(("a8", "receiver"), ("HV-11",)), Passage(("receiver", "drier"), ()), Passage(("drier", "liquid_line"), ("HV-12",)),
        Passage(("a8", "liquid_line"), ("HV-13",)), Passage(("liquid_line", "header"), ("XV-1",)),
        *(Passage(("header", "b1"), (f"HV-2{i}", device)) for i, device in ((1, "FO-21"), (2, "HCV-22"), (3, "TCV-23"))),
        Passage(("header", "drum"), ("HV-24", "LCV-24")),
    ),
    frozenset(("receiver",)),
)  # fmt: skip


KINDS = {"HV-12": "hand_valve", "HCV-22": "hand_expansion_valve", "PSHH-1": "high_pressure_trip", "FG-1": "glass", "M1": "reciprocating_compressor", "HS-0": "selector", "PSL-1": "low_pressure_control", "TS-1": "thermostat", "K1": "contactor", "COIL-A": "coil", "COIL-B": "coil", **{tag: "gauge" for tag in ("PI-1", "PI-2")}, **{f"TI-{k}": "thermometer" for k in range(1, 11)}, "FI-1": "flowmeter"}  # fmt: skip
DIALS = {scale.tag: key for key, scale in fake_scales().items()} | {"FG-1": "sight_glass"}

LINES = {"FI-1": "XV-1"}
ROLES = Roles((("HS-4", STARTS), ("HS-5", REVERSES), ("HV-41", SUCTION), ("HV-42", DISCHARGE), ("PSHH-1", PROTECTS), ("PSL-1", PROTECTS), ("COIL-A", REJECTS), ("HS-2", COLD_FAN), ("HS-3", WARM_FAN), ("HS-7", SHUTS_IN)))  # fmt: skip


def open_fake(begin: Begin, progress: Progress) -> Opened:
    """An opener as the runner wants one."""
    progress("pretending", 0.5)
    bench = steady_bench() if begin.start == "steady" else FakeBench()
    return Opened(bench, fake_chart(), SPACES, plan=fake_plan(), ask=ask_fake, faults=fake_door() if begin.instructor else None, beside=Beside(fake_ahead), kinds=KINDS, dials=DIALS, lines=LINES, scales=fake_scales(), roles=ROLES)  # fmt: skip


def ask_fake(bench: Bench, use: Use) -> FakeMeasured:
    """How the stand-in's hand meter is asked."""
    return cast(FakeBench, bench).measure(use)
