"""The integrator: its scheme on the scalar test equation, and invariants and accuracy on the plant."""

from __future__ import annotations

from collections.abc import Callable
from math import exp, sqrt

import numpy as np
import pytest

from sim import Bench
from sim.integrate import (
    C1,
    C2,
    CLOCK_BEFORE,
    CLOCK_NOW,
    E0,
    E1,
    E2,
    GAMMA,
    D,
    interpolate,
)


def amplification(z: complex) -> tuple[complex, complex]:
    """(growth in one step of y' = l y with z = l h, error estimate before its filter), with the module's coefficients."""
    stage = (1.0 + D * z) / (1.0 - D * z)
    end = (C1 * stage - C2) / (1.0 - D * z)
    return end, z * (E0 + E1 * stage + E2 * end)


# --- the scheme ------------------------------------------------------------------------------


def test_the_scheme_is_of_second_order() -> None:
    """Halving the step divides the local error by eight (Bank et al. 1985: local error of third order)."""
    errors = [abs(amplification(z)[0] - exp(z)) for z in (-0.02, -0.01)]
    assert errors[0] / errors[1] == pytest.approx(8.0, rel=0.05)


def test_its_error_constant_is_the_published_one() -> None:
    """C = (-3 g^2 + 4 g - 2)/(12 (2 - g)) h^3 y''' (Bank et al. 1985), |C| = 0.04045 at g = 2 - sqrt 2 (Hosea & Shampine 1996)."""
    constant = (-3.0 * GAMMA**2 + 4.0 * GAMMA - 2.0) / (12.0 * (2.0 - GAMMA))
    assert pytest.approx(2.0 - sqrt(2.0)) == GAMMA
    assert abs(constant) == pytest.approx(0.04045, abs=5e-5)
    z = -1e-2
    # 6th digit of the quotient is lost to rounding at this z
    assert abs(amplification(z)[0] - exp(z)) / abs(z) ** 3 == pytest.approx(abs(constant), rel=0.02)


def test_the_error_estimate_is_the_error() -> None:
    z = -1e-2
    end, estimate = amplification(z)
    assert abs(estimate) == pytest.approx(abs(end - exp(z)), rel=0.05)


def test_stiff_decay_is_damped_in_one_step() -> None:
    """L-stability: growth goes to zero for z to minus infinity, and is never above one in the left half plane."""
    assert abs(amplification(-1e8)[0]) < 1e-6
    for angle in np.linspace(0.5 * np.pi, 1.5 * np.pi, 61):
        for size in (0.1, 1.0, 10.0, 1e3):
            assert abs(amplification(size * np.exp(1j * angle))[0]) <= 1.0 + 1e-12


# --- the plant -------------------------------------------------------------------------------


def test_between_steps_the_interpolant_keeps_mass_and_meets_both_ends(running: Bench) -> None:
    memory, n = running._memory, running.layout.n_nodes
    stores = [
        *range(n),
        running.layout.slow["machine.oil"],
        running.layout.ledger_start + 4,
    ]  # nodes, oil, outside
    out = np.zeros_like(memory.y)
    for _ in range(20):
        running.advance(7.0)
        whole = memory.y[stores].sum()
        for share in (0.0, 0.3, 0.7, 1.0):
            t = memory.clock[CLOCK_BEFORE] * (1 - share) + memory.clock[CLOCK_NOW] * share
            interpolate(t, memory, out)
            assert out[stores].sum() == pytest.approx(whole, rel=1e-12)
        interpolate(memory.clock[CLOCK_BEFORE], memory, out)
        np.testing.assert_allclose(out, memory.y_before, rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize(
    ("tag", "value"),
    [
        ("HV-12", 0.0),  # pump-down into vacuum
        ("HV-42", 0.0),  # discharge shut: internal relief, overload
        ("HV-41", 0.0),  # suction shut
        ("HS-5", "heating"),  # the slide crosses over
        ("HS-4", "off"),  # liquid settles beside vapour
        ("HV-24", 1.0),  # a second device opens onto the drum
    ],
)
def test_the_books_close_to_rounding_through_hard_events(
    running: Bench, tag: str, value: float | str
) -> None:
    running.set(tag, value)
    running.advance(120.0)
    ledger = running.ledger()
    assert abs(ledger["mass_closure"]) < 1e-11
    assert abs(ledger["energy_closure"]) < 1e-9


def test_hard_events_do_not_grind_the_step_down(another: Callable[[], Bench]) -> None:
    """Cells that dry out or fill one by one are the hardest on Newton; fewer than a hundred steps a second then keep 150 times real time."""
    for tag, value in (("HV-12", 0.0), ("HS-5", "heating"), ("HS-4", "off")):
        bench = another()
        before = bench.statistics["steps"]
        bench.set(tag, value)
        bench.advance(60.0)
        assert bench.statistics["steps"] - before < 60 * 100
