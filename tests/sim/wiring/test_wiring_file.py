"""The shipped wirings are right, belong to their rig, and say of every switch what the bench says."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

import sim.wiring
from sim import load_rig
from sim.cautions import all_cautions
from sim.controls import Controls
from sim.parts.motor import SinglePhaseMotor
from sim.rig_find import shipped_folder, wirings
from sim.sources import unsourced_constants
from sim.wiring import Circuit
from sim.wiring.kinds import KINDS
from tests.sim.wiring.states import NAMES, circuit

RIG = load_rig("fennick_bench")


@pytest.mark.parametrize("name", wirings(shipped_folder() / "fennick_bench"))
def test_a_shipped_wiring_is_right(name: str) -> None:
    wiring = circuit(name).wiring
    tags = {device.tag for device in wiring.devices}
    assert {switch.tag for switch in RIG.switches} <= tags
    assert {"EI-1", "II-1", "JI-1", "FAN-A", "FAN-B", "XV-1", "XV-2", "M1", "K1", "K2", "C1", "F1", "N", "PE"} <= tags  # fmt: skip


def test_both_wirings_are_the_same_panel() -> None:
    here, there = (circuit(name) for name in NAMES)
    assert list(here.node) == list(there.node)
    assert [b.name for b in here.branches] == [b.name for b in there.branches]


def test_the_extended_wiring_differs_from_the_other_in_what_its_file_says_only() -> None:
    plain, more = circuit("120v").wiring, circuit("120v-extended").wiring
    changed = {device.tag for device in more.devices} - {d.tag for d in plain.devices if d in more.devices}  # fmt: skip
    rerouted = {wire.tag for wire in more.wires if wire not in plain.wires}
    assert changed == {"K3", "FAN-A", "C2"}
    assert rerouted == {"W35", "W37", "W39", "W62", "W63", "W64", "W65"}


def test_on_its_own_supply_the_motor_is_the_rigs_motor() -> None:
    part = RIG.part("M1-motor").part
    assert isinstance(part, SinglePhaseMotor)
    assert circuit("120v").wiring.motor == part


def test_the_230_volt_motor_is_the_same_machine_wound_for_its_supply() -> None:
    """Windings of 2.4 times the turns: ohms x 5.76; henries x 5.76 at 50 Hz are reactances x 4.8. Capacitor a quarter. 1 %: rounded in the file."""
    part = RIG.part("M1-motor").part
    assert isinstance(part, SinglePhaseMotor)
    other = circuit("230v").wiring.motor
    for key in ("main_resistance_ohm", "rotor_resistance_ohm", "start_resistance_ohm"):
        assert getattr(other, key) == pytest.approx(5.76 * getattr(part, key), rel=0.01)
    for key in ("main_reactance_ohm", "rotor_reactance_ohm", "magnetising_reactance_ohm", "start_reactance_ohm"):  # fmt: skip
        assert getattr(other, key) == pytest.approx(4.8 * getattr(part, key), rel=0.01)
    assert other.start_capacitor_farad == pytest.approx(part.start_capacitor_farad / 4.0)
    assert other.rotor_inertia_kg_m2 == part.rotor_inertia_kg_m2


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_every_device_kind_has_ranges_for_its_numbers_and_cautions_that_exist(kind: type) -> None:
    assert set(kind.HAZARDS) <= set(all_cautions())  # type: ignore[attr-defined]
    hints = {key for base in kind.__mro__ for key, hint in getattr(base, "__annotations__", {}).items() if hint in ("float", "float | None")}  # fmt: skip
    assert hints == set(kind.RANGES)  # type: ignore[attr-defined]


SOURCES = sorted(Path(sim.wiring.__file__).parent.glob("*.py"))


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_every_constant_of_the_wiring_has_a_source(path: Path) -> None:
    assert [str(mistake) for mistake in unsourced_constants(path)] == []


# --- the chain of contacts is the one that the bench reckons with ---

POSITIONS = {
    "HS-0": ("released", "pressed"),
    "HS-1": ("off", "on"),
    "HS-4": ("off", "on"),
    "HS-5": ("cooling", "heating"),
    "HS-6": ("off", "on"),
}
CONTACTS = ("PSHH-1", "PSL-1", "TS-1", "F1")


@pytest.mark.parametrize("heater", ["open", "closed", "heated"])
@pytest.mark.parametrize("fan", ["off", "low", "high"])
def test_wiring_and_controls_agree_on_what_is_energised(heater: str, fan: str) -> None:
    """Every position of every switch with every control contact: whoever says "energised" must find voltage there, and nobody else."""
    c = circuit("120v")
    for chosen in product(*POSITIONS.values()):
        position = dict(zip(POSITIONS, chosen, strict=True)) | {"HS-2": fan, "HS-3": fan, "HS-7": heater}  # fmt: skip
        for opened in [(), *[(tag,) for tag in CONTACTS], ("PSHH-1", "PSL-1", "TS-1"), ("F1", "HS-7.limit")]:  # fmt: skip
            controls = Controls.of(RIG)
            controls.position.update(position)
            controls.open_contacts = set(opened) - {"PSHH-1"}
            controls.latched = set(opened) & {"PSHH-1"}
            agree(c, controls, position, opened)


def agree(c: Circuit, controls: Controls, position: dict[str, str], opened: tuple[str, ...]) -> None:  # fmt: skip
    """One state of the panel: contactor, motor, valves, fans and heater have voltage when the controls say so."""
    state = c.rest()
    for switch, to in position.items():
        c.turn(state, switch, to)
    for tag in opened:
        state.closed[{"HS-7.limit": "F4"}.get(tag, tag)] = False
    c.seat(state, "K1", controls.contactor_closed("M1"))
    solution = c.solve(state)

    def live(name: str) -> bool:
        volts = abs(solution.sensed(name))
        assert volts < 12.0 or volts > 70.0, (name, volts)
        return volts > 70.0

    assert live("magnet:K1") == controls.contactor_closed("M1"), (position, opened)
    assert live("volts:M1.C:M1.R") == controls.motor_on("M1"), (position, opened)
    assert live("magnet:XV-1") == controls.energised("XV-1"), (position, opened)
    assert live("magnet:XV-2") == controls.energised("XV-2"), (position, opened)
    assert live("fan:FAN-A") == (controls.fan_speed("FAN-A") > 0.0), (position, opened)
    assert live("fan:FAN-B") == (controls.fan_speed("FAN-B") > 0.0), (position, opened)
    assert live("volts:E1.1:E1.2") == controls.box_heater_on(), (position, opened)
    assert live("volts:EI-1.1:EI-1.2") == controls.powered, (position, opened)
