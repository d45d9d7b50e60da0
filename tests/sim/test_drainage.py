"""Liquid runs downhill in a coil through which little streams, and vapour rises in its place."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from numpy.typing import NDArray

from sim import Bench, load_rig
from sim import columns as c
from sim.drainage import drained, fall
from sim.flow import vapour_offered, weight
from sim.gas import carried
from sim.layout import cell_names, coil_tables
from sim.parts.coil import Coil
from sim.passages import fall_between
from sim.rig import Rig
from sim.session import line_up, make_steady
from sim.starts import Start

BORE_M = 0.008
SECTION_M2 = pi / 4.0 * BORE_M**2
PASSAGE = fall(SECTION_M2, BORE_M)
LIQUID, VAPOUR = (
    1187.5,
    37.54,
)  # kg/m3, R134a saturated at 30 degC (ASHRAE Fundamentals, R134a table, from memory; CoolProp agrees, see below)


def row(void: float, rho_l: float = LIQUID, rho_v: float = VAPOUR) -> NDArray[np.float64]:
    """A node at rest: its vapour share, densities and saturated enthalpies (J/kg)."""
    P = np.zeros(c.P_COLUMNS)
    P[c.P_VOID], P[c.P_RHOL], P[c.P_RHOV], P[c.P_T] = void, rho_l, rho_v, 303.15
    P[c.P_HL] = P[c.P_HLS] = 241.7e3
    P[c.P_HV], P[c.P_HFG] = 414.8e3, 173.1e3
    return P


def test_the_densities_used_here_are_those_of_r134a() -> None:
    assert PropsSI("D", "T", 303.15, "Q", 0, "R134a") == pytest.approx(LIQUID, rel=1e-3)
    assert PropsSI("D", "T", 303.15, "Q", 1, "R134a") == pytest.approx(VAPOUR, rel=1e-3)


def test_a_full_cell_above_an_empty_one_drains_as_fast_as_a_bubble_empties_a_level_tube() -> None:
    """Water over air in a 25 mm tube: 0.54 sqrt(g d) = 0.267 m/s (Bendiksen 1984), 0.42 of the section (Benjamin 1968), both from memory: 55 g/s of water."""
    section = pi / 4.0 * 0.025**2
    water, air = 998.2, 1.2
    mass, _, _ = drained(row(0.0, water, air), row(1.0, water, air), 1.0, fall(section, 0.025), 0.0)
    assert mass == pytest.approx(0.267 * 0.42 * section * (water - air), rel=0.01)
    assert mass == pytest.approx(0.055, rel=0.02)


@pytest.mark.parametrize(("rho_l", "rho_v"), [(LIQUID, VAPOUR), (1295.0, 14.4), (998.2, 1.2)], ids=["warm", "cold", "water"])  # fmt: skip
def test_neither_stream_outruns_what_the_other_lets_through(rho_l: float, rho_v: float) -> None:
    """Wallis' line for two streams against each other, sqrt(j_v*) + sqrt(j_l*) = 0.7 to 1 as the mouths are sharp or rounded (1969, eq. 11.96, from memory)."""
    heavy = 9.80665 * BORE_M * (rho_l - rho_v)
    for share in np.linspace(0.05, 1.0, 20):
        mass, _, _ = drained(row(1.0 - share, rho_l, rho_v), row(1.0, rho_l, rho_v), 1.0, PASSAGE, 0.0)  # fmt: skip
        j = mass / (rho_l - rho_v) / SECTION_M2
        assert (j * (rho_l / heavy) ** 0.5) ** 0.5 + (j * (rho_v / heavy) ** 0.5) ** 0.5 < 0.7
    assert (j * (rho_l / heavy) ** 0.5) ** 0.5 + (j * (rho_v / heavy) ** 0.5) ** 0.5 > 0.5


