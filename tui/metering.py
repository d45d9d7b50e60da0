"""What meters keep for the person in front of them: the hand meter's reading and its peak, and the peaks of the panel meters. Lives in the plant's thread.

The plant itself keeps the peaks of its panel meters, step by step and without the displays' lag, so that no start slips through at any pace. The hand meter
is looked at every 20 ms of the plant's time while its peak is held, as a meter's peak circuit does; at a high pace as often as this machine can afford, and always
where no clock runs that would have to be kept up with.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from tui.meter import FIRST_USE, Use
from tui.plant import Bench, Measured

LOOK_S = 0.02
"""Plant seconds between two looks: a period of the mains, over which an rms value is defined."""
MOST_LOOKS = 8
"""In one step of the runner, so that a fast pace stays fast."""
PANEL = ("voltage_v", "current_a", "power_w")
Ask = Callable[[Bench, Use], Measured]


@dataclass(frozen=True, slots=True)
class Meters:
    """For the screen: the hand meter now, its largest reading, why it reads nothing, and the largest readings of the panel."""

    use: Use = FIRST_USE
    measured: Measured | None = None
    largest: Measured | None = None
    unread: str = ""
    peaks: Mapping[str, float] = field(default_factory=dict)
    """Reading to its largest value since the key was pressed; empty while nothing is held."""


NO_METERS = Meters()


class Metering:
    """Keeps it."""

    def __init__(self, ask: Ask | None) -> None:
        self.ask = ask
        self.use: Use | None = None
        self.now = NO_METERS

    def take_up(self, use: Use) -> None:
        """A new use of the meter. Another place or mode begins a new peak, and so does holding anew."""
        same = self.use is not None and (self.use.mode, self.use.between, self.use.around) == (use.mode, use.between, use.around)  # fmt: skip
        held = use.holding and self.holding
        self.now = Meters(use, largest=self.now.largest if same and held else None, peaks=self.now.peaks if held else {})  # fmt: skip
        self.use = use

    @property
    def holding(self) -> bool:
        """True while peaks are held."""
        return self.use is not None and self.use.holding

    def pieces(self, seconds: float, longest_s: float) -> int:
        """Into how many pieces ``seconds`` of the plant's time are cut: none longer than ``longest_s``, and while peaks are held one for every look."""
        least = math.ceil(seconds / longest_s - 1e-9)
        looks = min(MOST_LOOKS, math.ceil(seconds / LOOK_S - 1e-9)) if self.holding else 1
        return max(1, least, looks)

    def hold_anew(self) -> None:
        """Peaks are held from now on, none from before."""
        use = replace(self.use or FIRST_USE, holding=True)
        self.use = None
        self.now = NO_METERS
        self.take_up(use)

    def advance(self, bench: Bench, seconds: float) -> None:
        """Let time pass at no pace: while a peak of the hand meter is held looked at every ``LOOK_S``."""
        looking = self.use is not None and self.use.holding and self.use.complete
        pieces = max(1, math.ceil(seconds / LOOK_S - 1e-9)) if looking else 1
        for _ in range(pieces):
            bench.advance(seconds / pieces)
            if looking:
                self.look(bench)

    def look(self, bench: Bench) -> Meters:
        """Look at the plant now."""
        if self.use is None:
            return self.now
        measured, unread = self._measured(bench, self.use)
        largest, peaks = None, self.now.peaks
        if self.holding:
            largest = larger(self.now.largest, measured)
            if not peaks:
                bench.clear_peaks()
            kept = bench.peaks()
            peaks = {key: kept[key] for key in PANEL if key in kept}
        self.now = Meters(self.use, measured, largest, unread, peaks)
        return self.now

    def _measured(self, bench: Bench, use: Use) -> tuple[Measured | None, str]:
        if self.ask is None or not use.complete:
            return None, ""
        try:
            return self.ask(bench, use), ""
        except (
            Exception
        ) as error:  # a cover in the way, a wire that is not there: the person is told
            return None, str(error)


def larger(kept: Measured | None, new: Measured | None) -> Measured | None:
    """The larger of two readings; one that was refused or over the range counts for nothing."""
    if new is None or new.refusal or not math.isfinite(new.value):
        return kept
    return new if kept is None or abs(new.value) > abs(kept.value) else kept
