"""Every mistake in a wiring file is named with its line and a remedy, all at once."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from sim import load_rig
from sim.errors import InputError
from sim.wiring import Circuit, load_wiring
from tests.sim.wiring.states import circuit, wiring_file

RIG = load_rig("fennick_bench")
TEXT = wiring_file("120v").read_text(encoding="utf-8")


def mistakes(tmp_path: Path, text: str) -> list[tuple[int, str]]:
    """(line, sentence with its remedy) of everything that is wrong with a wiring file."""
    path = tmp_path / "wiring.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_wiring(path, RIG)
    found = [re.fullmatch(r"(.*?):(\d+): (.*)", line) for line in str(caught.value).splitlines()]
    assert all(found)
    assert all(m[1].endswith("wiring.toml") for m in found if m)
    return [(int(m[2]), m[3]) for m in found if m]


def line_of(text: str, *pieces: str) -> int:
    """Number of the first line that holds the last piece, after the lines that hold those before it."""
    lines, at = text.splitlines(), 0
    for piece in pieces:
        at = next(i for i in range(at, len(lines)) if piece in lines[i])
    return at + 1


def without(text: str, table: str, tag: str) -> str:
    """The text without a [[table]] of that tag."""
    blocks = re.split(r"(?m)^(?=\[\[(?:device|wire)\]\])", text)
    kept = [b for b in blocks if not (b.startswith(f"[[{table}]]") and f'tag = "{tag}"\n' in b)]
    assert len(kept) == len(blocks) - 1
    return "".join(kept)


def wire_tag(a: str, b: str) -> str:
    """Tag of the shipped wire between two terminals."""
    found = re.search(rf'tag = "(W\d+)"\nfrom = "{a}"\nto = "{b}"', TEXT)
    assert found
    return found[1]


def changed(tag: str, key: str, value: str) -> str:
    """The text with one key of a device replaced."""
    made, count = re.subn(rf'(tag = "{tag}"\n(?:(?!\[\[).*\n)*?{key} = )[^#\n]*', rf"\g<1>{value} ", TEXT, count=1)  # fmt: skip
    assert count == 1
    return made


EXTENDED = wiring_file("120v-extended").read_text(encoding="utf-8")


def test_a_wiring_that_extends_what_is_not_there_or_extends_itself_is_refused(
    tmp_path: Path,
) -> None:
    text = EXTENDED.replace('extends = "120v"', 'extends = "110v"')
    assert mistakes(tmp_path, text)[0][1].startswith("extends: there is no wiring '110v'")
    again = EXTENDED.replace('extends = "120v"', 'extends = "120v-extended"')
    [(line, what)] = mistakes(tmp_path, again)
    assert line == line_of(again, "extends")
    assert "extends another one itself" in what


def test_mistakes_in_what_is_laid_over_are_told_at_their_own_lines(tmp_path: Path) -> None:
    text = EXTENDED.replace("off_time_s = 180.0", "off_time_s = 900.0")
    text = text.replace('from = "K3.1"', 'from = "K3.7"')
    found = dict(mistakes(tmp_path, text))
    assert "is not on its dial" in found[line_of(text, "off_time_s")]
    assert "there is no terminal K3.7" in found[line_of(text, "K3.7")]


def test_a_fan_made_for_another_supply_is_refused(tmp_path: Path) -> None:
    text = EXTENDED.replace("volts_v = 120.0", "volts_v = 230.0")
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, "volts_v")
    assert "FAN-A is made for 230 V 60 Hz, the supply has 120 V 60 Hz" in what


def test_a_fan_with_another_capacitor_than_its_own_is_refused(tmp_path: Path) -> None:
    text = EXTENDED.replace(
        "farad = 1.5e-6 # common practice: as", "farad = 1.5e-7 # common practice: as"
    )
    assert [what for _, what in mistakes(tmp_path, text)] == ["C2 has 0.15 uF; FAN-A is made for 1.5 uF. Fit the one on the motor's plate."]  # fmt: skip
    text = EXTENDED.replace('from = "C2.2"\nto = "FAN-A.4"', 'from = "C2.2"\nto = "FAN-A.3"')
    path = tmp_path / "wiring.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(
        InputError,
        match=f"wiring.toml:{line_of(text, 'run_farad')}: no run capacitor is wired to FAN-A.4",
    ):
        load_wiring(path, RIG)


def test_an_extended_wiring_that_is_no_name_is_one_mistake(tmp_path: Path) -> None:
    text = EXTENDED.replace('extends = "120v"', "extends = 3")
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, "extends")
    assert "must be the name of a wiring" in what


def test_a_timer_that_a_low_supply_cannot_rouse_is_refused(tmp_path: Path) -> None:
    """85 % of 120 V are 102 V."""
    text = EXTENDED.replace("pull_in_v = 70.0", "pull_in_v = 110.0")
    assert [what for _, what in mistakes(tmp_path, text)] == ["K3 pulls in at 110 V; 85 % of the supply are 102 V. Take a coil for this supply."]  # fmt: skip


EXTRA = '\n[[wire]]\ntag = "W99"\nfrom = "{a}"\nto = "{b}"\n'


def test_a_load_without_a_way_back_is_named(tmp_path: Path) -> None:
    text = TEXT.replace('from = "K1.A2"\nto = "N.1"', 'from = "K1.A2"\nto = "K1.A1"')
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, 'tag = "K1"') - 1
    assert "no path out and back" in what
    assert "K1.A2 reaches line" in what


def test_a_dead_short_is_named(tmp_path: Path) -> None:
    [(line, what)] = mistakes(tmp_path, TEXT + EXTRA.format(a="HS-6.2", b="N.1"))
    assert "dead short" in what
    assert line == line_of(TEXT, "[[wire]]")


def test_a_frame_without_its_earth_wire_is_named(tmp_path: Path) -> None:
    text = TEXT.replace('from = "M1.PE"\nto = "PE.1"', 'from = "M1.PE"\nto = "E1.PE"').replace('from = "E1.PE"\nto = "PE.1"', 'from = "FAN-A.PE"\nto = "FAN-B.PE"')  # fmt: skip
    found = mistakes(tmp_path, text)
    assert {what.split(" is ")[0] for _, what in found} == {"floating frame: M1.PE", "floating frame: E1.PE"}  # fmt: skip
    assert line_of(text, 'tag = "M1"') - 1 in [line for line, _ in found]


def test_a_chassis_without_earth_is_named(tmp_path: Path) -> None:
    text = TEXT.replace('from = "X1.6"\nto = "PE.1"', 'from = "X1.6"\nto = "X1.5"').replace('from = "SUPPLY.PE"\nto = "X1.5"', 'from = "SUPPLY.PE"\nto = "X1.6"')  # fmt: skip
    found = mistakes(tmp_path, text)
    assert (line_of(text, "chassis =")) in [line for line, what in found if "floating frame" in what]  # fmt: skip


def test_a_relay_that_never_pulls_in_is_named(tmp_path: Path) -> None:
    text = TEXT.replace('part = "M1-motor"\n', 'part = "M1-motor"\n[device.rated]\nrelay_pull_in_a = 30.0\n')  # fmt: skip
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, "relay_pull_in_a")
    assert "would never start" in what


def test_a_relay_that_never_drops_out_is_named(tmp_path: Path) -> None:
    text = TEXT.replace('part = "M1-motor"\n', 'part = "M1-motor"\n[device.rated]\nrelay_drop_out_a = 4.0\n')  # fmt: skip
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, "relay_drop_out_a")
    assert "would stay in" in what


def test_a_relay_that_fits_the_motor_but_not_a_long_thin_supply_is_named(tmp_path: Path) -> None:
    """The motor's own check knows a stiff supply only; the circuit knows this one."""
    text = TEXT.replace("resistance_ohm = 0.25 ", "resistance_ohm = 3.5 ", 1)
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, 'tag = "K2"') - 1
    assert "would never start" in what


