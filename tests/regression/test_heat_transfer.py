"""Our own arithmetic at the states of the heat-transfer checks whose reference is the same equation: guards, not evidence."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from sim import film, friction, void


def r134a(kelvin: float) -> tuple[float, ...]:
    """pr, rhoL, rhoV, muL, muV, kL, kV, cpL, cpV, hfg."""
    pr = PropsSI("P", "T", kelvin, "Q", 1, "R134a") / PropsSI("PCRIT", "R134a")
    pairs = [PropsSI(key, "T", kelvin, "Q", q, "R134a") for key in "DVLC" for q in (0, 1)]
    latent = PropsSI("H", "T", kelvin, "Q", 1, "R134a") - PropsSI("H", "T", kelvin, "Q", 0, "R134a")
    return (pr, *pairs, latent)


def test_boiling_at_the_state_of_f6() -> None:
    # F6-LW / F6-Chen: R134a -10 C, 5 g/s, 8 mm, x = 0.4: 1915 (Liu-Winterton) and 3074 (Chen) at a wall 5 K above; ours at 9.5 kW/m2
    prepared = film.prepare(0.005 / (pi / 4 * 0.008**2), 9.5e3, 0.008, *r134a(263.15), 1.0)  # type: ignore[call-arg]
    assert film.at(0.4, *prepared) == pytest.approx(1975.0, rel=0.02)


def test_zivi_meets_rouhani_and_axelsson() -> None:
    # F7-Rouhani: 0.669 at x = 0.2, R134a 40 C, 150 kg/m2s
    assert void.void_fraction(0.2, 1146.7, 50.1, void.ZIVI_EXPONENT) == pytest.approx(
        0.669, abs=0.01
    )


def test_mean_density_of_a_condenser() -> None:
    # F7-charge-split: 264.8 kg/m3, R134a 40 C, x falling evenly from 1 to 0
    alphas = [
        void.void_fraction(float(x), 1146.7, 50.1, void.ZIVI_EXPONENT)
        for x in np.linspace(0.001, 0.999, 500)
    ]
    assert np.mean([a * 50.1 + (1 - a) * 1146.7 for a in alphas]) == pytest.approx(264.8, rel=0.001)


def test_two_phase_gradient() -> None:
    # F8-MSH: 433.4 Pa/m, R134a -10 C, 3 g/s, 8 mm, x = 0.5
    _, rho_l, rho_v, mu_l, mu_v, *_ = r134a(263.15)
    ours = friction.muller_steinhagen_heck(
        0.003 / (pi / 4 * 0.008**2), 0.5, 0.008, rho_l, rho_v, mu_l, mu_v
    )
    assert ours == pytest.approx(433.4, rel=0.05)


def test_lift_that_uses_up_the_subcooling() -> None:
    # F11-static-head: Hundy, Trott & Welch 4e Ex. 11.1, R404A 34 -> 30 C: 15.69 - 14.18 bar under 1022 kg/m3 is a lift of 15.1 m
    assert friction.static_head_pa(1022.0, 15.1) == pytest.approx((15.69 - 14.18) * 1e5, rel=0.01)
