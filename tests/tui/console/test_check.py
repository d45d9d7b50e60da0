"""``rimebench check``, and input that no command can use."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from tui.cli import main

ROOT = Path(__file__).parents[3]
Out = pytest.CaptureFixture[str]
PLACE = re.compile(r"^.+:\d+: \S.*$")


def one_line(text: str) -> str:
    """The only line of ``text``."""
    (line,) = text.splitlines()
    return line


def test_a_right_sheet_checks_out(sheet: Path, capsys: Out, small: str) -> None:
    assert main(["check", str(sheet), small]) == 0
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count(": right\n") == 2


def test_every_mistake_of_every_file_is_listed(sheet: Path, tmp_path: Path, capsys: Out) -> None:
    text = sheet.read_text(encoding="utf-8")
    sheet.rename(tmp_path / "c.toml")
    (tmp_path / "a.toml").write_text(text.replace("HV-1", "HV-9") + "x = 1\n", encoding="utf-8")
    (tmp_path / "b.toml").write_text("rig = \n", encoding="utf-8")
    assert main(["check", str(tmp_path)]) == 1
    out, err = capsys.readouterr()
    assert [Path(line.split(":")[0]).name for line in out.splitlines()] == [
        "a.toml",
        "a.toml",
        "b.toml",
    ]
    assert all(PLACE.match(line) for line in out.splitlines())
    assert err.endswith("3 mistakes\n")


def test_a_flammable_rig_says_so_when_it_is_checked(
    tmp_path: Path, capsys: Out, small: str
) -> None:
    text = (Path(small) / "rig.toml").read_text(encoding="utf-8").replace("R134a", "R290")
    (tmp_path / "rig.toml").write_text(text.replace("kg = 0.5", "kg = 0.1"), encoding="utf-8")
    assert main(["check", str(tmp_path)]) == 0
    assert "A3: no ignition source" in capsys.readouterr().err


def junk_file(folder: Path) -> Path:
    path = folder / "junk.toml"
    path.write_bytes(bytes(range(256)) * 20)
    return path


@pytest.mark.parametrize("command", ["run", "check"])
@pytest.mark.parametrize(
    "make",
    [
        lambda d: d / "none.toml",
        lambda d: d,
        junk_file,
        lambda d: Path("\0"),
        lambda d: d / ("x" * 400),
    ],
)
def test_bad_input_is_a_line_with_place_and_remedy(
    tmp_path: Path, capsys: Out, command: str, make: Any
) -> None:
    assert main([command, str(make(tmp_path))]) == 1
    out, err = capsys.readouterr()
    line = one_line(out if command == "check" else err)
    assert PLACE.match(line)
    assert line.count(".") >= 2  # a sentence and a remedy


def test_a_file_that_may_not_be_read_is_a_line(
    sheet: Path, capsys: Out, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "open", refuse)
    assert main(["check", str(sheet)]) == 1
    assert "may not read" in one_line(capsys.readouterr().out)


def test_the_drawings_of_a_rig_are_checked_with_it(tmp_path: Path, capsys: Out) -> None:
    rig = tmp_path / "rig"
    shutil.copytree(ROOT / "rigs" / "fennick_bench", rig)
    small, middle = rig / "drawing_s.toml", rig / "drawing_m.toml"
    small.write_text(small.read_text(encoding="utf-8").replace('"HV-11"', '"HV-111"'), encoding="utf-8")  # fmt: skip
    middle.write_text(middle.read_text(encoding="utf-8").replace("shape =", "shpe =", 1), encoding="utf-8")  # fmt: skip
    assert main(["check", str(rig / "rig.toml")]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert all(PLACE.match(line) for line in lines)
    assert any("drawing_s.toml" in line and "Did you mean HV-11?" in line for line in lines)
    assert any("drawing_m.toml" in line and "Did you mean shape?" in line for line in lines)
    assert main(["check", str(small)]) == 1
    assert {Path(line.split(":")[0]).name for line in capsys.readouterr().out.splitlines()} == {small.name}  # fmt: skip


def test_the_shipped_rig_is_drawn_right(capsys: Out) -> None:
    assert main(["check", "fennick_bench"]) == 0
