"""A rig may extend another: it says only what differs."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.errors import InputError
from sim.rig import load_rig

SMALL = Path(__file__).parents[1] / "data" / "small_rig"
HEAD = '[rig]\nname = "child"\nextends = "../base"\n'


@pytest.fixture
def child(tmp_path: Path) -> Path:
    """A folder beside a copy of the small rig."""
    base, folder = tmp_path / "base", tmp_path / "child"
    base.mkdir()
    folder.mkdir()
    (base / "rig.toml").write_text(
        (SMALL / "rig.toml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    return folder


def write(folder: Path, text: str) -> None:
    (folder / "rig.toml").write_text(text, encoding="utf-8")


def test_what_is_not_said_comes_from_the_base(child: Path) -> None:
    write(child, HEAD + "[charge]\nkg = 0.25\n")
    rig, base = load_rig(child), load_rig(SMALL)
    assert (rig.name, rig.charge_kg, rig.title) == ("child", 0.25, base.title)
    assert rig.nodes == base.nodes


def test_one_key_of_a_part_is_overridden_and_the_others_stay(child: Path) -> None:
    write(child, HEAD + '[[part]]\ntag = "HV-1"\nkv_m3_h = 0.6\n')
    part = load_rig(child).part("HV-1")
    assert part.part.kv_m3_h == 0.6  # type: ignore[attr-defined]
    assert part.nodes == ("tank", "line")


def test_a_new_part_is_added(child: Path) -> None:
    write(
        child,
        HEAD
        + '[[part]]\ntag = "HV-9"\nkind = "hand_valve"\nfrom = "tank"\nto = "drum"\nkv_m3_h = 0.1\n',
    )
    assert load_rig(child).part("HV-9").nodes == ("tank", "drum")


def test_a_part_of_another_kind_replaces_the_old_one_whole(child: Path) -> None:
    write(
        child,
        HEAD
        + '[[part]]\ntag = "HCV-2"\nkind = "hand_valve"\nfrom = "line"\nto = "drum"\nkv_m3_h = 0.1\n[[spread]]\nof = "HCV-2.full_area_m2"\nlow = 1\nhigh = 2\nsource = "x"\n',
    )
    with pytest.raises(InputError) as caught:
        load_rig(child)
    (mistake,) = caught.value.mistakes  # the spread of the old part's area is all that is wrong now
    assert "no number full_area_m2" in mistake.what


def test_a_mistake_points_at_the_file_that_made_it(child: Path) -> None:
    write(
        child,
        HEAD + '[[part]]\ntag = "HV-1"\nkv_m3_h = 900\n[[wall]]\nnode = "tank"\narea_m2 = -1\n',
    )
    with pytest.raises(InputError) as caught:
        load_rig(child)
    assert [(Path(m.file).parent.name, m.line) for m in caught.value.mistakes] == [
        ("child", 6),
        ("child", 9),
    ]


def test_a_mistake_in_the_base_points_at_the_base(child: Path) -> None:
    base = child.parent / "base" / "rig.toml"
    base.write_text(
        base.read_text(encoding="utf-8").replace("volume_m3 = 3e-5", "volume_m3 = 30"),
        encoding="utf-8",
    )
    write(child, HEAD)
    with pytest.raises(InputError) as caught:
        load_rig(child)
    assert [Path(m.file).parent.name for m in caught.value.mistakes] == ["base"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[rig]\nextends = "../child"\n', "leads back"),
        ('[rig]\nextends = "../nothing"\n', "no rig.toml"),
        ('[rig]\nextends = "nothing"\n', "no rig of this name"),
        ("[rig]\nextends = 7\n", "text in quotes"),
    ],
)
def test_a_base_that_cannot_be_is_refused_at_its_line(child: Path, text: str, words: str) -> None:
    write(child, text)
    with pytest.raises(InputError, match=words) as caught:
        load_rig(child)
    assert [one.line for one in caught.value.mistakes] == [2]
