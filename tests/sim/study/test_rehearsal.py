"""What a rehearsal card says is what a bench does that somebody runs by hand, and it says no more than it may."""

from __future__ import annotations

import pytest

from sim.bench import Bench
from sim.faults import all_faults
from sim.fluid import Fluid
from sim.rig import Rig, load_rig
from sim.rig_find import shipped_names
from sim.study.card import Card, _traces, as_record, rehearse
from sim.study.case import Case, case_of
from sim.study.dials import dials_of
from sim.study.limits import Limit, Lookout
from sim.study.recovery import Recovery
from sim.study.spread import varied
from sim.study.strength import edge_of
from sim.study.survey import able
from sim.study.timeline import Move, Timeline
from sim.study.twins import Twins, Watched

FEW_SECONDS = 30.0


def whole(case: Case) -> tuple[list[str], Card]:
    """Names of the pieces in their order, and the card at the end."""
    pieces, card = [], None
    for piece, card in rehearse(case):  # noqa: B007
        pieces.append(piece)
    assert card is not None
    return pieces, card


@pytest.fixture(scope="module")
def fouled(rig: Rig) -> Card:
    """Nothing gets through the condenser's fins any more, on the thermostatic valve."""
    return whole(case_of(rig, "condenser-fouled"))[1]


@pytest.fixture(scope="module")
def leaking(rig: Rig) -> tuple[list[str], Card]:
    """A fault that is never staged: pieces, and the card."""
    return whole(case_of(rig, "discharge-valve-leak"))


def move_of(card: Card, tag: str) -> Move:
    (move,) = [one for one in card.moves if one.tag == tag]
    return move


def by_hand(card: Card) -> tuple[Bench, Bench]:
    """A bench with the card's fault, and one without, at the instant when it sets in."""
    healthy = card.case.healthy()
    faulty = healthy.fork()
    faulty.insert_fault(card.case.name, card.case.sheet.faults[0].severity)
    return healthy, faulty


# Instruments.


def test_a_gauge_moves_at_two_of_its_steps_and_is_plain_at_a_twentieth_of_its_dial(
    rig: Rig,
) -> None:
    (gauge,) = [dial for dial in dials_of(rig) if dial.tag == "PI-2"]
    (filed,) = [one for one in rig.instruments if one.tag == "PI-2"]
    span, step = filed.high - filed.low, filed.resolution
    assert not gauge.has_moved(1.9 * step)
    assert gauge.has_moved(-2.0 * step)
    assert not gauge.is_plain(0.049 * span)
    assert gauge.is_plain(-0.05 * span)


def test_without_a_fault_no_display_and_no_calculation_moves(rig: Rig) -> None:
    case = case_of(rig, "condenser-fouled", severity=1e-9)
    healthy = case.healthy()
    line = Timeline.of(dials_of(rig), Fluid.load(rig.fluid_name), "cooling", healthy.readings())
    for look in Twins(case, healthy).looks(600.0):
        line.add(look)
    assert line.ordered() == []
    assert line.calculated() == []


@pytest.mark.parametrize("tag", ["PI-2", "TI-8", "JI-1"])
def test_the_first_movement_is_where_a_bench_run_by_hand_has_it(fouled: Card, tag: str) -> None:
    (dial,) = [one for one in dials_of(fouled.case.rig) if one.tag == tag]
    healthy, faulty = by_hand(fouled)
    for half_seconds in range(1, 100):
        healthy.advance(0.5)
        faulty.advance(0.5)
        apart = float(faulty.readings()[dial.key]) - float(healthy.readings()[dial.key])
        if abs(apart) / dial.factor >= 1.999 * dial.step:
            assert move_of(fouled, tag).moves_s == pytest.approx(0.5 * half_seconds)
            assert move_of(fouled, tag).first == ("up" if apart > 0.0 else "down")
            return
    pytest.fail(f"{tag} stands still")


def test_a_dirty_condenser_shows_first_at_its_air_then_at_the_discharge_last_at_the_suction(
    fouled: Card,
) -> None:
    # common practice: head pressure and power rise, the air over the coil takes up less; a thermostatic valve keeps the suction side for a while
    air, discharge, suction = (move_of(fouled, tag) for tag in ("TI-8", "PI-2", "PI-1"))
    assert (air.first, discharge.first, move_of(fouled, "JI-1").first) == ("down", "up", "up")
    times = [one.moves_s or 0.0 for one in (air, discharge, suction)]
    assert times == sorted(times)
    assert times[2] > 3.0 * times[1]


