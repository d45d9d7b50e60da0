"""The ladder is the wiring: every edge once, what is joined on the drawing is joined in the netlist, and it shows the state it is given."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench, steady_bench
from tests.tui.fake_wiring import fake_plan
from tui.draw.canvas import Canvas
from tui.draw.glyphs import EAST, FULL, NORTH, SETS, SOUTH, WEST
from tui.draw.ladder import BETWEEN, DEAD, LIVE, LadderPicture, style_of
from tui.draw.ladder_build import ladder_of
from tui.draw.ladder_cells import Ladder
from tui.draw.ladder_lines import cut
from tui.draw.ladder_place import WIDEST
from tui.meter import Jaw, MeterDesk
from tui.wiring_plan import Lead, Piece, Sign, WiringPlan

STEPS = {NORTH: (0, -1, SOUTH), EAST: (1, 0, WEST), SOUTH: (0, 1, NORTH), WEST: (-1, 0, EAST)}
Groups = set[frozenset[str]]


@pytest.fixture(params=["120v", "230v", "120v-extended"])
def plan(request: pytest.FixtureRequest) -> WiringPlan:
    return fake_plan(request.param)


def groups(names: Iterable[str], pairs: Iterable[tuple[str, str]]) -> Groups:
    """Names that hang together."""
    parent = {name: name for name in names}

    def root(name: str) -> str:
        while parent[name] != name:
            name = parent[name]
        return name

    for a, b in pairs:
        parent[root(a)] = root(b)
    found: dict[str, set[str]] = {}
    for name in parent:
        found.setdefault(root(name), set()).add(name)
    return {frozenset(names) for names in found.values()}


def traced(ladder: Ladder) -> Groups:
    """Terminals that the drawn strokes join: followed cell by cell, straight on over crossings, as an eye does."""
    sides = {(s.x, s.y): s.sides for s in ladder.strokes}
    spots = [spot for spot in ladder.spots if not spot.lead]
    terminals = {(spot.x, spot.y): spot.name for spot in spots}
    every = NORTH | EAST | SOUTH | WEST
    pairs = []
    for spot in spots:
        for side, (dx, dy, back) in STEPS.items():
            here, way = (spot.x, spot.y), (side, dx, dy, back)
            # upwards and downwards only what leaves it counts, whatever stands two rows away
            leaves = back if dx else sides.get((here[0], here[1] + dy), 0) & back
            if not (sides.get(here, every) & side and leaves):
                continue
            while True:
                here = (here[0] + way[1], here[1] + way[2])
                if here in terminals:
                    if sides.get(here, every) & way[3]:
                        pairs.append((spot.name, terminals[here]))
                    break
                here_sides = sides.get(here, 0)
                if not here_sides:
                    break
                if not here_sides & way[3]:  # a crossing: go straight on
                    continue
                onward = [s for s in STEPS if here_sides & s and s != way[3]]
                if len(onward) != 1:
                    onward = [way[0]] if way[0] in onward else onward[:1]
                way = (onward[0], *STEPS[onward[0]])
    return groups({spot.name for spot in spots}, pairs)


def wired(plan: WiringPlan, ladder: Ladder) -> Groups:
    names = {spot.name for spot in ladder.spots if not spot.lead}
    return groups(names, ((lead.a, lead.b) for lead in plan.leads))


def joined_by_pieces(plan: WiringPlan, found: Groups) -> Groups:
    """The same when symbols count as joined."""
    names = {name for group in found for name in group}
    pairs = [(a, b) for group in found for a, b in zip(sorted(group), sorted(group)[1:], strict=False)]  # fmt: skip
    return groups(names, [*pairs, *((p.a, p.b) for p in plan.pieces)])


@pytest.mark.parametrize("size", [(78, 11), (80, 35), (152, 55)])
def test_what_is_joined_on_the_drawing_is_joined_in_the_wiring(plan: WiringPlan, size: tuple[int, int]) -> None:  # fmt: skip
    ladder = ladder_of(plan, *size)
    assert ladder.conflicts == []
    assert traced(ladder) == wired(plan, ladder)


def test_every_piece_and_every_lead_is_drawn_once(plan: WiringPlan) -> None:
    lines = cut(plan)
    poles = [line for line in lines.poles if line is not None]
    drawn = Counter(edge.name for line in (*poles, *lines.rungs, *lines.earths) for edge in line.edges)  # fmt: skip
    assert drawn == Counter([*(p.name for p in plan.pieces), *(lead.tag for lead in plan.leads)])


def test_every_terminal_and_every_lead_is_a_place_for_the_cursor(plan: WiringPlan) -> None:
    ladder = ladder_of(plan, 80, 35)
    ends = {end for lead in plan.leads for end in (lead.a, lead.b)}
    ends |= {end for piece in plan.pieces for end in (piece.a, piece.b)}
    assert {spot.name for spot in ladder.spots} == ends | {lead.tag for lead in plan.leads}
    width, height = ladder.size
    assert all(0 <= spot.x < width and 0 <= spot.y < height for spot in ladder.spots)


def test_the_default_rig_is_whole_at_120_by_40_and_as_wide_as_80_columns(plan: WiringPlan) -> None:
    width, height = ladder_of(plan, 78, 11).size
    assert width <= 78
    assert height <= (39 if plan.title.endswith("extended") else 35)


def test_a_wide_screen_sets_the_rungs_apart_but_not_without_end(plan: WiringPlan) -> None:
    ladder = ladder_of(plan, 300, 80)
    assert ladder.size[0] <= WIDEST
    assert ladder.size[1] > ladder_of(plan, 80, 35).size[1]


def test_contacts_stand_left_of_the_loads_that_they_switch(plan: WiringPlan) -> None:
    at = {mark.piece.name: mark.x for mark in ladder_of(plan, 80, 35).marks}
    assert at["HS-4.line"] < at["PSHH-1"] < at["PSL-1"] < at["TS-1"] < at["K1.coil"]
    assert at["K1.main"] < at["F1"] < at["M1.main"] < at["K2.coil"]


# Small wirings: rungs, pieces in parallel, chains beside pieces, branches that end anywhere.

CONTACTS: list[Sign] = ["make", "break", "fuse"]
LOADS: list[Sign] = ["coil", "lamp", "motor", "heater"]


@st.composite
def small_wiring(draw: st.DrawFn) -> WiringPlan:
    pieces: list[Piece] = []
    leads = [Lead("W1", "S.L", "L.1"), Lead("W2", "S.N", "N.1")]

    def lead(a: str, b: str) -> None:
        leads.append(Lead(f"W{len(leads) + 1}", a, b))

    def piece(signs: list[Sign]) -> tuple[str, str]:
        tag = f"D{len(pieces) + 1}"
        pieces.append(Piece(tag, tag, f"{tag}.1", f"{tag}.2", draw(st.sampled_from(signs))))
        return f"{tag}.1", f"{tag}.2"

    def chain(start: str, end: str, depth: int) -> None:
        here = start
        for _ in range(draw(st.integers(0, 2))):
            a, b = piece(CONTACTS)
            lead(here, a)
            if depth and draw(st.booleans()):
                chain(a, b, 0)
            here = b
        a, b = piece(LOADS)
        lead(here, a)
        lead(b, end)
        if depth and draw(st.booleans()):
            chain(a, draw(st.sampled_from([b, end])), depth - 1)

    for _ in range(draw(st.integers(1, 4))):
        chain("L.1", "N.1", 2)
    return WiringPlan("small", ("S.L", "S.N", "S.PE"), ("L.1", "N.1", "PE.1"), tuple(pieces), tuple(leads), {p.tag: "" for p in pieces})  # fmt: skip


@given(plan=small_wiring())
@settings(max_examples=60, deadline=None)
def test_any_small_wiring_of_rungs_and_branches_is_drawn_as_it_is_joined(plan: WiringPlan) -> None:
    ladder = ladder_of(plan, 78, 35)
    assert ladder.conflicts == []
    assert traced(ladder) == wired(plan, ladder)
    assert len(joined_by_pieces(plan, traced(ladder))) == 1


def test_a_wiring_of_one_lamp_without_bars_is_drawn() -> None:
    lamp = Piece("P1", "P1", "P1.1", "P1.2", "lamp")
    plan = WiringPlan("lamp", ("S.L", "S.N", "S.PE"), ("S.L", "S.N", "S.PE"), (lamp,), (Lead("W1", "S.L", "P1.1"), Lead("W2", "P1.2", "S.N")), {"P1": "lamp"})  # fmt: skip
    ladder = ladder_of(plan, 78, 35)
    assert {spot.name for spot in ladder.spots} == {"S.L", "S.N", "P1.1", "P1.2", "W1", "W2"}
    assert traced(ladder) == wired(plan, ladder)


# State.


def rows(bench: FakeBench, desk: MeterDesk | None = None, glyphs: str = "full") -> list[str]:
    ladder = ladder_of(fake_plan(), 80, 35)
    canvas = Canvas.blank(*ladder.size)
    scene = scene_of(bench, plan=fake_plan())
    LadderPicture(ladder, SETS[glyphs]).paint(canvas, scene, desk or MeterDesk())
    return [canvas.row_text(y) for y in range(canvas.height)]


def around(text: list[str], ladder: Ladder, terminal: str, cells: int = 5) -> str:
    spot = ladder.spot(terminal)
    assert spot is not None
    return text[spot.y][spot.x : spot.x + cells]


def test_a_switch_stands_as_it_is_set_and_what_follows_it_is_heavy_or_light() -> None:
    ladder, bench = ladder_of(fake_plan(), 80, 35), steady_bench()
    assert around(rows(bench), ladder, "HS-4.1", 7) == "○━═━○━━"
    bench.set("HS-4", "off")
    assert around(rows(bench), ladder, "HS-4.1", 7) == "○━╱ ○──"


def test_a_seated_coil_and_a_lit_lamp_look_different_from_idle_ones() -> None:
    ladder, bench = ladder_of(fake_plan(), 80, 35), steady_bench()
    assert around(rows(bench), ladder, "K1.A1") == "○[■]○"
    assert around(rows(bench), ladder, "P2.1") == "○(☼)○"
    bench.set("HS-4", "off")
    assert around(rows(bench), ladder, "K1.A1") == "○[ ]○"
    assert around(rows(bench), ladder, "P2.1") == "○(×)○"


def test_the_emergency_stop_is_a_break_contact_and_opens() -> None:
    ladder, bench = ladder_of(fake_plan(), 80, 35), steady_bench()
    assert around(rows(bench), ladder, "HS-0.1") == "○━═┣○"
    bench.set("HS-0", "pressed")
    assert around(rows(bench), ladder, "HS-0.1") == "○━╱├○"


def test_without_a_lead_the_wire_has_its_tag_between_crosses_and_is_dead_behind() -> None:
    bench = steady_bench()
    bench.set("W32", "lifted")
    text = "\n".join(rows(bench))
    assert "○×W32×○─═├○" in text


def test_probes_and_clamp_lie_on_the_ladder() -> None:
    ladder = ladder_of(fake_plan(), 80, 35)
    desk = MeterDesk(cursor="N.1", probes=["HS-4.1", "HS-4.2"], jaws=[Jaw("W31"), Jaw("W32", True)])
    text = rows(steady_bench(), desk)
    assert around(text, ladder, "HS-4.1") == "1━═━2"
    spot = ladder.spot("W31")
    assert spot is not None
    assert "(►)" in text[spot.y]
    assert "(◄)" in text[spot.y]


def test_wire_tags_are_written_on_demand_and_the_wire_under_the_cursor_always_has_its_own() -> None:
    bench = steady_bench()
    assert not any("W56" in row for row in rows(bench))
    assert any("W56" in row for row in rows(bench, MeterDesk(cursor="W56")))
    shown = "\n".join(rows(bench, MeterDesk(tags_shown=True)))
    assert all(lead.tag in shown for lead in fake_plan().leads)


@pytest.mark.parametrize("glyphs", ["ascii"])
def test_the_plain_set_is_plain_and_still_tells_live_from_dead(glyphs: str) -> None:
    text = rows(steady_bench(), MeterDesk(tags_shown=True), glyphs)
    marks = {char for row in text for char in row if ord(char) > 126}
    assert marks <= {"╧"}, "the earth's sign is put right with the whole screen"
    ladder = ladder_of(fake_plan(), 80, 35)
    assert around(text, ladder, "HS-4.1") == "o=_=o"
    assert around(text, ladder, "HS-7.1") == "o=/ o"


def test_line_styles_follow_the_share_of_the_supply() -> None:
    assert [style_of(share) for share in (0.0, 0.05, 0.5, 0.7, 0.9, 1.4)] == [DEAD, DEAD, BETWEEN, BETWEEN, LIVE, LIVE]  # fmt: skip
    assert len({FULL.lines[style][EAST | WEST] for style in (LIVE, BETWEEN, DEAD)}) == 3


def test_a_click_on_a_symbol_finds_its_nearer_terminal_and_one_on_a_wire_the_wire() -> None:
    ladder = ladder_of(fake_plan(), 80, 35)
    spot = ladder.spot("HS-4.1")
    assert spot is not None
    assert [getattr(ladder.at(spot.x + dx, spot.y), "name", "") for dx in (0, 1, 3, 4)] == ["HS-4.1", "HS-4.1", "HS-4.2", "HS-4.2"]  # fmt: skip
    assert getattr(ladder.at(spot.x - 3, spot.y), "name", "") == "W31"
    assert ladder.at(2, spot.y - 1) is None
