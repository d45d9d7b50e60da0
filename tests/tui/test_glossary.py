"""The glossary: whole, true of this rig, sourced, and findable."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from CoolProp import CoolProp

from sim.errors import InputError
from sim.readings import READINGS
from sim.rig import load_rig
from sim.units import STANDARD_ATMOSPHERE_PA
from sim.wiring import wiring_of
from tests.tui.fake_bench import FakeBench, fake_chart, steady_bench
from tui.derived import DERIVED
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.glossary import (  # fmt: skip
    Term,
    called,
    entry_lines,
    found_by,
    glossary,
    now_words,
    read_glossary,
    terms_for,
)
from tui.opening import kind_of

TAG = re.compile(r"\b(?:[A-Z]{1,4}-\d+(?:\.\w+)?|[CFKM]\d\.[a-zA-Z]\w*|[CFKMX]\d\b|COIL-[AB]|FAN-[AB])")  # fmt: skip
CITED = re.compile(r"\b(ISO|IEC|EN|ISA|ASHRAE|IPCC|NIST)\b")
PLAIN_WORDS = frozenset(
    [
        "a",
        "above",
        "after",
        "air",
        "and",
        "are",
        "as",
        "at",
        "be",
        "before",
        "behind",
        "by",
        "does",
        "for",
        "from",
        "given",
        "had",
        "has",
        "have",
        "held",
        "holds",
        "however",
        "in",
        "into",
        "is",
        "it",
        "its",
        "itself",
        "leaves",
        "leaving",
        "less",
        "like",
        "minus",
        "more",
        "of",
        "off",
        "on",
        "one",
        "or",
        "other",
        "out",
        "over",
        "own",
        "per",
        "place",
        "put",
        "share",
        "side",
        "single",
        "summed",
        "taken",
        "takes",
        "that",
        "the",
        "there",
        "this",
        "through",
        "times",
        "to",
        "total",
        "until",
        "up",
        "useful",
        "what",
        "when",
        "where",
        "which",
        "with",
        "words",
        "inlet",
        "plant",
        "panel",
        "speed",
        "volume",
        "shaft",
        "between",
        "been",
        "kept",
        "alone",
        "both",
        "entering",
        "enters",
        "room",
        "stays",
        "differs",
    ]
)
"""Words of ``READINGS`` that are nobody's trade; all others stand in the glossary, alone or in the name of a term."""


@pytest.fixture(scope="module")
def names_on_the_rig() -> set[str]:
    rig = load_rig("fennick_bench:120v-extended")  # it has all that the default wiring has
    wiring = wiring_of(rig)
    terminals = {device.at(pin.rpartition(".")[2]) for device in wiring.devices for pin in device.pins()}  # fmt: skip
    moved = {f"{switch.tag}.{name}" for switch in rig.switches for name in ("set", "reset", "watts", "lock")}  # fmt: skip
    return {*rig.tags, *terminals, *moved, *(device.tag for device in wiring.devices), "TCV-23.spring", "M1.cover"}  # fmt: skip


def scene_of(bench: FakeBench, *, instructor: bool = False) -> Scene:
    return Scene(snapshot=bench.snapshot(), fluid=fake_chart(), instructor=instructor)


def test_there_are_enough_terms_and_each_is_a_few_plain_sentences() -> None:
    assert len(glossary()) >= 60
    for term in glossary().values():
        sentences = re.findall(r"[.!?](?:\s|$)", term.plain)
        assert 1 <= len(sentences) <= 4, term.name
        assert term.plain.endswith("."), term.name
        assert term.seen.endswith("."), term.name
        assert len(term.plain) < 330, term.name


def test_every_related_term_exists_and_is_another() -> None:
    for term in glossary().values():
        assert term.related, term.name
        assert set(term.related) <= set(glossary()) - {term.name}, term.name


def test_every_tag_named_exists_on_the_rig(names_on_the_rig: set[str]) -> None:
    named = {tag: term.name for term in glossary().values() for tag in TAG.findall(f"{term.seen} {term.plain}")}  # fmt: skip
    assert {"PI-1", "TCV-23.spring", "K1.A1", "C1", "COIL-B", "HS-1.lock"} <= set(named), "the search finds tags"  # fmt: skip
    assert {tag: name for tag, name in named.items() if tag not in names_on_the_rig} == {}


def test_every_view_named_exists() -> None:
    numbers = {int(n) for term in glossary().values() for n in re.findall(r"view (\d)", term.seen)}
    assert numbers
    assert numbers <= set(range(1, len(View)))


def test_every_reading_named_exists_and_every_reading_has_a_term() -> None:
    named = {key for term in glossary().values() for key in term.readings}
    assert named <= {*READINGS, *DERIVED}
    assert set(READINGS) <= named


