"""A sentence that ends with a tag and goes on with a capital is not a number with a unit."""

from __future__ import annotations

import pytest

from tui.plain.aloud import aloud


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Took back a violation at W26. A real plant has no way back.", "Took back a violation at W26. A real plant has no way back."),
        ("It opens K1. V-1 stays open.", "It opens K1. V-1 stays open."),
        ("Open HV-22. W opens the list.", "Open HV-22. W opens the list."),
        ("At 12. K stands for kelvin.", "At 12. K stands for kelvin."),
        ("Draws 3.40 A. A start draws 13.7 A.", "Draws 3.4 amps. A start draws 13.7 amps."),
        ("1.0 bar g", "1 bar gauge"),
    ],
)  # fmt: skip
def test_a_full_stop_after_a_tag_ends_a_sentence_and_no_number(written: str, said: str) -> None:
    assert aloud(written) == said
