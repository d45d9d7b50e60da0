"""The list of all commands and parts, found by words of their names or of what they do."""

from __future__ import annotations

from textual.command import DiscoveryHit, Hit, Hits, Provider

BY_NAME, BY_HELP = 1.0, 0.5


class EveryCommand(Provider):
    """Searches what the app offers (``App.get_system_commands``): every typed word has to stand there as it was typed, in the name before in the help."""

    async def discover(self) -> Hits:
        """All of it, in its own order."""
        for title, help_text, callback, _ in self.app.get_system_commands(self.screen):
            yield DiscoveryHit(title, callback, help=help_text)

    async def search(self, query: str) -> Hits:
        """What holds every word."""
        words = query.lower().split()
        for title, help_text, callback, _ in self.app.get_system_commands(self.screen):
            name = title.lower()
            if all(word in name for word in words):
                yield Hit(BY_NAME, title, callback, help=help_text)
            elif all(word in f"{name} {help_text.lower()}" for word in words):
                yield Hit(BY_HELP, title, callback, help=help_text)
