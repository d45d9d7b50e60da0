"""The fastest pace is held in every scenario, on the wall clock: engine's figure, at most 0.3 s behind. On a quiet machine."""

from __future__ import annotations

import pytest

from tests.speed.pace_lag import main


@pytest.mark.speed
def test_pace_sixty_is_held_in_every_scenario(capsys: pytest.CaptureFixture[str]) -> None:
    missed = main(["--paces", "60"])
    assert missed == 0, capsys.readouterr().out
