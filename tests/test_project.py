"""The project keeps to its own rules: what lies at the top, how long files are, what imports what, and that the two texts for people are true."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from sim.catalogue import CATALOGUE
from sim.errors import UsageError
from sim.rig import load_rig
from sim.rig_find import shipped_folder, shipped_names
from tui.cli import parser_for_commands, parser_for_opening, with_bare_targets
from tui.console.opening import COMMANDS

ROOT = Path(__file__).parents[1]
AT_THE_TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "sim", "tui", "tests", "rigs"}
LONGEST = 400
OF_A_SOURCE_ARCHIVE = {"PKG-INFO"}


def project_files() -> list[Path]:
    """Files of the project relative to its root: as git knows them, or in an unpacked archive all there are."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
    asked = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    if asked.returncode == 0 and (ROOT / ".git").exists():
        names = [Path(name) for name in asked.stdout.split("\0") if name]
        return [name for name in names if (ROOT / name).is_file()]
    found = (path.relative_to(ROOT) for path in ROOT.rglob("*") if path.is_file())
    return [name for name in found if name.name not in OF_A_SOURCE_ARCHIVE]


FILES = project_files()
MODULES = [name for name in FILES if name.suffix == ".py"]


def test_the_top_level_holds_what_was_agreed_and_dotfiles() -> None:
    top = {name.parts[0] for name in FILES}
    assert {name for name in top if not name.startswith(".")} == AT_THE_TOP


@pytest.mark.parametrize("folder", ["sim", "tui", "tests"])
def test_no_module_is_too_long_to_be_read(folder: str) -> None:
    lines = {
        name.as_posix(): (ROOT / name).read_text(encoding="utf-8").count("\n")
        for name in MODULES
        if name.parts[0] == folder
    }
    assert {name: count for name, count in lines.items() if count > LONGEST} == {}


def test_no_test_folder_is_a_package() -> None:
    assert [name for name in MODULES if name.parts[0] == "tests" and name.stem == "__init__"] == []


def test_no_file_names_a_place_on_somebody_s_machine() -> None:
    starts = ("home", "root", "Users", "work", "tmp", "opt")
    place = re.compile(rf"(?<![\w.$}}~])/(?:{'|'.join(starts)})/\w|\b[A-Z]:\\\w")
    named = []
    for name in FILES:
        if name.suffix in (".npz", ".png"):
            continue
        for number, line in enumerate((ROOT / name).read_text(encoding="utf-8").splitlines(), 1):
            if place.search(line):
                named.append(f"{name.as_posix()}:{number}")
    assert named == []


@pytest.mark.parametrize("module", ["sim", "tui.app", "tui.cli", "sim.rig_find"])
def test_an_early_import_brings_no_compiler_and_no_property_library(module: str) -> None:
    heavy = ("numba", "CoolProp", "scipy")
    code = f"import sys, {module}; print([name for name in {heavy!r} if name in sys.modules])"
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_import_contracts_hold() -> None:
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()", "--no-cache"]  # fmt: skip
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


# The texts for people.


def spoken_of(text: str) -> set[str]:
    """Tags in backticks: `HV-11`."""
    return set(re.findall(r"`([A-Z]{2,4}-\d+)(?:\.\w+)?`", text))


def test_the_readme_names_only_tags_of_the_default_rig() -> None:
    named = spoken_of((ROOT / "README.md").read_text(encoding="utf-8"))
    assert named
    assert named - set(load_rig("fennick_bench").tags) == set()


def readme_commands() -> list[str]:
    """Every ``rimebench`` command in the README."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = [line.partition("#")[0].strip() for line in text.splitlines()]
    return [
        *(line for line in lines if re.match(r"rimebench(\s|$)", line)),
        *re.findall(r"`(rimebench [^`]+)`", text),
    ]


@pytest.mark.parametrize("command", readme_commands())
def test_every_command_of_the_readme_is_one(command: str) -> None:
    words = command.split()[1:]
    of_a_command = bool(words) and words[0] in COMMANDS
    parser = parser_for_commands() if of_a_command else parser_for_opening()
    try:
        parser.parse_args(with_bare_targets(words) if words else words)
    except (SystemExit, UsageError) as error:
        pytest.fail(f"{command}: {error}")


def test_every_module_of_the_plant_and_the_screen_stands_on_the_map() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    words = set(re.findall(r"[\w/]+\.py\b|\w+/", text))
    lost = [
        name.as_posix()
        for name in MODULES
        if name.parts[0] in ("sim", "tui")
        and name.stem != "__init__"
        and name.name not in words
        and not (len(name.parts) > 2 and f"{name.parts[1]}/" in words)
    ]
    assert lost == []


def test_the_map_names_no_module_that_is_gone() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    there = {name.as_posix() for name in MODULES} | {name.name for name in MODULES}
    there |= {"/".join(name.parts[1:]) for name in MODULES}
    assert set(re.findall(r"[\w/]+\.py\b", text)) - there == set()


@pytest.mark.parametrize("rig", shipped_names())
def test_every_shipped_rig_has_a_picture_and_drawings(rig: str) -> None:
    folder = shipped_folder() / rig
    assert "<svg" in (folder / "picture.svg").read_text(encoding="utf-8")
    assert {path.name for path in folder.glob("drawing_*.toml")} == {
        f"drawing_{size}.toml" for size in "sml"
    }


def test_every_kind_of_part_is_explained_in_its_file() -> None:
    for kind in CATALOGUE.values():
        module = sys.modules[kind.__module__]
        first = (module.__doc__ or "").split("\n\n")[0]
        assert len(first) > 20, kind.__module__