def test_a_coil_for_another_voltage_is_named(tmp_path: Path) -> None:
    text = changed("K1", "pull_in_v", "150.0")
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, 'tag = "K1"', "pull_in_v")
    assert "85 % of the supply" in what


def test_a_coil_that_drops_out_above_its_pull_in_is_named(tmp_path: Path) -> None:
    text = changed("XV-1", "drop_out_v", "90.0")
    assert (line_of(text, 'tag = "XV-1"', "drop_out_v"), True) in [(line, "not below pull_in_v" in what) for line, what in mistakes(tmp_path, text)]  # fmt: skip


def test_a_terminal_without_a_wire_is_named(tmp_path: Path) -> None:
    text = without(TEXT, "wire", wire_tag("P1.2", "N.1"))
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, 'tag = "P1"') - 1
    assert "P1.2 has no wire" in what


def test_a_fuse_too_small_for_what_runs_through_it_is_named(tmp_path: Path) -> None:
    text = changed("F2", "rated_a", "3.0")
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, 'tag = "F2"', "rated_a")
    assert "with everything on" in what


def test_a_breaker_that_opens_on_every_start_is_named(tmp_path: Path) -> None:
    text = TEXT.replace('kind = "fuse"', 'kind = "breaker"').replace("melting_a2s = 1500.0", "magnetic_a = 16.0")  # fmt: skip
    [(line, what)] = mistakes(tmp_path, text)
    assert line == line_of(text, 'tag = "F2"', "magnetic_a")
    assert "a start draws" in what
    slower = tmp_path / "slower.toml"
    slower.write_text(text.replace("magnetic_a = 16.0", "magnetic_a = 75.0"), encoding="utf-8")
    assert Circuit(load_wiring(slower, RIG)).contacts == circuit("120v").contacts


