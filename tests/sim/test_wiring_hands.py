"""Working at the wiring of a bench: what the meter says and refuses, and which acts are violations (EN 50110-1, NFPA 70E: isolate before touching)."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sim import Bench
from sim.cautions import all_cautions
from sim.errors import InputError
from sim.probing import Probing
from sim.rig import Rig
from sim.session import line_up


@pytest.fixture(scope="module")
def running_now(rig: Rig) -> Bench:
    bench = Bench(rig)
    line_up(bench, "thermostatic")
    bench.advance(300.0)
    return bench


@pytest.fixture
def live(running_now: Bench) -> Bench:
    return running_now.fork()


def kinds(bench: Bench) -> list[tuple[str, str]]:
    return [(event.tag, event.kind) for event in bench.events]


# --- the meter at the bench ------------------------------------------------------------------------


def test_ohms_on_a_live_coil_are_refused_with_what_would_have_happened(live: Bench) -> None:
    refused = live.measure(Probing(mode="ohms", between=("K1.A1", "K1.A2")))
    assert refused.refusal == "LIVE"
    assert refused.would_have
    assert "isolate" in refused.cautions


def test_the_hermetic_terminals_are_out_of_reach_under_their_cover(live: Bench) -> None:
    with pytest.raises(InputError, match="cover"):
        live.measure(Probing(mode="volts", between=("M1.C", "M1.R")))


def test_windings_measured_at_the_panel_add_up(live: Bench) -> None:
    """R-C and S-C in series are R-S: the classic proof that terminals are told apart rightly."""
    for tag, value in (("HS-4", "off"), ("HS-1", "off"), ("W58", "lifted"), ("C1.discharge", 1.0)):
        live.set(tag, value)
        live.advance(5.0)
    run, start, both = (
        live.measure(Probing(mode="ohms", between=pair)).value
        for pair in (("F1.2", "K2.M"), ("F1.2", "C1.2"), ("K2.M", "C1.2"))
    )
    assert both == pytest.approx(run + start, rel=1e-3)
    assert 3.0 < start / run < 5.0


def test_measuring_changes_nothing(live: Bench) -> None:
    other = live.fork()
    for mode in ("volts", "ohms"):
        live.measure(Probing(mode=mode, between=("K1.A1", "K1.A2")))
    live.advance(60.0)
    other.advance(60.0)
    assert live.readings() == other.readings()


# --- hands, judged -----------------------------------------------------------------------------------


def lift_live(bench: Bench) -> None:
    bench.set("W56", "lifted")


def open_cover(bench: Bench) -> None:
    bench.set("M1.cover", "open")


def bridge_the_trip(bench: Bench) -> None:
    bench.set("jumper.1", "PSHH-1.1")
    bench.set("jumper.2", "PSHH-1.2")


@pytest.mark.parametrize(
    ("act", "caution"),
    [(lift_live, "isolate"), (open_cover, "terminals"), (bridge_the_trip, "protective")],
)
def test_what_can_hurt_is_a_violation_on_a_live_panel_and_carries_its_caution(
    live: Bench, act: Callable[[Bench], None], caution: str
) -> None:
    act(live)
    said = [event.text for event in live.events if event.kind == "violation"]
    assert any(all_cautions()[caution].text in text for text in said)


@pytest.mark.parametrize("act", [lift_live, open_cover])
def test_and_ordinary_work_on_a_dead_and_locked_one(live: Bench, act: Callable[[Bench], None]) -> None:  # fmt: skip
    for tag, value in (("HS-4", "off"), ("HS-1", "off"), ("HS-1.lock", "locked")):
        live.set(tag, value)
    live.advance(5.0)
    act(live)
    assert "violation" not in {kind for _, kind in kinds(live)}
    with pytest.raises(InputError, match="locked off"):
        live.set("HS-1", "on")


def test_a_bridged_protector_is_a_violation_even_on_a_dead_panel(rig: Rig) -> None:
    bench = Bench(rig)
    bridge_the_trip(bench)
    assert ("PSHH-1", "violation") in kinds(bench)


def test_switching_on_under_an_open_cover_is_a_violation(rig: Rig) -> None:
    bench = Bench(rig)
    open_cover(bench)
    assert "violation" not in {kind for _, kind in kinds(bench)}
    line_up(bench, "thermostatic")
    bench.advance(1.0)
    assert ("M1", "violation") in kinds(bench)


def test_a_lifted_lead_stops_what_it_fed_and_put_back_feeds_it_again(live: Bench) -> None:
    live.set("W23", "lifted")
    live.advance(1.0)
    assert not live.supply.fan("FAN-B").speed
    live.set("W23", "connected")
    live.advance(1.0)
    assert live.supply.fan("FAN-B").speed == 1.0


def test_proving_dead_is_on_record(live: Bench) -> None:
    """Tester on a known supply, every pole, the tester again (EN 50110-1)."""
    for tag, value in (("HS-4", "off"), ("HS-1", "off"), ("HS-1.lock", "locked")):
        live.set(tag, value)
    live.advance(5.0)
    known, poles = ("HS-1.1", "HS-1.3"), (("L.1", "N.1"), ("L.1", "PE.1"), ("N.1", "PE.1"))
    shown = [live.wiring.record(Probing(mode="volts", between=pair)).value for pair in (known, *poles, known)]  # fmt: skip
    assert shown[0] > 110.0
    assert max(shown[1:4]) < 1.0
    assert shown[4] > 110.0
    assert sum(event.tag == "meter" for event in live.events) == 5
