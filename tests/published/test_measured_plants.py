"""Measured plants: pressures after a stop (R290), and a heat pump between two water baths (R12).

Series and their sources are in ``tests/data/measured/``, the rigs in ``tests/data/rigs/``.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from numpy.typing import NDArray

from sim import columns as c
from sim.bench import Bench
from sim.fluid import Fluid
from sim.fluid_kernel import dew_pressure
from sim.rig import load_rig
from tests.data.measured.bath_run import Baths, run, start_for
from tests.data.measured.fit_baths import FITTED, FROM_S, RIG, observed, residuals

DATA = Path(__file__).parents[1] / "data"
STOP: dict[str, list[float]] = tomllib.loads((DATA / "measured" / "stop_r290.toml").read_text())
Floats = NDArray[np.float64]

# --- the stop ------------------------------------------------------------------------------------
# The rig's volumes and charge are guesses and the needle was set to run at the log's pressures; nothing was fitted to what follows the stop.

RUN_S = 1200.0
RUNNING_NEEDLE = 0.25
MINUTES = range(7)
AGREED_BAR = 0.15


def stopped(charge_kg: float, needle_after: float) -> tuple[Floats, Floats]:
    """Low side, high side (bar), coldest coil wall (degC): the running plant, then a row a minute from the stop on."""
    bench = Bench(load_rig(DATA / "rigs" / "stop_r290"), charge_kg=charge_kg)
    at, walls = bench.layout.nodes, bench.layout

    def row() -> list[float]:
        bench.look()
        pressures = [float(bench.watch.P[at[name], c.P_P]) / 1e5 for name in ("suction_line", "discharge")]  # fmt: skip
        coil = [bench.watch.y[walls.wall_start + walls.walls[f"b{k}"]] for k in range(1, 7)]
        return [*pressures, float(min(coil)) - 273.15]

    bench.set("HCV-1", RUNNING_NEEDLE)
    bench.set("HS-4", "on")
    bench.advance(RUN_S)
    running = np.array(row())
    bench.set("HS-4", "off")
    bench.set("HCV-1", needle_after)
    rows = []
    for _ in MINUTES:
        rows.append(row())
        bench.advance(60.0)
    return running, np.array(rows)


@pytest.fixture(scope="module", params=[0.045, 0.05])
def stop(request: pytest.FixtureRequest) -> tuple[Floats, Floats]:
    """The stop with every valve open, with two charges: what holds must not hang on a guess."""
    return stopped(request.param, needle_after=1.0)


def saturation_bar(celsius: Floats) -> Floats:
    tables = Fluid.load("R290").tables
    return np.array([dew_pressure(tables, t + 273.15) for t in celsius.tolist()]) / 1e5


def test_before_the_stop_the_rig_runs_at_the_pressures_of_the_log(stop: Any) -> None:
    """Within the standard deviations that the log itself has while running."""
    running, _ = stop
    assert running[0] == pytest.approx(STOP["low_bar"][0], abs=STOP["low_bar_sd"][0])
    assert running[1] == pytest.approx(STOP["high_bar"][0], abs=STOP["high_bar_sd"][0])


def test_the_coil_is_held_at_the_ice_point(stop: Any) -> None:
    _, rows = stop
    assert np.abs(rows[1:, 2]).max() < 0.2


def test_a_minute_after_the_stop_both_sides_have_one_pressure(stop: Any) -> None:
    _, rows = stop
    assert np.abs(rows[1:, 0] - rows[1:, 1]).max() < AGREED_BAR


def test_from_then_on_the_coldest_wall_sets_the_pressure(stop: Any) -> None:
    _, rows = stop
    cold = saturation_bar(rows[1:, 2])
    assert np.abs(rows[1:, 0] - cold).max() < AGREED_BAR
    assert np.abs(rows[1:, 1] - cold).max() < AGREED_BAR


def test_the_measured_plant_does_the_same(stop: Any) -> None:
    """Minutes 1 to 6 of the log: against saturation at its own coldest coil, and against the computed stop (mean of both gauges, which agree within noise)."""
    _, rows = stop
    log = {key: np.array(STOP[key][2:8]) for key in ("low_bar", "high_bar", "coldest_coil_c")}
    both = 0.5 * (log["low_bar"] + log["high_bar"])
    assert np.abs(log["low_bar"] - log["high_bar"]).max() < AGREED_BAR
    assert np.abs(both - saturation_bar(log["coldest_coil_c"])).max() < AGREED_BAR
    assert np.abs(both - rows[1:, :2].mean(axis=1)).max() < AGREED_BAR


def test_the_valve_decides_how_long_it_takes_and_the_wall_where_it_ends() -> None:
    """Left throttled as it ran, the needle holds the high side up for the first minute; after six minutes the end is the same."""
    _, rows = stopped(0.045, needle_after=RUNNING_NEEDLE)
    assert rows[1, 1] - rows[1, 0] > 0.5
    assert np.abs(rows[-1, :2] - saturation_bar(rows[-1:, 2])).max() < AGREED_BAR


# --- the baths ------------------------------------------------------------------------------------
# Five numbers of the rig were fitted to run B1 (tests/data/measured/fit_baths.py); B2 is foretold. Its start was not noted, so it begins where its first
# reading, at a minute, is met. Reached: baths 1.5 K, low side 0.25 bar, power 9.4 %. Not reached, and why: see the expected failure. Of the power's misses the
# largest are the machine's first minutes (its shell boils dry then and is coldest; R12 dissolved in the oil, which would thin it, is left out) and the readings
# up to minute 14, before the wattmeter fell by 10 W from one minute to the next in both runs; computed power falls steadily.


@pytest.fixture(scope="module")
def foretold() -> tuple[Floats, Floats]:
    """Run B2 from minute 2 on: computed and observed; hot and cold bath (degC), high and low side (bar), power (W)."""
    times, seen = observed("B2")
    rig = load_rig(RIG)
    hot, cold = start_for(rig, times[0], seen[0, 0], seen[0, 1])
    late = np.array(times) >= FROM_S
    return run(rig, hot, cold, times)[late], seen[late]


def test_heat_is_kept_between_plant_and_baths() -> None:
    baths = Baths(Bench(load_rig(RIG)), 294.0, 293.5)
    baths.bench.set("HS-4", "on")
    baths.advance(600.0)
    assert baths.given_j[0] > 1e5
    assert baths.given_j[1] < -1e5
    assert abs(baths.energy_gap()) < 5e-3
    assert abs(baths.bench.ledger()["energy_closure"]) < 1e-6


def test_both_baths_are_foretold_within_one_and_a_half_kelvin(foretold: Any) -> None:
    computed, seen = foretold
    assert np.abs(computed - seen)[:, :2].max() < 1.5


def test_the_low_side_is_foretold_within_three_tenths_of_a_bar(foretold: Any) -> None:
    computed, seen = foretold
    assert np.abs(computed - seen)[:, 3].max() < 0.3


def high_side_of_b1(hot_c: Floats) -> Floats:
    """High side that B1 read when its hot bath stood at these temperatures (and later: beyond the end of B1 none)."""
    _, seen = observed("B1")
    return np.interp(hot_c, seen[:, 0], seen[:, 2], right=np.nan)


def test_at_one_bath_temperature_the_two_runs_read_high_sides_that_no_model_can_join() -> None:
    """One plant, two days: B2 reads up to 18 % more than B1. Whoever is within 6 % of the one is not within 6 % of the other."""
    _, seen = observed("B2")
    apart = seen[:, 2] / high_side_of_b1(seen[:, 0]) - 1.0
    assert np.nanmax(apart) > 0.15
    assert np.nanmean(apart) > 0.10


def test_the_high_side_that_b1_read_leaves_no_difference_for_its_heat_to_flow() -> None:
    """At minute 7 the dial of B1 stands at saturation of R12 (CoolProp) at the hot bath's own temperature, while 3 kg of water and 750 J/K warm by 1.4 K a minute; in the mean it leaves it less than 2 K, that of B2 more than 5 K."""
    approach, heat = {}, {}
    for name in ("B1", "B2"):
        times, seen = observed(name)
        late = np.array(times) >= FROM_S
        condensing = [PropsSI("T", "P", 1e5 * p, "Q", 0, "R12") - 273.15 for p in seen[:, 2]]
        approach[name] = (np.array(condensing) - seen[:, 0])[late]
        heat[name] = (3.0 * 4186.0 + 750.0) * np.gradient(seen[:, 0], times)[late]
    assert approach["B1"].min() < 0.2
    assert approach["B1"].mean() < 2.0
    assert approach["B2"].mean() > 5.0
    assert heat["B1"].mean() == pytest.approx(heat["B2"].mean(), rel=0.25)  # the same machine
    assert heat["B1"].min() > 120.0