def test_as_much_vapour_rises_as_liquid_runs_down() -> None:
    """By volume: mass q (rho_l - rho_v), energy q (rho_l h_l - rho_v h_v)."""
    mass, energy, gas = drained(row(0.3), row(0.8), 0.8, PASSAGE, 0.0)
    q = mass / (LIQUID - VAPOUR)
    assert q > 0.0
    assert energy == pytest.approx(q * (LIQUID * 241.7e3 - VAPOUR * 414.8e3))
    assert gas == 0.0


def test_nothing_runs_from_an_empty_cell_nor_into_a_full_one() -> None:
    assert drained(row(1.0), row(0.5), 0.5, PASSAGE, 0.0) == (0.0, 0.0, 0.0)
    assert drained(row(0.5), row(0.0), 0.0, PASSAGE, 0.0) == (0.0, 0.0, 0.0)


def test_vapour_that_floods_the_passage_keeps_the_liquid_up() -> None:
    """Flooding of an 8 mm bore of R134a: j_g = 0.49 sqrt(g d (rho_l - rho_v)/rho_v) (Wallis 1969, from memory), 1.43 g/s; half of that hardly hinders, twice that stops."""
    upper, lower = row(0.2), row(0.9)
    floods = 0.49 * SECTION_M2 * (9.80665 * BORE_M * (LIQUID - VAPOUR) * VAPOUR) ** 0.5
    assert floods == pytest.approx(1.43e-3, rel=0.01)
    still, half, twice = (
        drained(upper, lower, 0.9, PASSAGE, -share * floods)[0] for share in (0.0, 0.5, 2.0)
    )
    assert half > 0.9 * still
    assert twice < 1e-6 * still
    assert drained(upper, lower, 0.9, PASSAGE, 1e3)[0] == 0.0


def test_a_gas_that_does_not_condense_rises_with_the_vapour() -> None:
    upper, lower = row(0.5), row(0.9)
    lower[c.P_GAS_RATIO] = 0.2
    mass, _, gas = drained(upper, lower, 0.9, PASSAGE, 0.0)
    plain, _, _ = drained(upper, row(0.9), 0.9, PASSAGE, 0.0)
    up = plain / (LIQUID - VAPOUR) * VAPOUR
    assert gas == pytest.approx(-up * carried(lower, lower[c.P_HV]))
    assert mass == pytest.approx(plain + gas)


def test_a_top_port_gives_vapour_until_the_vessel_is_nearly_full_and_a_covered_bottom_port_none() -> (
    None
):
    assert vapour_offered(row(0.4), c.PORT_TOP) == 1.0
    assert vapour_offered(row(0.4), c.PORT_MIXED) == pytest.approx(0.4)
    assert vapour_offered(row(0.0), c.PORT_TOP) == 0.0
    assert vapour_offered(row(0.4), c.PORT_BOTTOM) == 0.0
    assert vapour_offered(row(0.99), c.PORT_BOTTOM) > 0.4


@pytest.fixture(scope="module")
def running() -> Bench:
    return steady(load_rig("fennick_bench"))


@pytest.fixture(scope="module")
def heating() -> Bench:
    """An hour of it."""
    bench = Bench(load_rig("fennick_bench"))
    line_up(bench, "capillary", "heating")
    bench.advance(3600.0)
    return bench


def held(bench: Bench, tag: str) -> NDArray[np.float64]:
    """Liquid share of a coil's cells."""
    coil = next(coil for coil in coil_tables(bench.rig) if coil.tag == tag)
    bench.look()
    return np.array([1.0 - bench.watch.P[bench.layout.nodes[name], c.P_VOID] for name in cell_names(coil)])  # fmt: skip


def steady(rig: Rig) -> Bench:
    """On the capillary, two hours on."""
    bench = Bench(rig)
    make_steady(bench, Start(start="steady", device="capillary"), None)
    return bench


def stopped(bench: Bench) -> tuple[NDArray[np.float64], float]:
    """What coil A holds, and the receiver's level, ten minutes after a stop with the device shut."""
    bench.set("HV-21", 0.0)
    bench.set("HS-4", "off")
    bench.advance(600.0)
    return held(bench, "COIL-A"), float(bench.readings()["receiver_level"])


