"""A person's settings: read from TOML, every mistake told with its line and a remedy, written whole.

A file with a mistake is never written over: its person mends it, and until then the defaults hold. A file that is not there is no mistake.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any, ClassVar, Literal, get_args, get_type_hints

from sim.errors import InputError, Mistake
from sim.record import Reader, did_you_mean
from sim.tomlfile import TomlFile, read_toml
from tui.session.writing import put_in_place

HEAD = "# Settings of rimebench. The dialog (key S) writes this file anew; edit it while the program is closed.\n"


@dataclass(frozen=True, kw_only=True)
class UnitSettings:
    """The ``[units]`` table. "rig": as the rig names it; a quantity named here goes its own way."""

    system: Literal["rig", "si", "us"] = "rig"
    beside: bool = False
    """The other system's number stands beside."""
    pressure: Literal["", "bar g", "kPa g", "psi g", "inHg g"] = ""
    temperature: Literal["", "°C", "°F", "K"] = ""
    mass: Literal["", "g", "kg", "oz", "lb"] = ""
    flow: Literal["", "g/s", "kg/h", "lb/h"] = ""
    power: Literal["", "W", "kW", "Btu/h"] = ""
    """Heat; electrical power is in watts everywhere."""
    decimal_comma: bool = False


@dataclass(frozen=True, kw_only=True)
class ScreenSettings:
    """The ``[screen]`` table."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {"frames_per_s": (1, 10)}

    theme: Literal["rime-dark", "rime-light", "rime-contrast", "rime-mono"] = "rime-dark"
    characters: Literal["full", "no-braille", "ascii"] = "full"
    pipes: Literal["temperature", "side"] = "temperature"
    """What the colour of a pipe says."""
    frames_per_s: int = 10
    reduced_motion: bool = False
    """Flow marks stand still, nothing blinks or slides."""
    tour: Literal["offer", "over"] = "offer"
    """Whether the tour is offered at a start; over once it was taken or declined."""


@dataclass(frozen=True, kw_only=True)
class ProjectorSettings:
    """The ``[projector]`` table, chosen on its page."""

    readings: tuple[str, ...] = ()
    """Names of readings, at most five; the usual ones fill them up."""


@dataclass(frozen=True)
class Settings:
    """All tables."""

    units: UnitSettings = field(default_factory=UnitSettings)
    screen: ScreenSettings = field(default_factory=ScreenSettings)
    projector: ProjectorSettings = field(default_factory=ProjectorSettings)


TABLES: dict[str, type] = {
    "units": UnitSettings,
    "screen": ScreenSettings,
    "projector": ProjectorSettings,
}
IN_DIALOG = ("units", "screen")
"""Tables whose settings have a few choices each."""
FRAMES_PER_S = (2, 5, 10)
"""What the dialog offers."""


def read_settings(path: Path) -> Settings:
    """The settings of a file; the defaults when there is none. Raises InputError with every mistake."""
    try:
        if not path.exists():
            return Settings()
    except OSError:  # a folder that may not be looked into holds no settings for this person
        return Settings()
    document = read_toml(path)
    reader = Reader(document)
    tables = {name: _table(reader, document, name) for name in TABLES}
    for name in document.values:
        if name not in TABLES:
            reader.wrong((name,), f"there is no table {name}.", did_you_mean(name, TABLES))
    if reader.mistakes:
        raise InputError(sorted(reader.mistakes, key=lambda mistake: mistake.line))
    return Settings(**{name: table for name, table in tables.items() if table is not None})


def _table(reader: Reader, document: TomlFile, name: str) -> Any:
    return reader.read(TABLES[name], (name,), name) if name in document.values else None


def written(settings: Settings) -> str:
    """As TOML; only what differs from the defaults, so that a later default reaches who never chose."""
    lines = [HEAD]
    for name, cls in TABLES.items():
        table, plain = getattr(settings, name), cls()
        lines.append(f"\n[{name}]\n")
        lines += [f"{one.name} = {_toml(getattr(table, one.name))}\n" for one in fields(cls) if getattr(table, one.name) != getattr(plain, one.name)]  # fmt: skip
    return "".join(lines)


def _toml(value: object) -> str:
    if isinstance(value, tuple):
        return f"[{', '.join(map(_toml, value))}]"
    return str(value).lower() if isinstance(value, bool) else str(value) if isinstance(value, int) else f'"{value}"'  # fmt: skip


def choices_of(table: str, key: str) -> tuple[Any, ...]:
    """What a setting may be, in the order of the dialog."""
    if key == "frames_per_s":
        return FRAMES_PER_S
    hint = get_type_hints(TABLES[table])[key]
    return (False, True) if hint is bool else get_args(hint)


def following(settings: Settings, table: str, key: str) -> Settings:
    """The settings with the next choice for one key."""
    old = getattr(settings, table)
    choices = choices_of(table, key)
    now = getattr(old, key)
    index = choices.index(now) + 1 if now in choices else 0
    return replace(settings, **{table: replace(old, **{key: choices[index % len(choices)]})})


@dataclass
class SettingsFile:
    """The file of one person. ``told`` says what was wrong with it; nothing is written while there is something."""

    path: Path
    told: list[str] = field(default_factory=list)
    writes: Callable[[Path, bytes], None] = put_in_place

    def read(self) -> Settings:
        """What holds: the file's settings, or the defaults and a word about why."""
        try:
            return read_settings(self.path)
        except InputError as error:
            mistakes: list[Mistake | str] = [*error.mistakes] or [str(error)]
            self.told = [str(mistake) for mistake in mistakes]
            return Settings()

    def write(self, settings: Settings) -> str:
        """Keep them; returns a sentence when they could not be kept."""
        if self.told:
            return f"Not kept: {self.path} has mistakes. Mend it, or remove it, and start again."
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self.writes(self.path, written(settings).encode())
        except (
            Exception
        ) as error:  # a read-only home, a full disk: the settings hold for this session
            return f"Settings hold for this session only. {error}"
        return ""
