"""Resistance readings against another way to reduce a network, and against what one knows of coils, windings and capacitors."""

from __future__ import annotations

from math import exp, sqrt

import pytest

from sim.wiring import Circuit, State, windings
from sim.wiring.direct import DirectNetwork, branch_siemens, capacitor_volts, contacts_moved
from tests.sim.wiring.states import NAMES, called, circuit, locked, running, states

PAIRS = (
    ("M1.C", "M1.R"),
    ("M1.C", "M1.S"),
    ("M1.R", "M1.S"),
    ("M1.S", "M1.PE"),
    ("K1.A1", "K1.A2"),
    ("X1.2", "X1.4"),
    ("C1.1", "C1.2"),
    ("PSHH-1.1", "PSHH-1.2"),
    ("FAN-A.1", "FAN-A.3"),
    ("HS-3.3", "N.1"),
    ("L.1", "PE.1"),
)


def star_mesh(c: Circuit, state: State, a: str, b: str) -> float:
    """Ohms between two terminals by striking out one node after the other: g_ij += g_ik g_jk / sum g_k.

    Nothing is ever subtracted, so this keeps its digits where a matrix of gigohms and milliohms loses them.
    """
    mesh: dict[str, dict[str, float]] = {name: {} for name in c.node}

    def join(x: str, y: str, siemens: float) -> None:
        if x != y and siemens > 0.0:
            mesh[x][y] = mesh[x].get(y, 0.0) + siemens
            mesh[y][x] = mesh[y].get(x, 0.0) + siemens

    for branch in c.branches:
        join(branch.a, branch.b, branch_siemens(c, state, branch.name))
    for stray in c.strays:
        join(stray.a, stray.b, stray.siemens)
    for bridge in state.bridges:
        join(bridge.a, bridge.b, 1.0 / bridge.ohm)
    join("SUPPLY.L", "SUPPLY.N", 1.0 / c.wiring.supply.resistance_ohm)
    main, start = windings.resistances(c.row, state.main_k, state.start_k)
    join(c.wiring.machine.main_node, "M1.R", 1.0 / main)
    join(c.wiring.machine.start_node, "M1.S", 1.0 / start)
    for node in set(c.node) - {a, b}:
        arms = mesh.pop(node)
        total = sum(arms.values())
        for other in arms:
            del mesh[other][node]
        names = list(arms)
        for i, x in enumerate(names):
            for y in names[i + 1 :]:
                join(x, y, arms[x] * arms[y] / total)
    return 1.0 / mesh[a][b]


@pytest.mark.parametrize("name", NAMES)
def test_ohms_agree_with_striking_out_nodes_one_by_one(name: str) -> None:
    """Below 100 kohm to 1e-9; above, where gigohms stand beside milliohms, to 1e-4: a hand meter shows four digits."""
    c = circuit(name)
    titles = ("at rest", "running", "overload open", "winding grounded", "start relay welded")
    chosen = dict(states(c))
    for title in titles:
        for a, b in PAIRS:
            expected = star_mesh(c, chosen[title], a, b)
            limit = 1e-9 if expected < 1e5 else 1e-4
            found = DirectNetwork(c, chosen[title]).resistance(a, b)
            assert found == pytest.approx(expected, rel=limit), (title, a, b)


@pytest.mark.parametrize("name", NAMES)
def test_between_start_and_run_lies_the_sum_of_both_windings(name: str) -> None:
    """Service texts: R(S-R) = R(C-R) + R(C-S), and the start winding has the more ohms."""
    c = circuit(name)
    network = DirectNetwork(c, c.rest())
    run, start = network.resistance("M1.C", "M1.R"), network.resistance("M1.C", "M1.S")
    assert network.resistance("M1.R", "M1.S") == pytest.approx(run + start, rel=1e-3)
    assert start > run


def test_a_230_volt_run_winding_has_eight_to_twenty_ohms() -> None:
    """From memory, compressor data in general, 1/5 to 1/3 hp, 220 to 240 V 50 Hz."""
    c = circuit("230v")
    assert 8.0 <= DirectNetwork(c, c.rest()).resistance("M1.C", "M1.R") <= 20.0


