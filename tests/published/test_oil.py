"""The oil whose viscosity sets a compressor's friction: against the standard's line, and against tabled oils."""

from __future__ import annotations

from math import log10

import numpy as np
import pytest

from sim.parts.compressor import viscosity_ratio

ZERO_C = 273.15


def walther(celsius: float) -> float:
    """Kinematic viscosity (mm2/s) after ASTM D341, log log(nu + 0.7) = A - B log T, of an ISO VG 32 oil.

    ISO 3448: 32 mm2/s at 40 degC. At 100 degC 5.4 mm2/s, the usual worked example of D341 and a viscosity index of 100 (ASTM D2270, from memory).
    """
    (t1, nu1), (t2, nu2) = (ZERO_C + 40.0, 32.0), (ZERO_C + 100.0, 5.4)
    z1, z2 = (log10(log10(nu + 0.7)) for nu in (nu1, nu2))
    slope = (z1 - z2) / (log10(t2) - log10(t1))
    return float(10.0**10.0 ** (z1 + slope * (log10(t1) - log10(ZERO_C + celsius))) - 0.7)


def test_the_line_used_here_goes_through_its_two_points_and_the_example_s_third() -> None:
    """The worked example finds 8.5 mm2/s at 80 degC."""
    assert walther(40.0) == pytest.approx(32.0)
    assert walther(100.0) == pytest.approx(5.4)
    assert walther(80.0) == pytest.approx(8.5, abs=0.05)


def test_the_short_form_keeps_within_three_per_cent_of_the_line_from_cold_to_hot() -> None:
    for celsius in np.linspace(-10.0, 120.0, 66).tolist():
        line = walther(celsius) / walther(40.0)
        assert viscosity_ratio(ZERO_C + celsius, ZERO_C + 40.0) == pytest.approx(line, rel=0.03)


# mPa s at 30, 60 and 100 degC: G. W. Stachowiak, A. W. Batchelor, Engineering Tribology, table 2.3, the thin oils
THIN_OILS = {
    "light machine oil": (38.0, 12.1, 5.3),
    "another light machine oil": (45.0, 12.0, 3.9),
    "spindle oil": (18.6, 6.3, 2.4),
    "another spindle oil": (30.7, 8.6, 3.1),
}


@pytest.mark.parametrize(("warm", "hot"), [(0, 1), (1, 2)])
def test_it_thins_as_tabled_thin_oils_do(warm: int, hot: int) -> None:
    """Density, 2 % over such a step, is left out."""
    at = (ZERO_C + 30.0, ZERO_C + 60.0, ZERO_C + 100.0)
    tabled = [oil[warm] / oil[hot] for oil in THIN_OILS.values()]
    assert min(tabled) < viscosity_ratio(at[warm], at[hot]) < max(tabled)
