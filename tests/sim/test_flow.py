"""What passes a link: direction, rest, head, and the definition of the flow coefficient."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from numpy.typing import NDArray

from sim import Bench
from sim import columns as c
from sim.drainage import GRAVITY
from sim.flow import head_pressure, link, ordinary, port_stream
from sim.plant import Plant
from sim.throttle import area_from_kv

Row = NDArray[np.float64]
ONE_WAY = (c.CHECK, c.RELIEF, c.SOLENOID)


def arguments(bench: Bench, k: int) -> tuple[Row, Row, Row, float, float, float]:
    """Rows and states that link k reads."""
    plant, y = bench.plant, bench._memory.y
    i, j, a, s = (int(plant.link_i[k, q]) for q in (c.LI_FROM, c.LI_TO, c.LI_AUX, c.LI_STATE))
    table = bench._memory.P[0]
    wall = y[bench.layout.wall_start :]
    ti, tj = (float(wall[plant.node_i[max(q, 0), c.NI_WALL]]) for q in (i, j))
    state = float(y[s]) if s >= 0 else 0.0
    return table[i], table[max(j, 0)], table[max(a, 0)], ti, tj, state


def with_links(plant: Plant, link_i: NDArray[np.int64], rows: Row) -> Plant:
    """The plant with other link tables."""
    return plant._replace(link_i=link_i, link=rows)


@pytest.mark.parametrize("device", ["thermostatic", "capillary", "hand", "float"])
def test_swapping_the_ends_reverses_the_flow(running: Bench, device: str) -> None:
    """For every link that has no direction of its own, without its head and with its fall the other way: mass and energy change sign and nothing else."""
    valve = {"thermostatic": "HV-23", "capillary": "HV-21", "hand": "HV-22", "float": "HV-24"}
    running.set(valve[device], 1.0)
    running.advance(20.0)
    plant = running.plant
    rows, ints = plant.link.copy(), plant.link_i.copy()
    rows[:, c.L_HEAD] = 0.0
    swapped, turned = ints.copy(), rows.copy()
    turned[:, c.L_FALL] *= -1.0
    for one, other in ((c.LI_FROM, c.LI_TO), (c.LI_PORT_FROM, c.LI_PORT_TO)):
        swapped[:, [one, other]] = ints[:, [other, one]]
    seen = 0
    for k in range(len(rows)):
        if ints[k, c.LI_TO] < 0 or ints[k, c.LI_KIND] in ONE_WAY:
            continue
        here, there, sensed, ti, tj, s = arguments(running, k)
        m, e, _ = link(with_links(plant, ints, rows), k, here, there, sensed, ti, tj, s)
        n, f, _ = link(with_links(plant, swapped, turned), k, there, here, sensed, tj, ti, s)
        assert n == pytest.approx(-m, rel=1e-9, abs=1e-15)
        assert f == pytest.approx(-e, rel=1e-9, abs=1e-9)
        seen += m != 0.0
    assert seen > 20


def test_nothing_flows_between_equal_pressures(running: Bench) -> None:
    plant = running.plant
    rows = plant.link.copy()
    rows[:, [c.L_HEAD, c.L_FALL]] = 0.0
    for k in range(len(rows)):
        if plant.link_i[k, c.LI_TO] < 0:
            continue
        here, there, sensed, ti, tj, s = arguments(running, k)
        level = there.copy()
        level[c.P_P] = here[c.P_P]
        m, _, _ = link(with_links(plant, plant.link_i, rows), k, here, level, sensed, ti, tj, s)
        assert abs(m) < 1e-12


def test_a_shut_link_passes_neither_mass_nor_energy(running: Bench) -> None:
    plant = running.plant
    rows = plant.link.copy()
    rows[:, c.L_OPENING] = 0.0
    for k in range(len(rows)):
        assert link(with_links(plant, plant.link_i, rows), k, *arguments(running, k)) == (
            0.0,
            0.0,
            0.0,
        )


def test_energy_travels_with_the_giver(running: Bench) -> None:
    """At a running plant's flows the energy is the flow times the enthalpy of what its upstream port draws."""
    k = running.layout.links["L-1"]  # out of the receiver's dip tube
    here = arguments(running, k)[0]
    m, e, _ = link(running.plant, k, *arguments(running, k))
    assert m > 1e-3
    assert e / m == pytest.approx(port_stream(here, c.PORT_BOTTOM)[1], rel=1e-4)


