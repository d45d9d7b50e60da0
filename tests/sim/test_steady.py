"""What is passed off as steady runs, and stands still; what does not says so."""

from __future__ import annotations

import pytest

from sim import steady
from sim.errors import PlantError
from sim.rig import Rig
from sim.steadiness import moving
from sim.steady import steady_report
from sim.tags import Setting


@pytest.mark.parametrize(
    ("settings", "cause"),
    [
        ({"HCV-22": 0.1}, "PSL-1"),  # starved until the low-pressure control acts
        ({"HS-3": "off"}, "PSHH-1"),  # no air over the condenser
        ({"HS-4": "off"}, "K1"),
        ({"HS-7": "closed"}, "TS-1"),  # the thermostat cycles: no state is the steady one
    ],
)
def test_a_plant_that_does_not_run_is_no_steady_state(rig: Rig, settings: dict[str, Setting], cause: str) -> None:  # fmt: skip
    with pytest.raises(PlantError) as error:
        steady_report(rig, device="hand", mode="cooling", settings=settings)
    assert error.value.reason == "not-running"
    told = str(error.value)
    assert cause in told
    assert "--set" in told
    assert "Change or leave out" in told
    assert "\n" not in told


def test_a_plant_that_still_moves_is_no_steady_state(rig: Rig, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    """On this rig everything that runs comes to rest, so the look is taken while it does not: in the first minutes after a change."""
    monkeypatch.setattr(steady, "SETTLE_S", 10.0)
    monkeypatch.setattr(steady, "MOST_SETTLES", 1)
    with pytest.raises(PlantError, match="suction pressure moves by") as error:
        steady_report(rig, device="hand", mode="cooling", settings={"HS-3": "low", "HCV-22": 0.6})
    assert error.value.reason == "not-steady"


def test_a_change_that_the_plant_bears_is_steady(rig: Rig) -> None:
    report = steady_report(rig, device="hand", mode="cooling", settings={"HCV-22": 0.36})
    assert report["readings"]["compressor_speed_rpm"] > 3000.0
    assert abs(report["balance"]["unbalanced_w"]) < 2.0


# A window of three minutes: time in s, suction, discharge (Pa), superheat (K), power (W).


def window(bar_min: float = 0.0, swing_k: float = 0.0, w_min: float = 0.0) -> list[tuple[float, ...]]:  # fmt: skip
    """Straight lines, and a superheat that goes to and fro."""
    return [(5.0 * k, 2e5 + bar_min * 1e5 * k / 12, 9e5, 6.0 + swing_k * (k % 2), 190.0 + w_min * k / 12) for k in range(37)]  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (window(), []),
        (window(bar_min=0.019, swing_k=1.4, w_min=1.9), []),
        (window(bar_min=-0.022), ["suction"]),
        (window(swing_k=1.6), ["superheat"]),
        (window(w_min=2.2), ["power"]),
        (window(bar_min=0.03, w_min=-3.0), ["suction", "power"]),
        (window(swing_k=float("nan")), ["superheat"]),
        ([*window()[:9], (*window()[9][:3], float("nan"), 190.0), *window()[10:]], ["superheat"]),
        (window(bar_min=0.0198), []),
        (window(bar_min=0.0202), ["suction"]),
    ],
)
def test_steady_is_a_matter_of_three_minutes(rows: list[tuple[float, ...]], words: list[str]) -> None:  # fmt: skip
    """Pressures 0.02 bar a minute, superheat 1.5 K from peak to peak, power 2 W a minute: common practice."""
    assert [sentence.split()[0] for sentence in moving(rows)] == words
