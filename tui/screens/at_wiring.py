"""What the bench's screen does at the wiring: cursor, probes, clamp, knob, leads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.cautions import for_meter, lines_of
from tui.desk import Direction, toggled
from tui.draw.ladder_cells import Ladder, Spot
from tui.draw.layout import View
from tui.draw.meter_face import MeterFrame
from tui.orders import Measure, Record
from tui.plant import TagInfo
from tui.wiring_plan import WiringPlan

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

ELSEWHERE = "this is done at the wiring: view 7"
JUMPER = ("jumper.1", "jumper.2")
NOWHERE = "none"


class AtWiring:
    """Mixed into ``BenchScreen``."""

    def _screen(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def at_wiring(self) -> bool:
        """True when the wiring fills the screen and has been drawn."""
        me = self._screen()
        return me.desk.view is View.WIRING and me.board.ladder.ladder is not None

    @property
    def _ladder(self) -> Ladder:
        ladder = self._screen().board.ladder.ladder
        assert ladder is not None
        return ladder

    # Cursor.

    def move_at_wiring(self, direction: Direction) -> None:
        """To the nearest terminal or wire."""
        self._screen().meter.move(self._ladder, direction)
        self._select()

    def step_at_wiring(self, step: int) -> None:
        """To the next terminal or wire in reading order."""
        self._screen().meter.step(self._ladder, step)
        self._select()

    def click_at_wiring(self, spot: Spot, button: int) -> None:
        """Left: probe 1, or the clamp round a wire. Right: probe 2, or only the cursor on a wire."""
        me = self._screen()
        me.meter.stand(spot)
        self._select()
        if not spot.lead:
            self.probe(1 if button == 3 else 0)
        elif button != 3:
            self.clamp()

    def _select(self) -> None:
        """What the cursor stands on is the selected part: enter works it."""
        me = self._screen()
        cursor = me.meter.cursor
        me.desk.selected = self._ladder.plan.device_of(cursor) or cursor

    def _here(self, *, lead: bool, otherwise: str) -> str:
        """The terminal or wire under the cursor; '' after saying that it must be the other."""
        me = self._screen()
        if not self.at_wiring:
            me.notice(ELSEWHERE)
            return ""
        spot = me.meter.here(self._ladder)
        if spot.lead != lead:
            me.notice(otherwise)
            return ""
        return spot.name

    # The meter.

    def probe(self, number: int) -> None:
        """Put a probe on the terminal under the cursor, or take it off."""
        me = self._screen()
        terminal = self._here(lead=False, otherwise="a probe goes on a terminal, not on a wire's insulation")  # fmt: skip
        if terminal:
            me.meter.probe(number, terminal)
            self.use_meter()

    def clamp(self) -> None:
        """Clamp the wire under the cursor; again: the other way round; again: off."""
        me = self._screen()
        tag = self._here(lead=True, otherwise="the clamp goes round a wire: put the cursor on one")
        if tag:
            me.meter.clamp(tag)
            self.use_meter()

    def turn_knob(self, step: int) -> None:
        """The meter's next mode."""
        me = self._screen()
        if self.at_wiring:
            me.meter.turn_knob(step)
            self.use_meter()
        else:
            me.notice(ELSEWHERE)

    def zero_leads(self) -> None:
        """Touch the probes together and press zero."""
        me = self._screen()
        if not self.at_wiring:
            me.notice(ELSEWHERE)
            return
        me.meter.zeroed = True
        self.use_meter()
        me.notice("leads zeroed: their ohms no longer count")

    def record_reading(self) -> None:
        """What the meter shows goes on record."""
        me = self._screen()
        if not self.at_wiring:
            me.notice(ELSEWHERE)
        elif not me.meter.use.complete:
            me.notice("place the probes or the clamp first")
        else:
            me.send(Record(use=me.meter.use))
            me.notice("on record: see the list of events")

    def hold_peaks(self) -> None:
        """Hold the largest readings from now on, or let them go."""
        me = self._screen()
        me.meter.holding = not me.meter.holding
        self.use_meter()
        me.notice("peak hold: the largest readings from now on" if me.meter.holding else "peak hold off")  # fmt: skip

    def use_meter(self) -> None:
        """Tell the plant's thread."""
        me = self._screen()
        me.send(Measure(use=me.meter.use))

    def show_wire_tags(self) -> None:
        """Every wire's tag on it, or none."""
        me = self._screen()
        me.meter.tags_shown = not me.meter.tags_shown

    # Hands.

    def lift_lead(self) -> None:
        """Lift the lead under the cursor, or put it back."""
        me = self._screen()
        tag = self._here(lead=True, otherwise="put the cursor on the wire whose lead you want to lift")  # fmt: skip
        info = me.scene.tags.get(tag)
        value = toggled(info, me.aimed(tag)) if info is not None else None
        if value is not None:
            me.set_tag(tag, value)
        elif tag:
            me.notice(f"{tag} cannot be lifted here")

    def clip_jumper(self) -> None:
        """Clip the jumper lead's first end on the terminal under the cursor, then its second; then take both off."""
        me = self._screen()
        if not self.at_wiring:
            me.notice(ELSEWHERE)
            return
        loose = [tag for tag in JUMPER if me.aimed(tag) == NOWHERE]
        if not loose and all(tag in me.scene.tags for tag in JUMPER):
            for tag in JUMPER:
                me.set_tag(tag, NOWHERE)
            return
        terminal = self._here(lead=False, otherwise="a jumper lead is clipped on terminals")
        if terminal and loose:
            me.set_tag(loose[0], terminal)

    # Words.

    def meter_frame(self) -> MeterFrame:
        """What the painter of the meter needs."""
        me = self._screen()
        plan, meters = me.report.plan, me.report.meters
        if plan is None or me.desk.view is not View.WIRING:
            return MeterFrame(me.meter, meters, by_eye=me.scene.own_work)
        ids = for_meter(plan, me.meter, meters.measured if meters.use == me.meter.use else None)
        return MeterFrame(
            me.meter, meters, self._here_words(plan), lines_of(ids), me.scene.own_work
        )

    def spot_words(self) -> list[str]:
        """What the cursor stands on; nothing on a rig without a wiring."""
        plan = self._screen().report.plan
        return self._here_words(plan) if plan is not None else []

    def spot_tag(self) -> str:
        """The device or wire under the cursor."""
        cursor = self._screen().meter.cursor
        return self._ladder.plan.device_of(cursor) or cursor

    def _here_words(self, plan: WiringPlan) -> list[str]:
        me = self._screen()
        cursor = me.meter.cursor
        lead = plan.lead(cursor)
        if lead is not None:
            amps = " in the clamp" if any(jaw.tag == cursor for jaw in me.meter.jaws) else ""
            state = me.scene.setting_words(cursor) if cursor in me.scene.tags else ""
            return [f"{cursor} from {lead.a} to {lead.b}", f"{state}{amps}".strip()]
        device = plan.device_of(cursor)
        words = [f"{cursor} {plan.what.get(device, '')}".rstrip()]
        info: TagInfo | None = me.scene.tags.get(device)
        if info is not None:
            words.append(f"{device}: {me.scene.setting_words(device)}")
        if "terminals" in plan.cautions.get(device, ()):
            ends = [wire.b if wire.a == cursor else wire.a for wire in plan.leads if cursor in (wire.a, wire.b)]  # fmt: skip
            words.append(f"Under the cover. Its lead ends on the panel at {' and '.join(ends)}.")
        return words
