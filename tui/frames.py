"""When to paint: ten frames a second while the plant runs and somebody looks, none while nothing changes.

Numbers change at most four times a second, so that they can be read; needles and flow marks move with every frame. When painting takes too large a share
of its period for a while, the rate steps down and says so. Flow marks move with plant time, so a held plant stands still.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from tui.plant import Snapshot

RATES = (10.0, 5.0, 2.0)
AWAY_RATE = 2.0
"""While the terminal says that it has lost the focus."""
BEHIND_RATE = 2.0
"""While a dialog lies over the bench: Textual then shades the whole screen anew for every frame, at six times a frame's cost (measured)."""
NUMBERS_S = 0.25
LARGEST_SHARE = 0.4
"""Of the frame's period that painting may take."""
TRIAL_S = 2.0
"""How long it must take too long before the rate steps down."""


@dataclass
class FrameClock:
    """Decides; the screen paints."""

    chosen: float = 10.0
    lowered: float = 10.0
    away: bool = False
    behind: bool = False
    _busy_since: float | None = None
    _last_frame: float = -1e9
    _last_number: float = -1e9
    _last_key: tuple[object, ...] = ()
    _shown_time_s: float = 0.0
    numbers: Snapshot | None = field(default=None, repr=False)
    """The snapshot whose numbers are shown."""

    @property
    def rate(self) -> float:
        """Frames a second now."""
        least = [AWAY_RATE] * self.away + [BEHIND_RATE] * self.behind
        return min(self.chosen, self.lowered, *least)

    @property
    def slowed(self) -> bool:
        """True when this machine cannot keep the chosen rate."""
        return self.lowered < self.chosen

    def due(self, now: float, key: tuple[object, ...], moving: bool, at_once: bool = False) -> bool:
        """Is a frame due? ``key`` holds all that a frame shows; ``moving``: something moves although it is equal (a progress bar); ``at_once``: it waits for no rate."""
        if now - self._last_frame < 0.9 / self.rate and not at_once:
            return False
        if key == self._last_key and not moving:
            return False
        self._last_frame, self._last_key = now, key
        return True

    def shows(self, key: tuple[object, ...]) -> bool:
        """Is what ``key`` holds on the screen already?"""
        return key == self._last_key

    def numbers_from(self, now: float, newest: Snapshot | None) -> Snapshot | None:
        """The snapshot whose numbers to print: the newest, but not more often than a person can read."""
        if newest is None or self.numbers is None or now - self._last_number >= NUMBERS_S or newest.time_s < self.numbers.time_s:  # fmt: skip
            self.numbers, self._last_number = newest, now
        return self.numbers

    def fresh_numbers(self) -> None:
        """A hand has moved something: do not wait to print what follows."""
        self._last_number = -1e9

    def passed_s(self, newest: Snapshot | None, pace: int) -> float:
        """Seconds by which the marks move: plant time over pace, so that they never race."""
        if newest is None:
            return 0.0
        step = newest.time_s - self._shown_time_s
        self._shown_time_s = newest.time_s
        return min(1.0, step / max(1, pace)) if step > 0 else 0.0

    def painted(self, now: float, took_s: float) -> None:
        """Account for a frame; step the rate down after two seconds of too much work."""
        if took_s * self.rate <= LARGEST_SHARE:
            self._busy_since = None
        elif self._busy_since is None:
            self._busy_since = now
        elif now - self._busy_since > TRIAL_S:
            slower = [rate for rate in RATES if rate < self.rate]
            self.lowered = slower[0] if slower else self.lowered
            self._busy_since = None