def level(rig: Rig) -> Rig:
    """The same rig with its coils level."""
    parts = tuple(
        replace(placed, part=replace(placed.part, fall_m=0.0)) if isinstance(placed.part, Coil) else placed
        for placed in rig.parts
    )  # fmt: skip
    nodes = tuple(replace(node, elevation_m=0.0) if node.coil else node for node in rig.nodes)
    return replace(rig, parts=parts, nodes=nodes)


def test_what_stands_between_two_cells_has_its_weight() -> None:
    """0.1 m of liquid at 30 degC, then half liquid below vapour: g h rho."""
    full, empty = row(0.0), row(1.0)
    assert weight(0.1, full, full, c.PORT_MIXED, True) == pytest.approx(9.80665 * 0.1 * LIQUID)
    assert weight(-0.1, full, empty, c.PORT_MIXED, True) == pytest.approx(-9.80665 * 0.05 * (LIQUID + VAPOUR))  # fmt: skip
    assert weight(0.0, full, full, c.PORT_MIXED, True) == 0.0


def test_the_heights_of_a_coil_add_up_to_its_fall(running: Bench) -> None:
    plans, table = running.layout.plans, running.plant.link
    for coil in coil_tables(running.rig):
        own = [k for k, plan in enumerate(plans) if plan.part is coil]
        assert len(own) == coil.cells - 1
        assert table[own, c.L_HEAD].sum() == pytest.approx(coil.fall_m)
        assert (np.sign(table[own, c.L_FALL]) == np.sign(coil.fall_m)).all()


def test_only_what_hangs_below_a_coils_low_end_is_drained_into(running: Bench) -> None:
    coils = coil_tables(running.rig)
    heights = {"a1": 0.2, "a8": 0.0, "below": -0.2, "level": 0.0, "above": 0.1}
    down = fall_between(coils, heights, "a8", "below")
    assert down == pytest.approx(PASSAGE)
    assert fall_between(coils, heights, "below", "a8") == -down
    for other in ("level", "above"):
        assert fall_between(coils, heights, "a8", other) == 0.0
    assert fall_between(coils, heights, "a1", "below") == 0.0, "the high end"


@pytest.mark.parametrize("mode", ["running", "heating"])
def test_gravity_has_no_say_while_the_plant_runs(mode: str, request: pytest.FixtureRequest) -> None:
    bench = request.getfixturevalue(mode).fork()
    bench.look()
    assert float(bench.readings()["compressor_speed_rpm"]) > 0.0
    plant, table = bench.plant, bench.watch.P
    for k in np.flatnonzero(plant.link[:, c.L_FALL] * plant.link[:, c.L_OPENING]):
        i, j = plant.link_i[k, c.LI_FROM], plant.link_i[k, c.LI_TO]
        down = plant.link[k, c.L_FALL] > 0.0
        upper, lower = (table[i], table[j]) if down else (table[j], table[i])
        m = bench._memory.F[k, 0] * (1.0 if down else -1.0)
        mass, _, _ = drained(upper, lower, 1.0, abs(plant.link[k, c.L_FALL]), m)
        assert mass < 1e-3 * abs(m)


def test_after_a_stop_the_condenser_empties_into_the_receiver(running: Bench) -> None:
    """Devices shut, the fan goes on: level coils hold more than three cells' worth after ten minutes, and some are full; here it is in the receiver."""
    coil, receiver = stopped(running.fork())
    assert coil.max() < 0.10
    assert coil.sum() < 0.5
    level_coil, level_receiver = stopped(steady(level(running.rig)))
    assert receiver > level_receiver + 0.1
    assert level_coil.max() > 0.9
    assert level_coil.sum() > 3.0


def test_a_flooded_coil_keeps_its_liquid_at_the_low_end(running: Bench) -> None:
    """Device left open on a stop: what comes through lies at the fed end of coil B, not at its outlet."""
    bench = running.fork()
    bench.set("HS-4", "off")
    bench.advance(900.0)
    cells = held(bench, "COIL-B")
    assert cells[0] > 0.9
    assert cells[-1] < 0.5
    assert (np.diff(cells) < 1e-3).all()
