"""The list of all commands and parts, found by words of their names or of what they do."""

from __future__ import annotations

from rich.markup import escape
from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

BY_NAME, BY_HELP = 1.0, 0.5
OF_EVERY_PART = "Select this part and open its card."
"""What the list says of every part, and so tells nothing of one."""


def plain(text: str) -> str:
    """As it is compared: tags are typed with hyphens or without."""
    return text.lower().replace("-", "")


class EveryCommand(Provider):
    """Searches what the app offers (``App.get_system_commands``): every typed word has to stand there as it was typed, in the name before in the help."""

    async def discover(self) -> Hits:
        """All of it, in its own order."""
        for title, help_text, callback, _ in self.app.get_system_commands(self.screen):
            yield DiscoveryHit(Content(title), callback, text=title, help=escape(help_text))

    async def search(self, query: str) -> Hits:
        """What holds every word."""
        words = plain(query).split()
        for title, help_text, callback, _ in self.app.get_system_commands(self.screen):
            name = plain(title)
            told = name if help_text == OF_EVERY_PART else f"{name} {plain(help_text)}"
            if all(word in told for word in words):
                score = BY_NAME if all(word in name for word in words) else BY_HELP
                yield Hit(score, Content(title), callback, text=title, help=escape(help_text))
