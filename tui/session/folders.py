"""Where files live that outlast a session: settings in the platform's config folder, autosaves in its state folder.

``RIMEBENCH_CONFIG`` and ``RIMEBENCH_STATE`` name other folders.
"""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_config_path, user_state_path

NAME = "rimebench"


def settings_path() -> Path:
    """The settings file; it need not exist."""
    chosen = os.environ.get("RIMEBENCH_CONFIG")
    return (Path(chosen) if chosen else user_config_path(NAME)) / "settings.toml"


def state_folder() -> Path:
    """The folder of the autosaves; it need not exist."""
    chosen = os.environ.get("RIMEBENCH_STATE")
    return Path(chosen) if chosen else user_state_path(NAME) / "sessions"
