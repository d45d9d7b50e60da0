"""Everything that the screen can do has its typed form, or a stated reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.plain.conftest import Converse, Typist
from tui.commands import BY_NAME
from tui.plain.counterparts import NOT_TYPED, TYPED

REFUSED = {"repair M1": "Nothing on M1 is damaged."}
"""What a sound bench refuses -> what it says."""
BEFORE_ALL = ("wait 6 min", "measure volts K1.A1 K1.A2", "record")
BEFORE = {
    "remove condenser-fouled": ("fault condenser-fouled 0.5",),
    "measure ohms K1.A1 K1.A2": ("set HS-1 off",),
    "end": ("tour",),
    "trend PI-1 over 30 min": ("wait 60",),
    "trend PI-1": ("wait 60",),
    "back 5 min": ("wait 6 min",),
}
"""What has to be there first."""


def test_every_command_of_the_screen_is_typed_or_says_why_not() -> None:
    assert {*TYPED, *NOT_TYPED} == set(BY_NAME)
    assert not set(TYPED) & set(NOT_TYPED)
    assert all(len(why.split()) > 5 for why in NOT_TYPED.values())


def test_every_typed_form_is_carried_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    typist = Typist(instructor=True, start="steady")
    for line in BEFORE_ALL:
        typist.types(line)
    assert typist.talk.wrong == 0, typist.text
    for typed in dict.fromkeys([*TYPED.values(), "quit"]):
        for line in BEFORE.get(typed, ()):
            typist.types(line)
        wrong = typist.talk.wrong
        typist.types(typed)
        assert typist.talk.wrong == wrong + (typed in REFUSED), (typed, typist.text[-300:])
        assert REFUSED.get(typed, "") in typist.text[-300:]
    assert typist.talk.over
    assert {file.name for file in tmp_path.iterdir()} == {"monday.rime", "monday.html"}


def test_help_says_it_to_who_knows_the_screen(converse: Converse) -> None:
    said = converse("help screen")
    assert "Go back: type back 5 min." in said.text
    assert "Hold: not typed; time passes only in wait" in said.text
