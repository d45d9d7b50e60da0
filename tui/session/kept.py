"""All that lasts of one session, in one hand: settings and their file, notebook, log, autosave, and what an earlier session has left."""

from __future__ import annotations

from dataclasses import dataclass, field

from sim.units import Family
from tui.session.autosave import Keeper, Left, left_behind
from tui.session.folders import settings_path, state_folder
from tui.session.log import SessionLog
from tui.session.notebook import Notebook
from tui.session.settings import Settings, SettingsFile, UnitSettings
from tui.words import Units

QUANTITIES = {
    "pressure": "pressure",
    "temperature": "temperature",
    "mass": "mass",
    "flow": "mass flow",
    "power": "power",
}
"""Key of the settings -> quantity of ``sim.units``."""


@dataclass
class Kept:
    """With no file and no keeper nothing is written: that is how a test has it."""

    settings: Settings = field(default_factory=Settings)
    file: SettingsFile | None = None
    notebook: Notebook = field(default_factory=Notebook)
    log: SessionLog = field(default_factory=SessionLog)
    keeper: Keeper | None = None
    left: Left | None = None
    offers_tour: bool = False
    """Only a person's own start offers the tour, and the settings may say that it is over."""


def opened() -> Kept:
    """The person's settings, and an autosave for this process."""
    file, state = SettingsFile(settings_path()), state_folder()
    kept = Kept(settings=file.read(), file=file)
    kept.left = next(left_behind(state), None)
    kept.keeper = Keeper(state, kept.notebook)
    return kept


def units_of(chosen: UnitSettings, rig: Family = "si") -> Units:
    """What the screen shows: the rig's preset unless the person says otherwise."""
    family = rig if chosen.system == "rig" else chosen.system
    own = tuple((quantity, str(getattr(chosen, key))) for key, quantity in QUANTITIES.items() if getattr(chosen, key))  # fmt: skip
    return Units(family, chosen.beside, own, chosen.decimal_comma)
