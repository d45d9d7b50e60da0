"""Words for what hand, eye and ear find: thresholds against what is published."""

from __future__ import annotations

from itertools import pairwise
from typing import get_args

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI

from sim.senses import (
    BITE_K,
    BURN_K,
    FROST_SEEN_KG_M2,
    HOLD_K,
    NUMB_K,
    SIGNS,
    WET,
    Feel,
    air_sign,
    fan_sign,
    feel_of,
    skin_of_cell,
    skin_of_pipe,
    stream_sign,
)

ROOM_K = 296.15
ICE_K = 273.15


def fahrenheit(degrees: float) -> float:
    return (degrees - 32.0) / 1.8 + ICE_K


def test_hot_words_agree_with_how_long_hot_water_takes_to_scald() -> None:
    # US Consumer Product Safety Commission, document 5098 (from memory): third-degree burns of adults by 150 F water in 2 s, 140 F in 6 s, 130 F in 30 s, 120 F in 5 min.
    # What scalds in six seconds is not for a hand; what takes half a minute cannot be held; what takes minutes is merely warm.
    words = [feel_of(fahrenheit(f), ROOM_K) for f in (150.0, 140.0, 130.0, 120.0)]
    assert words == ["too hot to touch", "too hot to touch", "hot", "warm"]


def test_burn_thresholds_lie_in_the_bands_of_the_standard() -> None:
    # ISO 13732-1 (EN 563 before it), from memory: bare smooth metal 58 to 64 C for a contact of 4 s; 51 C for a minute, whatever the material
    assert 58.0 <= BURN_K - ICE_K <= 64.0
    assert pytest.approx(51.0) == HOLD_K - ICE_K


def test_cold_words_follow_the_temperatures_at_which_fingers_go_numb_and_freeze() -> None:
    # Geng et al., Ann. Occup. Hyg. 50 (2006) 851, abstract: contact temperature 15 C pain, 7 C numbness, 0 C risk of frostbite
    assert pytest.approx(7.0) == NUMB_K - ICE_K
    assert BITE_K < ICE_K, "no bite above the temperature at which skin can freeze"
    assert feel_of(ICE_K + 6.9, ROOM_K) == "cold"
    assert feel_of(ICE_K + 15.0, ROOM_K) == "cool"


@pytest.mark.parametrize("room_k", [278.15, 296.15, 313.15])
def test_words_go_one_way_with_temperature(room_k: float) -> None:
    order = {feel: k for k, feel in enumerate(get_args(Feel))}
    ranks = [order[feel_of(240.0 + 0.5 * k, room_k)] for k in range(240)]
    assert all(a <= b for a, b in pairwise(ranks))
    assert set(ranks) >= {0, 1, 3, 4, 5, 6}


def test_a_pipe_sweats_below_the_dew_point_and_is_white_below_zero() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    dew = psychrolib.GetTDewPointFromRelHum(23.0, 0.4) + ICE_K
    assert skin_of_pipe(dew + 0.1, dew) == "dry"
    assert skin_of_pipe(dew - 0.1, dew) == "sweating"
    assert skin_of_pipe(ICE_K - 1.0, dew) == "frosted"


def test_in_very_dry_air_a_pipe_below_zero_is_dry_until_the_frost_point() -> None:
    assert skin_of_pipe(ICE_K - 5.0, ICE_K - 8.0) == "dry"
    assert skin_of_pipe(ICE_K - 9.0, ICE_K - 8.0) == "frosted"


def test_a_cell_goes_by_its_frost_and_not_by_its_cold() -> None:
    dew = ICE_K + 8.0
    assert skin_of_cell(ICE_K - 4.0, dew, 0.0) == "dry", "cold, but nothing has frozen on it yet"
    assert skin_of_cell(ICE_K - 4.0, dew, 2.0 * FROST_SEEN_KG_M2) == "frosted"
    assert skin_of_cell(ICE_K + 2.0, dew, 2.0 * FROST_SEEN_KG_M2) == "thawing"
    assert skin_of_cell(ICE_K + 2.0, dew, 0.0) == "sweating"


def test_what_goes_into_a_throttle_decides_what_it_sounds_like() -> None:
    heard = [stream_sign(20.0, *voids) for voids in ((0.0, 0.9), (0.0, 0.0), (0.3, 0.9), (1.0, 1.0))]  # fmt: skip
    assert [sign.what for sign in heard if sign] == ["flashes", "liquid rushes", "gurgles", "gas hisses"]  # fmt: skip
    assert stream_sign(0.5, 1.0, 1.0) is None


def test_air_and_fans_have_a_word_for_every_state() -> None:
    assert [air_sign(k, 0.5).what for k in (-8.0, 0.5, 6.0)] == ["air cooler", "air the same", "air warmer"]  # fmt: skip
    assert air_sign(-8.0, 0.05).what == "no air"
    assert [fan_sign(s, 1.0).what for s in (0.0, 1.0, 2.0)] == ["stands still", "turns slowly", "turns fast"]  # fmt: skip
    assert fan_sign(2.0, 0.7).what == "turns wearily"


def test_every_sign_says_which_sense_finds_it_and_where_its_threshold_stands() -> None:
    for what, (sense, value, source) in SIGNS.items():
        assert sense in ("look", "listen", "feel"), what
        assert value or source, what


def test_the_least_liquid_that_wets_a_glass_is_a_film_of_about_a_micrometre() -> None:
    """R134a at -5 C in a tube of 10 mm; slip after Zivi (1964), S = (rhoL/rhoV)^(1/3); densities from CoolProp. Light is half a micrometre long: a thinner film bends none of it."""
    liquid, vapour = (PropsSI("D", "T", 268.15, "Q", q, "R134a") for q in (0, 1))
    slip = (liquid / vapour) ** (1 / 3)
    void = 1.0 / (1.0 + slip * WET / (1.0 - WET) * vapour / liquid)
    assert 0.5e-6 < (1.0 - void) * 0.010 / 4.0 < 2e-6
