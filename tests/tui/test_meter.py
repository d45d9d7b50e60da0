"""Probes, clamp, knob and cursor, without a screen."""

from __future__ import annotations

import pytest

from tests.tui.fake_wiring import fake_plan
from tui.draw.ladder_build import ladder_of
from tui.draw.ladder_cells import Ladder
from tui.meter import MODES, Jaw, MeterDesk


@pytest.fixture(scope="module")
def ladder() -> Ladder:
    return ladder_of(fake_plan(), 80, 35)


def desk_at(ladder: Ladder, name: str) -> MeterDesk:
    desk, spot = MeterDesk(), ladder.spot(name)
    assert spot is not None
    desk.stand(spot)
    return desk


def test_the_cursor_goes_from_terminal_to_wire_to_terminal(ladder: Ladder) -> None:
    desk = desk_at(ladder, "HS-4.1")
    way = []
    for _ in range(5):
        desk.move(ladder, "right")
        way.append(desk.cursor)
    assert way == ["HS-4.2", "W32", "PSHH-1.1", "PSHH-1.2", "W33"]
    desk.move(ladder, "left")
    assert desk.cursor == "PSHH-1.2"


def test_the_cursor_stays_at_the_edge(ladder: Ladder) -> None:
    desk = desk_at(ladder, "SUPPLY.N")
    desk.move(ladder, "up")
    assert desk.cursor == "SUPPLY.N"


def test_every_terminal_and_wire_is_reached_by_arrow_keys(ladder: Ladder) -> None:
    seen, waiting = {(s.x, s.y): s for s in ladder.spots[:1]}, list(ladder.spots[:1])
    while waiting:
        start = waiting.pop()
        for direction in ("left", "right", "up", "down"):
            desk = MeterDesk()
            desk.stand(start)
            desk.move(ladder, direction)
            if desk.cell not in seen:
                spot = next(s for s in ladder.spots if (s.x, s.y) == desk.cell)
                seen[desk.cell] = spot
                waiting.append(spot)
    assert {spot.name for spot in seen.values()} == {spot.name for spot in ladder.spots}


def test_tab_goes_through_everything_and_comes_round(ladder: Ladder) -> None:
    desk = desk_at(ladder, "W1")
    seen = {desk.cursor}
    for _ in ladder.spots:
        desk.step(ladder, 1)
        seen.add(desk.cursor)
    assert desk.cursor == "W1"
    assert len(seen) == len({spot.name for spot in ladder.spots})


def test_another_size_of_the_ladder_keeps_the_cursor_where_it_was(ladder: Ladder) -> None:
    desk = desk_at(ladder, "K1.A1")
    wide = ladder_of(fake_plan(), 150, 55)
    assert desk.here(wide).name == "K1.A1"
    assert desk.cell == (desk.here(wide).x, desk.here(wide).y)


def test_a_probe_put_where_it_is_comes_off() -> None:
    desk = MeterDesk()
    desk.probe(0, "HS-4.1")
    assert desk.probes == ["HS-4.1", ""]
    desk.probe(0, "HS-4.1")
    assert desk.probes == ["", ""]


def test_a_clamp_goes_on_then_round_then_off() -> None:
    desk = MeterDesk()
    desk.clamp("W9")
    desk.clamp("W4")
    desk.clamp("W9")
    assert desk.jaws == [Jaw("W9", True), Jaw("W4")]
    desk.clamp("W9")
    assert desk.jaws == [Jaw("W4")]


def test_each_mode_takes_what_it_reads_and_says_what_is_missing() -> None:
    desk = MeterDesk(probes=["L.1", "N.1"], jaws=[Jaw("W4"), Jaw("W11", True)])
    uses = {}
    for _ in MODES:
        uses[desk.mode] = desk.use
        desk.turn_knob(1)
    assert (uses["volts"].between, uses["volts"].around) == (("L.1", "N.1"), ())
    assert (uses["amps"].between, uses["amps"].around) == ((), ("W4", "-W11"))
    assert (uses["watts"].between, uses["watts"].around) == (("L.1", "N.1"), ("W4", "-W11"))
    assert all(use.complete and not use.missing for use in uses.values())
    bare = MeterDesk()
    assert (bare.use.complete, bare.use.missing) == (False, "Place both probes.")
    bare.turn_knob(-3)
    assert (bare.mode, bare.use.missing) == ("amps", "Clamp a wire.")


def test_the_modes_are_those_of_the_computed_meter() -> None:
    from sim.wiring.display import FUNCTIONS

    assert [mode for mode, _, _ in MODES] == list(FUNCTIONS)