# --- ports and head --------------------------------------------------------------------------


def half_full() -> Row:
    """Row of a vessel half full of a liquid of 1200 kg/m3 below a vapour of 30 kg/m3."""
    row = np.zeros(c.P_COLUMNS)
    row[c.P_VOID], row[c.P_RHOL], row[c.P_RHOV] = 0.5, 1200.0, 30.0
    row[c.P_HL], row[c.P_HV], row[c.P_SLIP] = 2.3e5, 4.1e5, 1.0 / 3.0
    return row


def test_a_vessel_gives_liquid_at_the_bottom_and_vapour_at_the_top() -> None:
    row = half_full()
    assert port_stream(row, c.PORT_BOTTOM) == pytest.approx((1200.0, 2.3e5))
    assert port_stream(row, c.PORT_TOP) == pytest.approx((30.0, 4.1e5))


def test_a_dip_tube_draws_vapour_when_the_vessel_runs_empty_and_a_top_port_liquid_when_it_is_full() -> (
    None
):
    row = half_full()
    row[c.P_VOID] = 0.995
    assert port_stream(row, c.PORT_BOTTOM)[0] < 600.0
    row[c.P_VOID] = 0.005
    assert port_stream(row, c.PORT_TOP)[0] > 600.0


def test_slip_lets_a_mixture_leave_richer_in_vapour_than_it_lies() -> None:
    """Zivi: S = (rhoL/rhoV)^(1/3), x/(1-x) = S (rhoV/rhoL) void/(1-void)."""
    row = half_full()
    slip = (1200.0 / 30.0) ** (1.0 / 3.0)
    ratio = slip * 30.0 / 1200.0
    x = ratio / (1.0 + ratio)
    density, enthalpy = port_stream(row, c.PORT_MIXED)
    assert enthalpy == pytest.approx((1.0 - x) * 2.3e5 + x * 4.1e5)
    assert 1.0 / density == pytest.approx(x / 30.0 + (1.0 - x) / 1200.0)


def test_a_leg_of_liquid_pushes_with_its_weight_and_a_riser_pulls_with_its_mixtures() -> None:
    row = half_full()
    assert head_pressure(row, 0.9, c.PORT_BOTTOM) == pytest.approx(GRAVITY * 0.9 * 1200.0)
    assert head_pressure(row, -0.3, c.PORT_MIXED) == pytest.approx(-GRAVITY * 0.3 * 615.0)
    assert head_pressure(row, 0.0, c.PORT_MIXED) == 0.0


# --- the law of ordinary links ---------------------------------------------------------------


def test_a_valve_of_kv_one_passes_a_cubic_metre_of_water_an_hour_at_one_bar() -> None:
    """The definition of Kv (IEC 60534-1); 1 bar is far above d0 and far below choking."""
    m = ordinary(area_from_kv(1.0), 100.0, 1000.0, 1e5, 1e7)
    assert m == pytest.approx(1000.0 / 3600.0, rel=1e-3)


def test_well_below_d0_flow_is_proportional_to_the_difference() -> None:
    one, two = (ordinary(1e-5, 1e4, 30.0, dp, 1e6) for dp in (10.0, 20.0))
    assert two / one == pytest.approx(2.0, rel=1e-5)
    assert one == pytest.approx(1e-5 * sqrt(2.0 * 30.0) * 10.0 / sqrt(1e4), rel=1e-5)


def test_gas_chokes_near_half_the_upstream_pressure() -> None:
    """Lowering the far side from half the pressure to nothing adds under a tenth: critical ratio of R134a about 0.57 (kappa 1.1)."""
    half = ordinary(1e-5, 1e3, 30.0, 3e5, 6e5)
    full = ordinary(1e-5, 1e3, 30.0, 6e5, 6e5)
    assert half < full < 1.2 * half