def test_the_foretold_high_side_lies_between_the_two_runs(foretold: Any) -> None:
    """Within the dials' uncertainty (0.3 to 0.5 bar) below the higher and above the lower of them."""
    computed, seen = foretold
    lower = high_side_of_b1(computed[:, 0])
    inside = ~np.isnan(lower)
    assert inside.sum() > 15
    assert (computed[inside, 2] > lower[inside] - 0.5).all()
    assert (computed[inside, 2] < seen[inside, 2] + 0.5).all()


@pytest.mark.xfail(
    strict=True,
    reason="up to 15 % low: B1 and B2 themselves are 10 to 18 % apart, and what B1 read leaves its heat no difference to flow",
)
def test_the_high_side_is_foretold_within_six_per_cent(foretold: Any) -> None:
    computed, seen = foretold
    assert np.abs(computed / seen - 1.0)[:, 2].max() < 0.06


def test_the_power_is_foretold_within_ten_per_cent(foretold: Any) -> None:
    computed, seen = foretold
    assert np.abs(computed / seen - 1.0)[:, 4].max() < 0.10


def test_the_mean_power_is_foretold_within_five_per_cent(foretold: Any) -> None:
    computed, seen = foretold
    assert computed[:, 4].mean() == pytest.approx(seen[:, 4].mean(), rel=0.05)


def values_in_the_rig() -> Floats:
    rig = load_rig(RIG)
    walls = {wall.node: wall for wall in rig.walls}
    return np.array(
        [
            getattr(walls[tags[0]] if tags[0] in walls else rig.part(tags[0]).part, name)
            for name, (tags, _, _) in FITTED.items()
        ]
    )


def test_what_was_fitted_lies_in_its_physical_range() -> None:
    assert len(FITTED) == 5
    for value, (_, low, high) in zip(values_in_the_rig(), FITTED.values(), strict=True):
        assert low <= value <= high


@pytest.mark.full
def test_the_numbers_in_the_rig_are_the_best_for_run_b1() -> None:
    """Ten per cent more or less of any of them gains nothing (the spring rests on the lower end of its range: more only)."""
    best = values_in_the_rig()
    least = float(np.sum(residuals(best) ** 2))
    assert np.sqrt(least / residuals(best).size) < 1.5  # in units of the stated uncertainty
    for k, name in enumerate(FITTED):
        for factor in (1.1,) if name == "spring_pa" else (0.9, 1.1):
            other = best.copy()
            other[k] *= factor
            assert float(np.sum(residuals(other) ** 2)) > 0.99 * least, (name, factor)
