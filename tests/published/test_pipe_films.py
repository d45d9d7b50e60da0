"""Gas in the rig's pipes against Dittus and Boelter (Univ. of California Publ. in Engineering 2 (1930) 443; here as in every textbook: Nu = 0.023 Re^0.8 Pr^n,
n = 0.4 when the gas is warmed, 0.3 when it is cooled, Re above 10,000), with viscosity, conductivity and Prandtl number from CoolProp."""

from __future__ import annotations

from math import pi

import pytest
from CoolProp.CoolProp import PropsSI

from sim import Bench, load_rig
from sim.session import make_steady
from sim.starts import Start

BORES_M = {"discharge": 0.008, "b_outlet": 0.0095, "suction_line": 0.0095, "suction_port": 0.0095}
"""As the comments of the rig's walls say."""


@pytest.fixture(scope="module")
def bench() -> Bench:
    made = Bench(load_rig("fennick_bench"))
    make_steady(made, Start(start="steady", device="capillary"), None)
    return made


@pytest.mark.parametrize("node", BORES_M)
def test_the_film_of_gas_is_that_of_turbulent_flow_in_its_pipe(bench: Bench, node: str) -> None:
    place, flow = bench.snapshot().places[node], float(bench.readings()["mass_flow_kg_s"])
    wall = next(one for one in bench.rig.walls if one.node == node)
    viscosity, conductivity, prandtl = (
        PropsSI(name, "P", place.pressure_pa, "T", max(place.temperature_k, PropsSI("T", "P", place.pressure_pa, "Q", 1, "R134a") + 0.1), "R134a")
        for name in ("V", "L", "PRANDTL")
    )  # fmt: skip
    reynolds = 4.0 * flow / (pi * BORES_M[node] * viscosity)
    assert reynolds > 1e4
    film = 0.023 * reynolds**0.8 * prandtl ** (0.3 if node == "discharge" else 0.4) * conductivity / BORES_M[node]  # fmt: skip
    assert wall.gas_film_w_m2_k == pytest.approx(film, rel=0.15)


@pytest.mark.parametrize(("node", "most_k"), [("head", 4.5), ("discharge", 4.5), ("suction_line", 3.5), ("suction_port", 2.0)])  # fmt: skip
def test_a_strapped_thermometer_reads_a_few_kelvin_towards_the_room(bench: Bench, node: str, most_k: float) -> None:  # fmt: skip
    """common practice: on a clean pipe under insulation within some kelvin of what flows inside, always on the room's side."""
    bench.set("TI-10.place", node)
    bench.advance(120.0)
    gas = bench.snapshot().places[node].temperature_k
    strapped = float(bench.readings()["strap_on_temperature_k"])
    towards = 1.0 if gas < bench.now.room_temperature_k else -1.0
    assert 0.0 < towards * (strapped - gas) < most_k
