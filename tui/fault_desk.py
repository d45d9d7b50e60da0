"""What the instructor has chosen at the fault board: search, fault, severity, place, onset; and what a key does to them. No Textual here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tui.faults import Entry, Faults, InNow
from tui.orders import InsertFault
from tui.roles import COLD_FAN, REVERSES, STARTS, WARM_FAN, Roles

ONSETS = ("at once", "grows bit by bit", "in a while", "when something happens", "comes and goes")
KINDS = {
    "trip": "a protector trips",
    "contact": "a control opens or closes",
    "reset": "a reset is pressed",
    "lift": "a relief valve lifts",
}
ACTS = {
    STARTS: "the compressor is switched",
    COLD_FAN: "the evaporator fan is switched",
    WARM_FAN: "the condenser fan is switched",
    REVERSES: "the mode is changed",
}
TIMES_S = (5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0)
SEVERITY_STEP, DUTY_STEP = 0.05, 0.1
GROWS, LATER, WAITS, COMES = 1, 2, 3, 4


def events_of(roles: Roles) -> dict[str, str]:
    """What a waiting fault can wait for on a rig: an event's kind, or kind and tag -> in words."""
    return KINDS | {f"command:{tag}": words for role, words in ACTS.items() for tag in roles.named(role)[:1]}  # fmt: skip


@dataclass
class FaultDesk:
    """Choices at the board."""

    query: str = ""
    searching: bool = False
    chosen: str = ""
    focus: str = "fault"
    severity: float = 0.5
    place: int = 0
    onset: int = 0
    event: int = 0
    time: int = 4
    duty: float = 0.5
    put_in: list[tuple[str, str]] = field(default_factory=list)
    """(name, place) of what was put in from here, the newest last."""
    pin: str = ""
    events: Mapping[str, str] = field(default_factory=lambda: KINDS)
    """What can be waited for, in words."""

    @property
    def awaited(self) -> str:
        """What is waited for."""
        return list(self.events)[self.event % len(self.events)]

    def found(self, entries: tuple[Entry, ...]) -> list[Entry]:
        """What the search leaves."""
        words = self.query.lower().split()
        return [entry for entry in entries if entry.found_by(words)]

    def entry(self, entries: tuple[Entry, ...]) -> Entry | None:
        """The chosen fault; the first one found when the chosen one is not among them."""
        found = self.found(entries)
        return next((one for one in found if one.name == self.chosen), found[0] if found else None)

    def choose(self, name: str) -> None:
        """Choose a fault; its usual place goes with it."""
        if name != self.chosen:
            self.chosen, self.place = name, 0

    def step(self, entries: tuple[Entry, ...], rows: int) -> None:
        """The fault so many rows further down."""
        found, now = self.found(entries), self.entry(entries)
        if now is not None:
            self.choose(found[max(0, min(len(found) - 1, found.index(now) + rows))].name)

    def fields(self, entry: Entry | None) -> list[str]:
        """What can be chosen for it, in order."""
        if entry is None:
            return ["fault"]
        names = ["fault", "severity", *(["place"] if len(entry.places) > 1 else []), "onset"]
        more = {GROWS: ["time"], LATER: ["time"], WAITS: ["event"], COMES: ["time", "duty"]}
        return names + more.get(self.onset, [])

    def next_field(self, entry: Entry | None, step: int) -> None:
        """Go to the next thing to choose."""
        names = self.fields(entry)
        here = names.index(self.focus) if self.focus in names else 0
        self.focus = names[(here + step) % len(names)]

    def change(self, entry: Entry, name: str, steps: int) -> None:
        """A step up or down on one thing."""
        if name == "place" and entry.places:
            self.place = (self.place + steps) % len(entry.places)
        elif name == "onset":
            self.onset = (self.onset + steps) % len(ONSETS)
        elif name == "event":
            self.event = (self.event + steps) % len(self.events)
        elif name == "time":
            self.time = max(0, min(len(TIMES_S) - 1, self.time + steps))
        elif name == "duty":
            self.duty = round(max(DUTY_STEP, min(1.0, self.duty + steps * DUTY_STEP)), 2)
        else:
            self.severity = round(max(SEVERITY_STEP, min(1.0, self.severity + steps * SEVERITY_STEP)), 2)  # fmt: skip

    def place_of(self, entry: Entry) -> str:
        """Where it is to sit; '' for the plant as a whole."""
        return entry.places[self.place % len(entry.places)] if entry.places else ""

    def order(self, entry: Entry) -> InsertFault:
        """What is asked of the plant."""
        seconds = TIMES_S[self.time]
        return InsertFault(
            name=entry.name, severity=self.severity, place=self.place_of(entry) or None,
            ramp_s=seconds if self.onset == GROWS else 0.0, in_s=seconds if self.onset == LATER else 0.0,
            on=self.awaited if self.onset == WAITS else "",
            period_s=seconds if self.onset == COMES else 0.0, duty=self.duty,
        )  # fmt: skip

    def there(self, entry: Entry, faults: Faults) -> InNow | None:
        """The same fault at the same place, if it is in."""
        return next((one for one in faults if (one.name, one.place) == (entry.name, self.place_of(entry))), None)  # fmt: skip
