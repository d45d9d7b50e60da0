"""Which spaces the valves shut in."""

from __future__ import annotations

import pytest

from sim.rig import load_rig
from tests.tui.fake_bench import SPACES, FakePlace
from tui.spaces import Passage, Spaces, shut_tags, spaces_of

LIQUID = FakePlace(9e5, 300.0, -0.05, 0.0)
GAS = FakePlace(3e5, 300.0, 1.05, 1.0)
PLACES = {"a8": LIQUID, "receiver": FakePlace(9e5, 300.0, 0.02, 0.35), "drier": LIQUID, "liquid_line": LIQUID, "header": LIQUID, "b1": GAS, "drum": GAS}  # fmt: skip
DEVICES_SHUT = frozenset(("HV-21", "HV-22", "HV-23", "HV-24"))


def test_shutting_the_last_way_out_of_a_liquid_line_is_a_trap() -> None:
    assert SPACES.trapped_by("HV-12", DEVICES_SHUT | {"HV-13"}, PLACES) == {"liquid_line", "header"}  # fmt: skip


def test_an_open_device_is_a_way_out() -> None:
    assert not SPACES.trapped_by("HV-12", DEVICES_SHUT - {"HV-22"} | {"HV-13"}, PLACES)


def test_a_relief_valve_protects_the_space_that_it_sits_on() -> None:
    assert not SPACES.trapped_by("HV-11", DEVICES_SHUT | {"HV-13", "HV-12"}, PLACES | {"receiver": LIQUID, "a8": GAS})  # fmt: skip


def test_a_space_with_gas_in_it_is_no_trap() -> None:
    assert not SPACES.trapped_by("HV-12", DEVICES_SHUT | {"HV-13"}, PLACES | {"header": GAS})


def test_a_valve_beside_a_trap_that_exists_already_traps_nothing_new() -> None:
    spaces = Spaces((Passage(("a", "b"), ("V1",)), Passage(("b", "c"), ("V2",))))
    places = {"a": GAS, "b": LIQUID, "c": GAS}
    assert spaces.trapped_by("V2", frozenset(("V1",)), places) == {"b"}
    assert spaces.around("b", frozenset(("V1", "V2"))) == {"b"}


def test_what_is_shut_by_hand_or_by_its_coil_counts() -> None:
    commands: dict[str, float | str] = {"HV-12": 0.0, "HV-11": 1.0, "HS-1": "on"}
    assert shut_tags(commands, {"XV-1": 0.0}) == {"HV-12", "XV-1"}


@pytest.fixture(scope="module")
def shipped() -> Spaces:
    return spaces_of(load_rig("fennick_bench"))


def test_the_whole_default_rig_hangs_together_when_everything_is_open(shipped: Spaces) -> None:
    nodes = {end for passage in shipped.passages for end in passage.ends}
    assert shipped.around("receiver", frozenset()) == nodes - {"outside"}


def test_the_default_rigs_liquid_line_can_be_trapped(shipped: Spaces) -> None:
    places = {node: GAS for passage in shipped.passages for node in passage.ends}
    places |= {"liquid_line": LIQUID, "header": LIQUID}
    assert shipped.trapped_by("HV-12", DEVICES_SHUT | {"HV-13"}, places) == {"liquid_line", "header"}  # fmt: skip
    assert not shipped.trapped_by("HV-42", frozenset(), places)