@pytest.mark.parametrize("name", NAMES)
def test_a_winding_at_100_degrees_has_a_third_more_ohms(name: str) -> None:
    """IEC 60034-1, resistance method: (234.5 + 100)/(234.5 + 20) = 1.314."""
    c = circuit(name)
    cold, hot = c.rest(), c.rest()
    hot.main_k = 373.15
    ohms = [DirectNetwork(c, state).resistance("M1.C", "M1.R") for state in (cold, hot)]
    assert ohms[1] / ohms[0] == pytest.approx(1.314, rel=0.002)


@pytest.mark.parametrize("name", NAMES)
def test_the_coil_of_a_current_relay_has_less_than_an_ohm(name: str) -> None:
    """Course quiz, read on a public page: current relay 0 to 1 ohm, contact normally open."""
    c = circuit(name)
    network = DirectNetwork(c, c.rest())
    assert network.resistance("K2.L", "K2.M") < 1.0
    assert network.resistance("K2.L", "K2.S") > 1e4


@pytest.mark.parametrize("name", NAMES)
def test_an_ohmmeter_sees_copper_and_not_the_impedance_of_a_coil(name: str) -> None:
    c = circuit(name)
    network = DirectNetwork(c, c.rest())
    coil = c.branch("K1.coil").rest
    assert network.resistance("K1.A1", "K1.A2") == pytest.approx(coil.ohm, rel=0.01)
    assert abs(complex(coil.ohm, coil.reactance_ohm)) > 1.5 * coil.ohm


@pytest.mark.parametrize("name", NAMES)
def test_a_capacitor_keeps_its_crest_and_bleeds_away(name: str) -> None:
    """V = sqrt 2 V_rms exp(-t/(R C)); after three time constants a twentieth is left."""
    c = circuit(name)
    state = locked(c)
    before = c.solve(state)
    c.seat(state, "K2", False)
    contacts_moved(c, before, state, 5.0)
    crest = sqrt(2.0) * abs(before.volts("C1.1", "C1.2"))
    farad = c.wiring.motor.start_capacitor_farad
    tau = 15000.0 * farad
    assert capacitor_volts(c, state, "C1", 5.0) == pytest.approx(crest)
    assert capacitor_volts(c, state, "C1", 5.0 + 3.0 * tau) == pytest.approx(crest * exp(-3.0), rel=1e-3)  # fmt: skip


def test_without_its_bleed_a_capacitor_is_dangerous_after_a_minute() -> None:
    """IEC 60335-1 (from memory): not over 34 V at the pins a second after unplugging; here over 120 V a minute later."""
    c = circuit("120v")
    state = locked(c)
    c.apply_fault(state, "C1.bleed", "open")
    before = c.solve(state)
    c.turn(state, "HS-1", "off")
    for coil in ("K1", "XV-1", "K2"):
        c.seat(state, coil, False)
    contacts_moved(c, before, state, 0.0)
    assert capacitor_volts(c, state, "C1", 60.0) > 120.0


def test_a_welded_start_relay_empties_the_capacitor_through_the_windings() -> None:
    c = circuit("120v")
    state = running(c)
    c.apply_fault(state, "K2.start", "stuck-closed")
    before = c.solve(state)
    c.seat(state, "K1", False)
    contacts_moved(c, before, state, 0.0)
    assert capacitor_volts(c, state, "C1", 0.1) < 1e-3


def test_a_charge_outlives_contacts_that_move_elsewhere() -> None:
    c = circuit("120v")
    state = locked(c)
    before = c.solve(state)
    c.seat(state, "K2", False)
    contacts_moved(c, before, state, 0.0)
    halfway = capacitor_volts(c, state, "C1", 0.5)
    still = c.solve(state)
    c.turn(state, "HS-6", "off")
    contacts_moved(c, still, state, 0.5)
    assert capacitor_volts(c, state, "C1", 0.5) == pytest.approx(halfway)
    assert capacitor_volts(c, called(c), "C1", 0.5) == 0.0
