"""What every command has: its keys, its words on the last line, its help, what it does."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class Command:
    """Base. ``run`` acts on the bench's screen."""

    name: ClassVar[str] = ""
    keys: ClassVar[tuple[str, ...]] = ()
    shown_key: ClassVar[str] = ""
    """How the help writes the key."""
    shown_in_footer: ClassVar[str] = ""
    """How the last line writes it, where one word there stands for two keys; '' for the same."""
    footer: ClassVar[str] = ""
    """Words on the last line; '' keeps it off."""
    group: ClassVar[str] = ""
    alarm: ClassVar[bool] = False
    ready_only: ClassVar[bool] = False
    """Works only when the plant is there."""

    @property
    def help(self) -> str:
        """One line of help."""
        return (self.__doc__ or "").strip()

    @property
    def title(self) -> str:
        """The name in the command palette."""
        return self.name.replace("_", " ").capitalize()

    def run(self, screen: BenchScreen) -> None:
        """Do it."""
        raise NotImplementedError(self.name)
