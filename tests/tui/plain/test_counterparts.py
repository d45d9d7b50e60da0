"""Everything that the screen can do has its typed form, or a stated reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.plain.conftest import Converse
from tui.commands import BY_NAME
from tui.plain.counterparts import NOT_TYPED, TYPED

REFUSED = {"repair": "Nothing on M1 is damaged."}
"""Command -> what a sound bench says to it."""


def test_every_command_of_the_screen_is_typed_or_says_why_not() -> None:
    assert {*TYPED, *NOT_TYPED} == set(BY_NAME)
    assert not set(TYPED) & set(NOT_TYPED)
    assert all(len(why.split()) > 5 for why in NOT_TYPED.values())


def test_every_typed_form_is_carried_out(converse: Converse, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    for name, typed in TYPED.items():
        before = ["fault condenser-fouled 0.5"] if typed.startswith("remove") else []
        before += ["measure volts K1.A1 K1.A2"] if typed == "measure record" else []
        before += ["set HS-1 off"] if typed.startswith(("measure ohms", "set W56")) else []
        before += ["tour"] if typed == "end" else []
        said = converse("wait 6 min", *before, typed, "yes", instructor=True, start="steady")
        refused = REFUSED.get(name, "There is no command")
        assert (refused in said.text) is (name in REFUSED), typed
        # a yes that nothing asked for is the only thing refused
        asked = "Nothing was asked" not in said.text
        assert name in REFUSED or said.code == (0 if asked or "quit" in typed else 1), said.answers
        answer = said.answers.rpartition("runs. ")[2] if typed != "quit" else ""
        assert "Say " not in answer.partition("Nothing was asked")[0], said.answers


def test_help_says_it_to_who_knows_the_screen(converse: Converse) -> None:
    said = converse("help screen")
    assert "Go back: type back 5 min." in said.text
    assert "Hold: not typed; time passes only in wait" in said.text