@pytest.mark.parametrize(
    ("a", "b", "said"),
    [
        ("HS-4.2", "PSHH-1.3", "there is no terminal PSHH-1.3. Did you mean PSHH-1."),
        ("HS-4.2", "HS-4.2", "both ends are on HS-4.2"),
        ("PSHH-1.1", "HS-4.2", "joins the same two terminals"),
    ],
)
def test_a_wire_that_leads_nowhere_is_named(tmp_path: Path, a: str, b: str, said: str) -> None:
    text = TEXT + EXTRA.format(a=a, b=b)
    found = mistakes(tmp_path, text)
    assert [said in what for _, what in found] == [True]
    assert found[0][0] >= line_of(text, 'tag = "W99"') - 1


def test_a_tag_given_twice_is_named(tmp_path: Path) -> None:
    text = TEXT + EXTRA.format(a="HS-4.2", b="PE.1").replace("W99", "W1")
    [(line, what)] = mistakes(tmp_path, text)
    assert line == len(text.splitlines()) - 2
    assert "given twice" in what


def test_a_wiring_without_a_motor_is_named(tmp_path: Path) -> None:
    found = mistakes(tmp_path, without(TEXT, "device", "M1"))
    assert any("there are 0 motors" in what for _, what in found)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("frequency_hz = 60.0", "frequency_hz = 50.0", "M1 is made for 60 Hz"),
        ("volts_v = 120.0", "volts_v = 230.0", "M1 is made for 120 V"),
        ('part = "M1-motor"', 'part = "M2-motor"', "Did you mean M1-motor?"),
        ('chassis = "PE.1"', 'chassis = "PE.2"', "chassis: there is no terminal PE.2"),
        ('harness = "L.1"', 'harness = "PE.1"', "are the same terminal"),
        ('name = "low"', 'name = "high"', "the contact high is given twice"),
        ('tag = "W7"', 'tag = "K1.main"', "is no tag"),
        ('kind = "plug"', 'kind = "plugg"', "Did you mean plug?"),
        ('tag = "TS-1"', 'tag = "TS-9"', "the rig has no control of this tag. Did you mean TS-1?"),
        ('tag = "FAN-B"', 'tag = "FAN-C"', "the rig has no fan of this tag"),
        ('closed_in = ["released"]', 'closed_in = ["relesed"]', "Did you mean released?"),
        ('closed_in = ["released"]', "closed_in = []", "closed in no position"),
        ('pins = ["1", "2"]', 'pins = ["1", "1"]', "two different pins"),
        ("stray_farad = 4.0e-11", "stray_farad = 4.0e-3", "the model holds from"),
        ("wire_ohm = 0.006", "wire_mohm = 6", "the key wire_ohm is missing"),
        ("neutral_bonded = true", 'neutral_bonded = "yes"', "must be true or false"),
        ("[supply]", "[suply]", "Did you mean supply?"),
        ("start_v = 55.0", "start_v = 40.0", "not above stall_v"),
        ("bleed_ohm = 15000.0", "bleed_ohm = 15.0", "the model holds from"),
    ],
)
def test_a_slip_of_the_pen_is_named_with_a_remedy(tmp_path: Path, old: str, new: str, said: str) -> None:  # fmt: skip
    assert old in TEXT
    found = mistakes(tmp_path, TEXT.replace(old, new))
    assert any(said in what for _, what in found), found


def test_all_mistakes_come_at_once(tmp_path: Path) -> None:
    text = changed("F2", "rated_a", "-1.0").replace("wire_ohm = 0.006", "wire_ohm = 60.0")
    text = text.replace('from = "K1.A2"', 'from = "K9.A2"')
    found = mistakes(tmp_path, text)
    assert len(found) >= 3
    assert [line for line, _ in found] == sorted(line for line, _ in found)


GARBAGE = ('"x"', "-1", "0", "1e9", "true", "[]", "{}", '["A1"]', '"PE.1"', '"é\\n"')


@pytest.mark.parametrize("count", [60, pytest.param(3000, marks=pytest.mark.full)])
def test_whatever_is_typed_ends_in_a_wiring_or_in_mistakes(tmp_path: Path, count: int, seed: int) -> None:  # fmt: skip
    """A line lost, a line doubled, a value replaced by anything: never another kind of error."""
    dice, path = random.Random(seed), tmp_path / "wiring.toml"
    found: list[InputError] = []
    for _ in range(count):
        lines = wiring_file(dice.choice(("120v", "230v"))).read_text(encoding="utf-8").splitlines()
        at = dice.choice([i for i, line in enumerate(lines) if line and not line.startswith("#")])
        key, equals, _ = lines[at].partition("=")
        garbled = [f"{key}= {dice.choice(GARBAGE)}"] if equals else []
        lines[at : at + 1] = dice.choice(([], [lines[at]] * 2, garbled))
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        try:
            load_wiring(path, RIG)
        except InputError as error:
            found.append(error)
    assert found
    assert all(error.mistakes for error in found)
