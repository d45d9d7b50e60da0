"""What is imported on the way to the first screen, and what the drawing layer may know."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

TUI = Path(__file__).parents[2] / "tui"


def imports_of(path: Path) -> set[str]:
    """Top-level names that a file imports."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
    return found


@pytest.mark.parametrize("path", sorted((TUI / "draw").glob("*.py")), ids=lambda path: path.stem)
def test_drawing_knows_neither_textual_nor_rich_nor_screens(path: Path) -> None:
    for name in imports_of(path):
        assert name.partition(".")[0] not in ("textual", "rich"), name
        assert not name.startswith(("tui.screens", "tui.views", "tui.app")), name


def test_the_first_screen_imports_no_compiler_no_property_library_no_scipy() -> None:
    heavy = ("numba", "CoolProp", "scipy")
    code = f"import sys, tui.app; print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=TUI.parent, capture_output=True, text=True, check=True)  # fmt: skip
    assert done.stdout.strip() == "[]"


def test_nothing_shipped_knows_the_stand_in_plant() -> None:
    for path in TUI.rglob("*.py"):
        assert "fake" not in path.read_text(encoding="utf-8").lower(), path
