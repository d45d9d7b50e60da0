"""``rimebench rehearse`` from end to end: one card of the computed plant in every format."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import pytest

from sim.cautions import all_cautions
from sim.study.card import Card
from sim.study.case import Case, case_of
from sim.study.timeline import Move
from tui.cli import main
from tui.console import plant
from tui.console.card_words import block_of, clock

FORMATS = ("text", "markdown", "html", "json")
STAGED = ["rehearse", "--fault", "condenser-fouled"]
NEVER = ["rehearse", "--fault", "pumping-worn"]
Out = pytest.CaptureFixture[str]
SHEET = """
title = "Two kinds of dirt"
rig = "fennick_bench"
start = "steady"
device = "thermostatic"
duration_s = 120
[[action]]
at_s = 50
set = { "HS-3" = "low" }
[[fault]]
at_s = 10
name = "condenser-fouled"
on = "command:HS-3"
[[fault]]
at_s = 20
name = "evaporator-fouled"
period_s = 30
duty = 0.4
"""


@pytest.fixture(autouse=True, scope="module")
def _once() -> Iterator[None]:
    """Every case is computed once, and told again to each format."""
    with pytest.MonkeyPatch.context() as patch:
        computed: dict[str, list[tuple[str, Card]]] = {}
        real = plant.rehearsal

        def again(case: Case) -> Iterator[tuple[str, Card]]:
            if case.name not in computed:
                computed[case.name] = list(real(case))
            return iter(computed[case.name])

        patch.setattr(plant, "rehearsal", again)
        yield


def card(capsys: Out, words: list[str], form: str) -> str:
    assert main([*words, "--format", form]) == 0
    return unescape(capsys.readouterr().out)


@pytest.mark.parametrize("form", FORMATS)
@pytest.mark.parametrize("words", [STAGED, NEVER], ids=["staged", "never"])
def test_the_card_and_the_general_caution_stand_in_every_format(
    capsys: Out, words: list[str], form: str
) -> None:
    text = card(capsys, words, form)
    for id in ("card", "general"):
        assert all_cautions()[id].text in text


@pytest.mark.parametrize("form", FORMATS)
def test_no_format_tells_how_a_fault_that_is_never_staged_is_brought_about_or_undone(
    capsys: Out, form: str
) -> None:
    recipe = re.compile(r"Putting it right|recipe|HS-4 o|too small|too_small", re.IGNORECASE)
    assert recipe.search(card(capsys, STAGED, form))
    text = card(capsys, NEVER, form)
    assert not recipe.search(text)
    assert "never" in text.lower()


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_says_that_the_first_limit_is_a_forecast(capsys: Out, form: str) -> None:
    text = card(capsys, STAGED, form)
    assert "not a permission" in text
    assert "PSHH-1" in text
    assert "room 28 °C" in text


def test_all_formats_have_the_same_instruments_in_the_same_order(capsys: Out) -> None:
    tags = [move["tag"] for move in json.loads(card(capsys, STAGED, "json"))["moves"]]
    starts = {"text": "^", "markdown": r"^\| ", "html": "<tr><td>"}
    for form, start in starts.items():
        text = card(capsys, STAGED, form).partition("What a calculation")[0]
        assert re.findall(rf"{start}([A-Z]+-\d+)(?=  | \||</td>)", text, re.M) == tags


def test_the_chart_is_dots_in_a_terminal_and_vectors_in_a_page(capsys: Out) -> None:
    assert re.search("[\u2801-\u28ff]", card(capsys, STAGED, "text"))
    page = card(capsys, STAGED, "html")
    assert page.count("<polyline") == 4
    assert "<script" not in page
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")


def test_a_terminal_of_plain_characters_gets_a_chart_of_plain_characters(capsys: Out) -> None:
    assert main([*STAGED, "--charset", "ascii"]) == 0
    chart = capsys.readouterr().out.partition("percent of the dial")[2].partition("First limit")[0]
    assert chart.isascii()


def test_the_card_goes_to_a_file_and_nothing_to_standard_output(
    capsys: Out, tmp_path: Path
) -> None:
    path = tmp_path / "card.md"
    assert main([*STAGED, "--format", "markdown", "--out", str(path)]) == 0
    assert capsys.readouterr().out == ""
    assert path.read_text(encoding="utf-8").startswith("# Rehearsal card: condenser-fouled")


def test_the_card_names_the_place_and_no_severity_where_there_is_none(capsys: Out) -> None:
    assert (
        main(["rehearse", "--fault", "wrong-refrigerant", "--place", "R12", "--format", "json"])
        == 0
    )
    card = json.loads(capsys.readouterr().out)
    assert (card["place"], card["on_a_real_rig"]) == ("R12", "never")
    assert "recipe" not in card
    main(["rehearse", "--fault", "wrong-refrigerant", "--place", "R12"])
    title = capsys.readouterr().out.splitlines()[0]
    assert title == "Rehearsal card: wrong-refrigerant, R12"


def test_the_card_says_what_hands_do_when_and_on_which_device(capsys: Out) -> None:
    head = card(capsys, ["rehearse", "--fault", "reversing-valve-stuck"], "text").partition("Which instrument")[0]  # fmt: skip
    assert "capillary device" in head
    assert "30 s: HS-4 (compressor) off, HV-12" in head
    assert "5 min 30 s: HS-5 (mode selector) heating, HS-2" in head
    record = json.loads(card(capsys, ["rehearse", "--fault", "reversing-valve-stuck"], "json"))
    assert record["moves"]
    assert record["occasion"]["name"] == "reversal"
    assert {"at_s": 330.0, "set": {"HS-5": "heating"}} in record["hands"]


def test_a_fault_in_a_device_that_is_not_in_line_says_so() -> None:
    case = case_of(plant.rig("fennick_bench"), "capillary-blocked", device="hand")
    head = block_of("head", Card(case, 23.0, []))
    assert head is not None
    assert "It sits in the capillary device, which is not in line here." in head.sentences


@pytest.mark.parametrize("form", FORMATS)
def test_every_format_proposes_questions_and_the_wrong_answer_to_expect(capsys: Out, form: str) -> None:  # fmt: skip
    text = card(capsys, STAGED, form)
    assert re.search("Which instrument will move first", text)
    assert re.search('Wrong answer to expect|"wrong"', text)


def test_a_sheet_is_rehearsed_and_its_chart_stands_by_itself(capsys: Out, tmp_path: Path) -> None:
    sheet, chart = tmp_path / "sheet.toml", tmp_path / "chart.svg"
    sheet.write_text(SHEET, encoding="utf-8")
    assert main(["rehearse", str(sheet), "--chart", str(chart)]) == 0
    text = capsys.readouterr().out
    assert text.startswith("Rehearsal card: Two kinds of dirt")
    assert "Waits for the event command:HS-3." in text
    assert "Comes and goes: 40% of every 30 s." in text
    root = ElementTree.fromstring(chart.read_text(encoding="utf-8"))
    said = [one.text or "" for one in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "time after the first fault, s" in said
    assert all_cautions()["general"].line() in " ".join(said)
    assert any("% of the dial" in one for one in said)
    curves = len(list(root.iter("{http://www.w3.org/2000/svg}polyline")))
    assert [one for one in said if one in "ABCD"] == list("ABCD"[:curves])
    assert sum(bool(re.match(r"[A-D] [A-Z]+-\d", one)) for one in said) == curves > 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--fault", "condenser-fuoled"], "condenser-fouled"),
        (["--fault", "condenser-fouled", "--severity", "0"], "above 0"),
        (["--fault", "condenser-fouled", "--severity", "nan"], "above 0"),
        (["--fault", "condenser-fouled", "--room", "99"], "--room 99"),
        (["--fault", "wrong-refrigerant", "--place", "R134a"], "its places are R22, R12"),
        ([], "either a run sheet or --fault"),
        (["a.toml", "--fault", "condenser-fouled"], "either a run sheet or --fault"),
        (
            ["a.toml", "--severity", "0.5", "--room", "20"],
            "--severity, --room: the run sheet says this itself",
        ),
        (
            ["--fault", "condenser-fouled", "--chart", "a.svg", "--out", "a.svg"],
            "give each its own",
        ),
    ],
)
def test_a_wrong_word_is_refused_with_a_remedy(capsys: Out, words: list[str], said: str) -> None:
    assert main(["rehearse", *words]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(None, ""), (0.5, "0.5 s"), (85.0, "85 s"), (245.0, "4 min 05 s"), (4800.0, "1 h 20 min")],
)
def test_times_are_said_as_people_say_them(seconds: float | None, words: str) -> None:
    assert clock(seconds) == words


def test_a_level_on_the_card_is_in_percent_as_its_glass_shows_it() -> None:
    case = case_of(plant.rig("fennick_bench"), "capillary-blocked", device="hand")
    moves = [Move("LG-1", "glass", "", 9.0, "up", end=0.1), Move("PI-1", "gauge", "bar", 9.0, "up", end=0.1)]  # fmt: skip
    block = block_of("moves", Card(case, 23.0, [], moves))
    assert block is not None
    assert [row[-1] for row in block.rows] == ["+10 %", "+0.1 bar"]