def test_no_display_is_plain_before_it_moves(fouled: Card, leaking: tuple[list[str], Card]) -> None:
    for card in (fouled, leaking[1]):
        plain = [one for one in card.moves if one.plain_s is not None]
        assert plain
        assert all((one.plain_s or 0.0) >= (one.moves_s or 0.0) for one in plain)


def test_a_calculation_shows_a_dirty_condenser_before_a_gauge_is_plain(fouled: Card) -> None:
    sums = {one.name: one for one in fouled.sums}
    gauges_s = min(move_of(fouled, tag).plain_s or 1e9 for tag in ("PI-1", "PI-2"))
    air = sums["air difference over coil A"]
    assert air.before_the_gauges
    assert (air.shows_s or 1e9) < gauges_s
    assert not any(one.before_the_gauges for one in fouled.sums if (one.shows_s or 0.0) >= gauges_s)


# Limits.


def test_the_trip_comes_when_a_bench_run_by_hand_trips(fouled: Card) -> None:
    faulty = by_hand(fouled)[1]
    begun_s = faulty.time_s
    faulty.advance(fouled.looked_s + FEW_SECONDS)
    (trip,) = [event for event in faulty.events if event.kind == "trip"]
    (limit,) = [limit for limit in fouled.limits if limit.ends]
    assert (limit.tag, trip.tag) == ("PSHH-1", "PSHH-1")
    assert limit.time_s == pytest.approx(trip.time_s - begun_s, abs=1e-6)
    assert fouled.looked_s == limit.time_s


def test_the_first_limit_is_never_later_than_on_the_rig_as_filed_and_earlier_in_a_warmer_room(
    fouled: Card,
) -> None:
    first = fouled.first_limit
    assert first is not None
    assert first[0] <= min(limit.time_s for limit in fouled.limits)
    (warmer,) = [one for one in fouled.spread if one.variation == "room 28 °C"]
    assert warmer.limit is not None
    assert warmer.limit.time_s < fouled.limits[0].time_s
    assert len(fouled.spread) == 1 + 2 * len(fouled.case.rig.spreads)


def test_a_bound_is_never_forecast_later_than_it_is_passed(rig: Rig) -> None:
    case = case_of(rig, "condenser-fouled", device="capillary")
    healthy = case.healthy()
    faulty = healthy.fork()
    faulty.insert_fault(case.name, case.sheet.faults[0].severity)
    while float(faulty.readings()["suction_quality"]) >= 0.995:
        faulty.advance(0.5)
    passed_s = faulty.time_s - healthy.time_s
    for every in (3.0, 20.0):
        watched = Watched(healthy.fork(), case, faulty=True)
        at_s = 0.0
        found: list[Limit] = []
        while not found:
            at_s += every
            found = watched.lookout.look(watched.bench, watched.go_to(at_s))
        assert found[0].text.startswith("wet suction")
        assert passed_s - every - 0.5 <= found[0].time_s <= passed_s


def test_a_bound_that_was_passed_before_the_fault_is_no_consequence_of_it(running: Bench) -> None:
    running.insert_fault("overcharge", 1.0)
    running.advance(300.0)
    assert float(running.readings()["receiver_level"]) > 0.8
    assert Lookout(running).look(running, running.readings()) == []


@pytest.mark.parametrize("name", shipped_names())
def test_the_spread_of_a_shipped_rig_lies_around_its_own_value_and_is_sound(name: str) -> None:
    rig = load_rig(name)
    assert rig.spreads
    for spread in rig.spreads:
        tag, _, key = spread.of.rpartition(".")
        (part,) = [placed.part for placed in rig.parts if placed.tag == tag]
        assert spread.low < getattr(part, key) < spread.high
        for end in (spread.low, spread.high):
            (other,) = [one.part for one in varied(rig, spread.of, end).parts if one.tag == tag]
            assert getattr(other, key) == end
            assert list(other.check()) == []


# Putting it right, traces, severities.


def test_a_tripped_bench_waits_for_equal_pressures_and_five_minutes_before_it_starts(
    fouled: Card,
) -> None:
    steps = fouled.recipe
    assert steps is not None
    done = [step.do for step in steps]
    assert done[0].startswith("HS-4 off; take away condenser-fouled")
    assert done[1:4] == ["wait", "reset PSHH-1 once", "HS-4 on"]
    assert (steps[1].wait_s or 0.0) >= 300.0
    gauges, every = steps[4], steps[5]
    assert 0.0 < (gauges.wait_s or 0.0) <= (every.wait_s or 0.0)


