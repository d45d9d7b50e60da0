"""The file of faults: every mistake in it is named at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.errors import InputError
from sim.faults import read_faults

WRONG = """
[[fault]]
name = "odd"
family = "x"
what = "x."
severity = "x"
on_a_real_rig = "sometimes"
cautions = ["pressure"]
removal = "x"
trace = "x"
source = "x"

[[fault.change]]
parameter = "aera"
how = "multiply"
value = 0.5

[[fault.change]]
parameter = "volts"
how = "set"
value = 1.0

[[fault]]
name = "odder"
family = "x"
what = "x."
severity = "x"
on_a_real_rig = "never"
cautions = ["presure"]
removal = "x"
trace = "x"
source = "x"

occasion = "stopp"
mistaken_for = ["odder"]

[[fault.change]]
parameter = "air"
how = "multiply"
value = 3.0

[[occasion]]
name = "stop"
what = "x."
source = "x"
device = "expander"

[[occasion.act]]
at_s = 60
set = "HS-4"
to = "off"

[[occasion.act]]
at_s = 30
set = "HS-4"
to = "on"

[[occasion]]
name = "idle"
what = "x."
source = "x"
"""


def test_every_mistake_of_the_file_is_named_at_once(tmp_path: Path) -> None:
    path = tmp_path / "faults.toml"
    path.write_text(WRONG, encoding="utf-8")
    with pytest.raises(InputError) as error:
        read_faults(path)
    text = str(error.value)
    for word in ("on_a_real_rig", "aera", "volts can be changed by multiply only", "presure", "air goes from 0 to 1", "stopp", "taken for 'odder'", "expander", "in the order in which", "nothing is done"):  # fmt: skip
        assert word in text
