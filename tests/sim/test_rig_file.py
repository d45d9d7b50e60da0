"""A rig file is read whole, and every mistake in it is reported at once with its line and a remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.errors import InputError, Mistake
from sim.rig import PlacedPart, Rig, load_rig
from sim.rig_find import shipped_folder, shipped_names

SMALL = Path(__file__).parents[1] / "data" / "small_rig"
TEXT = (SMALL / "rig.toml").read_text(encoding="utf-8")


def mistakes_in(text: str, folder: Path) -> list[Mistake]:
    (folder / "rig.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_rig(folder)
    return caught.value.mistakes


def changed(old: str, new: str) -> tuple[str, int]:
    """The text with one change, and the line where it was made."""
    assert TEXT.count(old) >= 1
    return TEXT.replace(old, new, 1), TEXT[: TEXT.index(old)].count("\n") + 1


def test_a_right_rig_loads() -> None:
    rig = load_rig(SMALL)
    assert rig.charge_kg == 0.5
    assert rig.fluid_name == "R134a"
    assert [node.name for node in rig.nodes] == ["tank", "line", "drum"]
    assert rig.part("HV-1").ports[0].height == "bottom"
    assert rig.part("HV-2").in_line_with == "HCV-2"
    assert rig.surroundings.room_temperature_k == pytest.approx(296.15)
    assert rig.line_up_for("hand").steps[1].to == "on"


@pytest.mark.parametrize("name", shipped_names())
def test_every_shipped_rig_is_right(name: str) -> None:
    assert load_rig(name).name == name


def test_burst_is_three_times_ps_in_gauge_unless_the_rig_says_otherwise() -> None:
    rig = load_rig(SMALL)
    # 3 x 20 bar g, by hand: 60e5 + 101325
    assert rig.burst_pa(rig.node("tank")) == pytest.approx(60e5 + 101_325.0)
    assert rig.burst_pa(rig.node("drum")) == 6.0e6


ONE_MISTAKE = [
    # what is changed, to what, words of the complaint, words of the remedy
    ('kind = "hand_valve"', 'kind = "hand_vlave"', "no part kind", "Did you mean hand_valve?"),
    ('kind = "selector"', 'kind = "selecter"', "no switch kind", "Did you mean selector?"),
    ("kv_m3_h = 0.3", "kw_m3_h = 0.3", "no key kw_m3_h", "Did you mean kv_m3_h?"),
    ("volume_m3 = 3e-5", "volume_ml = 30", "wrong unit", "volume_m3 = 3e-05"),
    ("volume_m3 = 3e-5", "volume = 3e-5", "carries no unit", "volume_m3"),
    ("volume_m3 = 3e-5", "volume_m2 = 3e-5", "wrong unit", "volume_m3, in m³"),
    ("spring_pa = 3.0e4", "spring_bar = 0.3", "wrong unit", "spring_pa = 30000"),
    ("volume_m3 = 3e-5", "volume_m3 = 30", "volume_m3 is 30", "30 L, write volume_m3 = 0.03"),
    ("volume_m3 = 3e-5", 'volume_m3 = "3e-5"', "must be a number", "plain number in m³"),
    ("volume_m3 = 3e-5", "volume_m3 = nan", "not a finite number", "plain number"),
    ('tag = "HV-2"', 'tag = "HV-1"', "given twice", "The first is at"),
    ('tag = "HS-4"', 'tag = "PI-1"', "given twice", "The first is at"),
    ('name = "drum"', 'name = "tank"', "given twice", "The first is at"),
    ('to = "drum"', 'to = "drumm"', "no such node", "Did you mean drum?"),
    ('to = "line"', 'to = "line.top"', "no vessel", "Leave out .top"),
    ('to = "drum"', 'to = "line"', "two ports lead to one node", "different nodes"),
    ('from = "line"', 'from = "outside"', "leads outside", "second port"),
    ('senses = "drum"', "", "senses is missing", "bulb"),
    ('senses = "drum"', 'senses = "durm"', "no node durm", "Did you mean drum?"),
    ('in_line_with = "HCV-2"', 'in_line_with = "HCV-9"', "no part HCV-9", "HCV-2"),
    ('in_line_with = "HCV-2"', 'in_line_with = "HV-2"', "no valve, pipe or tube", "ports from and to"),
    ('air = "AIR-1"', 'air = "AIR-2"', "no air stream", "AIR-1"),
    ('tap = "drum"', 'tap = "dram"', "no node dram", "Did you mean drum?"),
    ("kg = 0.5", "kg = 50.0", "impossible", "Lower the charge"),
    ('built_for = ["R134a"]', 'built_for = ["R134a", "R143a"]', "no fluid", "Did you mean R134a?"),
    ("set_pa = 1701325.0", "set_pa = 1951325.0", "above 0.9 PS", "1.90132e+06"),
    ("burst_pa = 6.0e6", "burst_pa = 2.0e6", "at or below its PS", "more than"),
    ("burst_pa = 6.0e6", "ps_pa = 1.0e6", "holds only 1e+06 Pa", "weakest part: lower [rig] ps_pa"),
    ("reset_below_pa = 1301325.0", "reset_below_pa = 1801325.0", "not below set_pa", "Correct"),
    ('initial = "off"', 'initial = "of"', "no position", "Correct initial"),
    ('reading = "suction_pressure_pa"', 'reading = "suction_presure_pa"', "no reading", "suction_pressure_pa?"),
    ('unit = "bar g"', 'unit = "°C"', "does not suit", "bar g"),
    ('unit = "bar g"', 'unit = "furlong"', "not known", ""),
    ("low = -1.0", "low = 11.0", "not below high", ""),
    ('set = "HV-1"', 'set = "HV-8"', "no HV-8 to set", "Did you mean HV-"),
    ('to = "on"', 'to = "onn"', "no position", "Did you mean on?"),
    ("to = 1", "to = 2", "cannot be set to 2", "0 shut to 1 open"),
    ('device = "hand"', 'device = "handy"', "no choice", "thermostatic, capillary, hand, float"),
    ('of = "HCV-2.full_area_m2"', 'of = "HCV-2.fool_area_m2"', "no number", "full_area_m2?"),
    ('of = "HCV-2.full_area_m2"', 'of = "HCV-3.full_area_m2"', "no part HCV-3", "Did you mean TCV-3?"),
    ('tag = "HS-4"', 'tag = "HS.4"', "cannot be the tag", "letters, digits"),
    ('name = "line"', 'name = "outside"', "cannot be the name", "meaning of their own"),
    ("[charge]", "[charg]", "no table charg", "Did you mean charge?"),
    ('node = "line"\n', 'node = "lune"\n', "no node lune", "Did you mean line?"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "what", "remedy"), ONE_MISTAKE)
def test_a_mistake_is_named_at_its_line_with_a_remedy(
    tmp_path: Path, old: str, new: str, what: str, remedy: str
) -> None:
    text, line = changed(old, new)
    found = mistakes_in(text, tmp_path)
    assert any(what in one.what and remedy in one.remedy for one in found), found
    assert all(one.remedy for one in found)
    nearest = min(abs(one.line - line) for one in found)
    assert (
        nearest <= 8 or "twice" in what
    )  # a missing key stands at its table, a double at the second


@pytest.mark.parametrize(
    ("old", "new", "line_of"),
    [
        ("kv_m3_h = 0.3", "kw_m3_h = 0.3", "kw_m3_h"),
        ('to = "drum"', 'to = "drumm"', "drumm"),
        ("kg = 0.5", "kg = 50.0", "kg = 50.0"),
        ("set_pa = 1701325.0", "set_pa = 1951325.0", "1951325"),
        ('to = "on"', 'to = "onn"', "onn"),
    ],
)
def test_the_line_is_that_of_the_key(tmp_path: Path, old: str, new: str, line_of: str) -> None:
    text, _ = changed(old, new)
    expected = text[: text.index(line_of)].count("\n") + 1
    assert expected in [one.line for one in mistakes_in(text, tmp_path)]


def test_a_missing_key_is_reported_at_its_table(tmp_path: Path) -> None:
    text, line = changed(
        "full_area_m2 = 4.0e-7 # guess: an orifice of 0.8 mm with a coefficient of 0.8", ""
    )
    (mistake,) = [m for m in mistakes_in(text, tmp_path) if "missing" in m.what]
    assert "full_area_m2" in mistake.what
    assert text.splitlines()[mistake.line - 1] == "[[part]]"
    assert 0 < line - mistake.line < 6


def test_a_fluid_that_the_parts_are_not_built_for_is_refused(tmp_path: Path) -> None:
    text, line = changed('name = "R134a"', 'name = "R290"')
    (mistake,) = [m for m in mistakes_in(text, tmp_path) if "not built for" in m.what]
    assert mistake.line == line
    assert "built for R134a" in mistake.what


def test_a_node_that_nothing_leads_to_is_reported(tmp_path: Path) -> None:
    lonely = '[[node]]\nname = "lonely"\nvolume_m3 = 1e-4\n\n[[air]]\n'
    text = TEXT.replace("[[air]]\n", lonely, 1)
    found = mistakes_in(text, tmp_path)
    assert any("lonely cannot be reached from tank" in one.what for one in found)


def test_a_loose_port_does_not_also_cut_off_what_lies_behind_it(tmp_path: Path) -> None:
    text, _ = changed('to = "line"\n', "")
    found = [one.what for one in mistakes_in(text, tmp_path)]
    assert len(found) == 1
    assert "port to hangs loose" in found[0]


def test_a_relief_valve_above_ps_is_out_of_order(tmp_path: Path) -> None:
    # 21 bar above the room on a plate of 20 bar g
    relief = '[[part]]\ntag = "PSV-1"\nkind = "relief_valve"\nfrom = "tank.top"\nto = "outside"\nset_pa = 21e5\narea_m2 = 1e-5\n'
    found = mistakes_in(TEXT + "\n" + relief, tmp_path)
    assert ["above PS" in one.what for one in found] == [True]
    assert "2e+06 Pa above the room" in found[0].remedy


def test_a_trip_at_exactly_nine_tenths_of_ps_is_in_order(tmp_path: Path) -> None:
    # 18 bar g on a plate of 20 bar g: 101325 + 18e5
    text = TEXT.replace("most_set_pa = 1851325.0", "most_set_pa = 1901325.0")
    (tmp_path / "rig.toml").write_text(text, encoding="utf-8")
    assert load_rig(tmp_path).name == "small_rig"


def test_a_relief_valve_inside_the_plant_is_a_difference_and_no_rung_of_the_ladder(
    tmp_path: Path,
) -> None:
    relief = '[[part]]\ntag = "IPR-1"\nkind = "relief_valve"\nfrom = "tank.top"\nto = "drum"\nset_pa = 30e5\narea_m2 = 1e-5\n'
    (tmp_path / "rig.toml").write_text(TEXT + "\n" + relief, encoding="utf-8")
    assert load_rig(tmp_path).part("IPR-1").nodes == ("tank", "drum")


def test_all_mistakes_come_at_once_in_the_order_of_the_file(tmp_path: Path) -> None:
    text = TEXT
    wrong = [
        ("volume_m3 = 3e-5", "volume_ml = 30"),
        ('kind = "hand_expansion_valve"', 'kind = "hand_expension_valve"'),
        ('to = "drum.top"', ""),
        ("spring_pa = 3.0e4", "spring_bar = 0.3"),
        ("set_pa = 1701325.0", "set_pa = 2.0e6"),
        ("suction_pressure_pa", "suction_presure_pa"),
        ('to = "on"', 'to = "onn"'),
    ]
    for old, new in wrong:
        assert old in text
        text = text.replace(old, new, 1)
    found = mistakes_in(text, tmp_path)
    lines = {text[: text.index(new)].count("\n") + 1 for _, new in wrong if new}
    assert lines <= {one.line for one in found}
    assert [one.line for one in found] == sorted(one.line for one in found)


def test_one_wrong_part_does_not_make_what_points_at_it_wrong_too(tmp_path: Path) -> None:
    text, line = changed('kind = "hand_expansion_valve"', 'kind = "hand_expension_valve"')
    assert [one.line for one in mistakes_in(text, tmp_path)] == [line]


@pytest.mark.parametrize(
    "name", ["no_such_rig", "fennick_bench:no_such_wiring", "", "a/b/c", "\0", "x" * 5000]
)
def test_an_unknown_rig_is_refused_with_a_remedy(name: str) -> None:
    with pytest.raises(InputError) as caught:
        load_rig(name)
    assert all(one.remedy for one in caught.value.mistakes)


def test_a_misspelt_rig_name_is_guessed() -> None:
    with pytest.raises(InputError, match="Did you mean fennick_bench"):
        load_rig("fenick_bench")


def test_a_cell_of_a_coil_needs_no_wall_of_its_own(tmp_path: Path) -> None:
    text = (shipped_folder() / "fennick_bench" / "rig.toml").read_text(encoding="utf-8")
    wall = '[[wall]]\nnode = "a1"\nheat_capacity_j_k = 10.0\narea_m2 = 0.1\nconductance_w_k = 1.0\n'
    (mistake,) = mistakes_in(f"{text}\n{wall}", tmp_path)
    assert "cell of a coil" in mistake.what


def test_a_node_without_a_wall_is_reported(tmp_path: Path) -> None:
    text, _ = changed('[[wall]]\nnode = "line"\n', '[[wall]]\nnode = "tank"\n')
    found = [one.what for one in mistakes_in(text, tmp_path)]
    assert "node line has no wall." in found


def coils(rig: Rig) -> list[PlacedPart]:
    return [placed for placed in rig.parts if placed.kind == "coil"]


def test_a_coil_is_cut_into_cells_that_share_its_volume() -> None:
    rig = load_rig("fennick_bench")
    for placed in coils(rig):
        cells = [node for node in rig.nodes if node.coil == placed.tag]
        assert len(cells) == placed.part.cells  # type: ignore[attr-defined]
        volume = placed.part.volume_m3  # type: ignore[attr-defined]
        assert sum(node.volume_m3 for node in cells) == pytest.approx(volume)
    assert len(coils(rig)) == 2


def test_an_instrument_has_the_scale_that_suits_the_wiring() -> None:
    for wiring, high, nominal in (("120v", 150.0, 120.0), ("230v", 300.0, 230.0)):
        meter = next(one for one in load_rig(f"fennick_bench:{wiring}").instruments if one.tag == "EI-1")  # fmt: skip
        assert meter.high == high
        assert nominal < high


def test_a_rescale_of_what_is_not_there_or_of_an_empty_scale_is_a_mistake(tmp_path: Path) -> None:
    text = """
[rig]
name = "other"
title = "Other"
ps_pa = 24e5
extends = "fennick_bench"
[[rescale]]
instrument = "EI-7"
wiring = "230v"
high = 300.0
resolution = 1.0
[[rescale]]
instrument = "II-1"
wiring = "230v"
high = -1.0
resolution = 0.05
"""
    (tmp_path / "rig.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as error:
        load_rig(tmp_path)
    assert "there is no instrument 'EI-7'" in str(error.value)
    assert "rescale of II-1: low (0) is not below high (-1)" in str(error.value)


def test_a_rescale_for_a_wiring_that_is_not_there_is_a_mistake(tmp_path: Path) -> None:
    text = '[rig]\nname = "other"\ntitle = "Other"\nps_pa = 24e5\nextends = "fennick_bench"\n[[rescale]]\ninstrument = "EI-1"\nwiring = "240v"\nhigh = 300.0\nresolution = 1.0\n'
    (tmp_path / "rig.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="there is no wiring '240v'"):
        load_rig(tmp_path)