def test_what_an_undercharge_takes_stays_away_and_the_card_says_how_much(rig: Rig) -> None:
    case = case_of(rig, "undercharge", severity=0.3)
    nominal_kg = float(case.healthy().readings()["charge_kg"])
    card = whole(case)[1]
    grams = round(300.0 * nominal_kg)  # 30 % by definition of the severity
    assert card.traces[0].startswith(f"{grams} g of refrigerant has left the plant")
    assert card.recipe is not None
    assert f"recharge {grams} g by mass" in {step.do for step in card.recipe}
    assert card.traces[-1] == f"undercharge: {all_faults()['undercharge'].trace}"


def test_what_comes_back_with_the_fault_is_no_trace(rig: Rig) -> None:
    # another refrigerant's liquid has another density, so the plant holds less of it; the old charge comes back when the fault is taken away
    case = case_of(rig, "wrong-refrigerant", place="R600a")
    healthy = case.healthy()
    twins = Twins(case, healthy)
    twins.faulty.go_to(10.0)
    twins.healthy.go_to(10.0)
    held = [one.bench.total_mass_kg for one in (twins.healthy, twins.faulty)]
    assert abs(held[1] - held[0]) > 0.1
    recovery = Recovery(case, twins, healthy)
    recovery.take_away()
    assert _traces(case, twins.faulty.bench, recovery.missing_kg) == [f"wrong-refrigerant: {all_faults()['wrong-refrigerant'].trace}"]  # fmt: skip


def test_a_fault_of_an_instrument_leaves_the_plant_as_it_is_so_no_variation_is_tried(rig: Rig, running: Bench) -> None:  # fmt: skip
    names = [name for name in able(rig) if case_of(rig, name).spares_the_plant]
    assert {"gauge-stuck", "gauge-offset", "thermometers-swapped", "meter-ratio-wrong"} <= set(names)  # fmt: skip
    sound, wrong = running.fork(), running.fork()
    for name in names:
        wrong.insert_fault(name, 1.0)
    for bench in (sound, wrong):
        bench.advance(60.0)
    true, same = ({key: value for key, value in one.readings().items() if "_shown" not in key and not isinstance(value, str)} for one in (sound, wrong))  # fmt: skip
    assert same == pytest.approx(true, rel=5e-3)  # the integrator begins anew at every insertion
    assert not case_of(rig, "suction-line-restricted").spares_the_plant


def test_an_edge_lies_between_a_severity_that_does_and_one_that_does_not() -> None:
    edge = edge_of(lambda severity: severity >= 0.4)
    assert edge.no is not None
    assert edge.yes is not None
    assert edge.no < 0.4 <= edge.yes
    assert edge.yes - edge.no == pytest.approx(1.0 / 32.0)  # five halvings
    assert edge_of(lambda _: False) == (1.0, None)
    assert edge_of(lambda severity: severity > 0.0) == (None, 1.0 / 32.0)


def test_too_small_shows_nothing_and_too_large_trips_within_ten_minutes(fouled: Card) -> None:
    assert fouled.strengths is not None
    shows, trips = fouled.strengths
    assert shows.no is not None
    assert trips.yes is not None
    healthy, weak = by_hand(Card(fouled.case.of_severity(shows.no), 23.0, []))
    strong = by_hand(Card(fouled.case.of_severity(trips.yes), 23.0, []))[1]
    dials = dials_of(fouled.case.rig)
    for bench in (healthy, weak, strong):
        bench.advance(600.0)
    assert not any(one.is_plain(one.shift(healthy.readings(), weak.readings())) for one in dials)
    assert any(event.kind == "trip" for event in strong.events)


# What must not be said.


def test_of_a_fault_that_is_never_staged_there_are_consequences_only(
    leaking: tuple[list[str], Card],
) -> None:
    pieces, card = leaking
    record = as_record(card)
    assert record["on_a_real_rig"] == "never"
    assert record["moves"]
    assert "traces" in pieces
    assert not {"recipe", "strengths"} & set(pieces)
    assert not {"recipe", "severities"} & set(record)


def test_of_an_ordinary_fault_there_is_everything(fouled: Card) -> None:
    assert {"recipe", "severities", "first_limit"} <= set(as_record(fouled))


@pytest.mark.parametrize("name", all_faults())
def test_every_card_carries_its_cautions_from_the_first_piece_on(rig: Rig, name: str) -> None:
    rig = rig if name in able(rig) else load_rig("fennick_bench:120v-extended")
    piece, card = next(iter(rehearse(case_of(rig, name))))
    assert piece == "head"
    ids = {one["id"] for one in as_record(card)["cautions"]}
    assert {"card", "general", *all_faults()[name].cautions} <= ids
    assert "vacuum" in ids or all_faults()[name].occasion != "pump-down"
