"""``rimebench check``: rigs with their drawings, run sheets and cautions, every mistake at once."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from sim.cautions import cautions_for, read_cautions
from sim.errors import InputError, Mistake
from sim.faults import read_faults
from sim.rig import Rig
from sim.rig_find import find_rig, shipped_names
from sim.run_check import check_sheet
from sim.run_sheet import RunSheet
from sim.tomlfile import read_toml, shown_path
from tui.console import plant
from tui.console.output import say, tell
from tui.draw.drawing import load_drawing
from tui.draw.lint import faults as drawing_faults
from tui.glossary import read_glossary

RIG_PATTERNS = ("rig.toml", "sheets/*.toml")
FOLDER_PATTERNS = ("*.toml", "*/rig.toml", "*/sheets/*.toml")
"""Where a rig's folder keeps its run sheets, and where another folder keeps rigs and run sheets."""

CATALOGUES: dict[str, Callable[[Path], object]] = {"cautions.toml": read_cautions, "faults.toml": read_faults, "glossary.toml": read_glossary}  # fmt: skip
"""What else lies in the folder of the rigs, by name, and what reads it."""
_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser("check", help="find every mistake in rigs and run sheets")
    parser.add_argument(
        "paths",
        nargs="+",
        metavar="FILE|FOLDER",
        help="a rig's folder or rig.toml, a run sheet, or a folder of them; a shipped rig's name works too",
    )
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Check everything; the mistakes are the result. Exit code."""
    mistakes: dict[Mistake, None] = {}
    checked = 0
    for name in arguments.paths:
        for path in _files(name):
            found = check_path(path)
            checked += 1
            mistakes.update(dict.fromkeys(found))
            if not found:
                tell(f"{shown_path(path) if isinstance(path, Path) else path}: right")
    for mistake in mistakes:
        say(str(mistake))
    if mistakes:
        tell(f"{len(mistakes)} mistake{'s' * (len(mistakes) > 1)}")
    return 1 if mistakes else 0


def _files(name: str) -> list[Path | str]:
    """What ``name`` stands for: a shipped rig, a file, or the rigs and run sheets in a folder."""
    if name.partition(":")[0] in shipped_names():
        return [name]
    path = Path(name)
    if not _is_folder(path):
        return [path]
    patterns = RIG_PATTERNS if (path / "rig.toml").exists() else FOLDER_PATTERNS
    try:
        found = [file for pattern in patterns for file in sorted(path.glob(pattern))]
    except OSError:  # a folder that may not be entered
        found = []
    return list(found or [path])


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except (OSError, ValueError):  # a name that no file can have
        return False


def check_path(path: Path | str) -> list[Mistake]:
    """Every mistake in one file, or in the rig of that name."""
    try:
        if isinstance(path, Path) and _is_folder(path):
            what = "there is no rig and no run sheet in this folder."
            return [Mistake(shown_path(path), 1, what, "Name another folder, or a file.")]
        if isinstance(path, str) or path.name == "rig.toml":
            rig = plant.rig(str(path))
            _caution(rig)
            folder = find_rig(str(path)).folder
            found = [m for one in sorted(folder.glob("drawing_*.toml")) for m in drawing_mistakes(one, rig)]  # fmt: skip
            return found + [m for one in sorted(folder.glob("wiring_*.toml")) for m in plant.wiring_mistakes(one, rig)]  # fmt: skip
        document = read_toml(path)
        if path.name in CATALOGUES:
            CATALOGUES[path.name](path)
            return []
        if "wiring" in document.values:
            return plant.wiring_mistakes(path, plant.rig(str(path.parent)))
        if "drawing" in document.values:
            return drawing_mistakes(path, plant.rig(str(path.parent)))
        if isinstance(document.values.get("rig"), dict):
            what = "a rig's file must be called rig.toml."
            return [document.mistake(("rig",), what, "Rename it, or check its folder.")]
        return check_sheet(path, plant.rig_near, plant.tags, plant.faults())[2]
    except InputError as error:
        return error.mistakes or [Mistake(str(path), 1, str(error))]


def drawing_mistakes(path: Path, rig: Rig) -> list[Mistake]:
    """What is wrong with a drawing of a rig, from the top down."""
    try:
        found = drawing_faults(load_drawing(path), **plant.drawn_names(rig))
    except InputError as error:
        found = error.mistakes
    return sorted(found, key=lambda mistake: mistake.line)


def _caution(rig: Rig) -> None:
    """A flammable fluid carries its caution wherever its rig is checked."""
    from sim.fluid import Fluid

    safety_class = Fluid.load(rig.fluid_name).safety_class
    for caution in cautions_for(f"safety-class:{safety_class}"):
        tell(f"{rig.fluid_name}: {caution.line(safety_class=safety_class)}")


def checked_sheet(path: Path) -> tuple[RunSheet, Rig]:
    """A run sheet that is right, and its rig. Raises InputError with every mistake."""
    sheet, rig, mistakes = check_sheet(path, plant.rig_near, plant.tags, plant.faults())
    if sheet is None or rig is None:
        raise InputError(mistakes)
    return sheet, rig