def test_every_trade_word_of_the_table_of_readings_is_in_the_glossary() -> None:
    known = {word.removesuffix("s") for term in glossary().values() for name in term.names for word in re.findall(r"[a-z]+", name.lower())}  # fmt: skip
    words = {word for _, sentence in READINGS.values() for word in re.findall(r"[a-z]+", sentence.lower())}  # fmt: skip
    assert len(words) > 60
    missing = {word for word in words - PLAIN_WORDS if len(word) > 1 and word.removesuffix("s") not in known}  # fmt: skip
    assert missing == set()


def test_every_entry_has_a_source_and_a_citation_says_that_it_is_from_memory() -> None:
    for term in glossary().values():
        assert CITED.search(term.source) or "common practice" in term.source, term.name
        assert not CITED.search(term.source) or "(from memory)" in term.source, term.name


def test_every_kind_of_part_switch_instrument_and_device_leads_to_a_term() -> None:
    rig = load_rig("fennick_bench:120v-extended")
    kinds = {kind_of(one) for one in (*rig.parts, *rig.switches)}
    kinds |= {one.kind for one in rig.instruments} | {one.KIND for one in wiring_of(rig).devices}
    assert {kind for kind in kinds if not terms_for("", kind)} == set()


def test_the_class_and_the_warming_potential_of_r134a_and_propane_are_the_reference_librarys() -> None:  # fmt: skip
    """CoolProp's metadata: ASHRAE Standard 34 class, GWP over 100 years (IPCC AR4)."""
    safety, gwp = glossary()["safety class"].plain, glossary()["GWP"].plain
    assert f"R134a is {CoolProp.get_fluid_param_string('R134a', 'ASHRAE34')}" in safety
    assert f"propane (R290) is {CoolProp.get_fluid_param_string('Propane', 'ASHRAE34')}" in safety
    assert f"R134a has {CoolProp.PropsSI('GWP100', 'R134a'):.0f} " in gwp


def test_units_of_pressure_and_of_difference_are_as_defined() -> None:
    """1 psi = 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)2 (definitions of pound, standard gravity, inch)."""
    psi_pa = 0.45359237 * 9.80665 / 0.0254**2
    assert f"about {1e5 / psi_pa:.1f} psi" in glossary()["bar and psi"].plain
    assert f"{psi_pa:.3f} Pa" in glossary()["bar and psi"].source
    assert f"about {STANDARD_ATMOSPHERE_PA / 1e5:.0f} bar" in glossary()["absolute pressure"].plain
    assert f"{9 / 5:g} °F" in glossary()["superheat"].unit


def test_what_is_typed_finds_the_term_first() -> None:
    for typed, name in (("superheat", "superheat"), ("TXV", "thermostatic expansion valve"), ("lra", "locked-rotor current"), ("E-stop", "emergency stop"), ("flash", "flash gas")):  # fmt: skip
        assert found_by(typed)[0].name == name, typed
    assert found_by("") == list(glossary().values())
    assert found_by("xyzzy") == []
    assert "oil" in [term.name for term in found_by("foams")], "also words of the text are found"
    assert called("Sight  Glass") is glossary()["sight glass"]
    assert called("contactors") is glossary()["contactor"]
    assert called("superheat of") is None


def test_the_value_of_now_is_read_off_the_bench_and_no_truth_reaches_a_learner() -> None:
    scene = scene_of(steady_bench())
    superheat = now_words(glossary()["superheat"], scene)
    assert superheat == [f"superheat {scene.words('gauge_superheat_k')}"]
    assert superheat != now_words(glossary()["superheat"], scene_of(FakeBench()))
    for name in ("COP", "quality", "charge", "motor winding"):
        assert now_words(glossary()[name], scene) == [], name
    assert now_words(glossary()["COP"], scene_of(steady_bench(), instructor=True)) == ["COP 2.17"]
    assert any(line.startswith("Now: ") for line in entry_lines(glossary()["superheat"], scene))


def bad(tmp_path: Path, text: str) -> str:
    path = tmp_path / "glossary.toml"
    path.write_text(text)
    with pytest.raises(InputError) as caught:
        read_glossary(path)
    return str(caught.value)


ENTRY = '[[term]]\nname = "{}"\nplain = "A."\nseen = "B."\nsource = "common practice"\n'


def test_a_glossary_with_mistakes_is_refused_with_all_of_them(tmp_path: Path) -> None:
    text = ENTRY.format("cold") + 'related = ["warm"]\n' + ENTRY.format("Cold")
    said = bad(tmp_path, text)
    assert "there is no term warm" in said
    assert "Cold stands for cold already" in said
    assert "glossary.toml:6" in said
    assert "source is missing" in bad(tmp_path, '[[term]]\nname = "x"\nplain = "A."\nseen = "B."\n').replace("the key ", "")  # fmt: skip
    assert "empty" in bad(tmp_path, ENTRY.format(" "))
    assert isinstance(Term(name="x", plain="A.", seen="B.", source="C"), Term)
