"""One class for every command: its keys, its words on the last line, its help, what it does.

Bindings, last line, command palette and help screen are all made from this list, so a command cannot be in one of them and missing in another. The docstring is
the help text.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from tui.board_commands import BOARD_COMMANDS, COPY_COMMANDS
from tui.command import Command
from tui.help_commands import HELP_COMMANDS
from tui.meter_commands import METER_COMMANDS
from tui.session.commands import SESSION_COMMANDS
from tui.view_commands import VIEW_COMMANDS

if TYPE_CHECKING:
    from tui.desk import Direction
    from tui.screens.bench import BenchScreen


class EmergencyStop(Command):
    """Press the emergency stop HS-0, from anywhere, at once."""

    name, keys, shown_key, footer, group, alarm = "emergency_stop", ("0", "exclamation_mark"), "0 !", "STOP", "plant", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.emergency_stop()


class Hold(Command):
    """Hold the plant, or let it go on."""

    name, keys, shown_key, footer, group = "hold", ("space",), "space", "hold", "time"

    def run(self, screen: BenchScreen) -> None:
        screen.hold()


class Slower(Command):
    """Next slower pace: 60, 20, 10, 5, 2, 1, held; while held, the pace that space goes on with."""

    name, keys, shown_key, shown_in_footer, footer, group = "slower", ("comma", "left_square_bracket"), ", [", ",", "", "time"  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.change_pace(-1)


class Faster(Command):
    """Next faster pace: simulated seconds per second of yours; while held, the pace that space goes on with."""

    name, keys, shown_key, shown_in_footer, footer, group = "faster", ("full_stop", "right_square_bracket"), ". ]", ".", "pace", "time"  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.change_pace(1)


class Step(Command):
    """Let a held plant live for one second."""

    name, keys, shown_key, group, ready_only = "step", ("semicolon",), ";", "time", True

    def run(self, screen: BenchScreen) -> None:
        screen.step_once()


class GoOnUntil(Command):
    """Go on as fast as allowed until something happens, and hold then: steady running, a value, a trip, a time."""

    name, keys, shown_key, footer, group, ready_only = "go_on_until", ("W",), "W", "until", "time", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.ask_until()


class GoBack(Command):
    """Go back to an earlier moment and go on from there."""

    name, keys, shown_key, group, ready_only = "go_back", ("backspace",), "bksp", "time", True

    def run(self, screen: BenchScreen) -> None:
        screen.ask_back()


class Act(Command):
    """Work the selected part: open or shut a valve, turn a switch, or open its card."""

    name, keys, shown_key, footer, group, ready_only = "act", ("enter",), "enter", "act", "part", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.act()


class More(Command):
    """Open the selected part a little, or go to its next position. At the trends: half the time."""

    name, keys, shown_key, shown_in_footer, footer, group, ready_only = "more", ("plus", "equals_sign"), "+ =", "+", "", "part", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.nudge(1)


class Less(Command):
    """Shut the selected part a little, or go to its previous position. At the trends: twice the time."""

    name, keys, shown_key, footer, group, ready_only = "less", ("minus",), "-", "turn", "part", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.nudge(-1)


class Card(Command):
    """Open the card of the selected part: what it is, its settings, its cautions."""

    name, keys, shown_key, footer, group = "card", ("o",), "o", "card", "part"

    def run(self, screen: BenchScreen) -> None:
        screen.open_card()


class Alarm(Command):
    """Go to what has tripped, as the top line has it: its card, with what to look at first and its reset."""

    name, keys, shown_key, group, ready_only = "alarm", ("J",), "J", "part", True

    def run(self, screen: BenchScreen) -> None:
        screen.show_alarm()


class Jump(Command):
    """Show letters at every part; typing them selects it."""

    name, keys, shown_key, footer, group = "jump", ("g",), "g", "go to", "part"

    def run(self, screen: BenchScreen) -> None:
        screen.jump()


class Repair(Command):
    """Repair what was damaged on the selected part."""

    name, keys, shown_key, group, ready_only = "repair", ("r",), "r", "part", True

    def run(self, screen: BenchScreen) -> None:
        screen.repair()


class BeginAgain(Command):
    """Begin again: cold and equalised, or straight to steady running on a device."""

    name, keys, shown_key, footer, group = "begin_again", ("b",), "b", "begin", "plant"

    def run(self, screen: BenchScreen) -> None:
        screen.begin_again()


class SaturationCard(Command):
    """The pressure-temperature card of the refrigerant."""

    name, keys, shown_key, footer, group, ready_only = "saturation_card", ("T",), "T", "p-T card", "help", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.show_card()


class Cautions(Command):
    """The cautions: what holds on real plant."""

    name, keys, shown_key, group = "cautions", ("c",), "c", "help"

    def run(self, screen: BenchScreen) -> None:
        screen.show_cautions()


class Help(Command):
    """What you stand at: the chosen part, the view, a dialog. Once more: all keys, and how to read the drawing."""

    name, keys, shown_key, footer, group = "help", ("question_mark", "f1", "h"), "?", "help", "help"

    def run(self, screen: BenchScreen) -> None:
        screen.show_help()


class SaveBench(Command):
    """Save the bench to a file, to open it again with --load."""

    name, keys, shown_key, group, ready_only = "save", ("w",), "w", "plant", True

    def run(self, screen: BenchScreen) -> None:
        screen.save()


class AllCommands(Command):
    """All commands and parts by name: type words of it, or click."""

    name, keys, shown_key, shown_in_footer, footer, group = "all_commands", ("colon",), ": ^p", ":", "all", "help"  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.app.action_command_palette()


class Quit(Command):
    """Leave the bench; while the compressor runs, or with notes that are not saved, it asks first."""

    name, keys, shown_key, footer, group = "quit", ("q", "ctrl+q"), "q", "quit", "plant"

    def run(self, screen: BenchScreen) -> None:
        screen.ask_leave()


class Move(Command):
    """Select the nearest part in a direction; at the wiring the nearest terminal or wire."""

    direction: ClassVar[Direction] = "left"
    group = "part"

    def run(self, screen: BenchScreen) -> None:
        screen.move(self.direction)


def _move(way: str) -> type[Command]:
    return type(f"Move{way.capitalize()}", (Move,), {"__doc__": Move.__doc__, "name": f"move_{way}", "keys": (way,), "shown_key": "arrows", "direction": way})  # fmt: skip


class NextPart(Command):
    """Select the next part in reading order."""

    name, keys, shown_key, group = "next_part", ("tab",), "tab", "part"

    def run(self, screen: BenchScreen) -> None:
        screen.step_part(1)


class PreviousPart(Command):
    """Select the previous part in reading order."""

    name, keys, shown_key, group = "previous_part", ("shift+tab",), "shift+tab", "part"

    def run(self, screen: BenchScreen) -> None:
        screen.step_part(-1)


_CLASSES: tuple[type[Command], ...] = (
    EmergencyStop, Act, Less, More, Hold, Faster, Slower, Step, GoOnUntil, GoBack, Jump, Card, Alarm,
    *(_move(way) for way in ("left", "right", "up", "down")), NextPart, PreviousPart, Repair,
    *METER_COMMANDS, *BOARD_COMMANDS, *COPY_COMMANDS, *VIEW_COMMANDS, SaturationCard,
    *SESSION_COMMANDS, BeginAgain, SaveBench, Cautions, Help, *HELP_COMMANDS, AllCommands, Quit,
)  # fmt: skip
COMMANDS = tuple(cls() for cls in _CLASSES)
"""In the order in which help and palette list them."""
BY_NAME = {command.name: command for command in COMMANDS}
BY_KEY = {key: command.name for command in COMMANDS for key in command.keys}
FOOTER_ORDER = ("emergency_stop", "act", "more", "less", "hold", "slower", "faster", "help", "jump", "go_on_until", "begin_again", "units", "instructor", "card", "quit")  # fmt: skip
AT_SENSES = ("emergency_stop", "act", "hold", "slower", "faster", "help", "card", "units", "instructor", "quit")  # fmt: skip
"""The last line where one looks, listens and touches."""
AT_TREND = ("emergency_stop", "trend_set", "own_trend", "trend_span", "more", "less", "help", "live", "hold", "slower", "faster", "units", "quit")  # fmt: skip
"""The last line at the trends."""
AT_METERS = ("emergency_stop", "peak_hold", "working", "projector", "reading_set", "help", "hold", "slower", "faster", "units", "instructor", "quit")  # fmt: skip
"""The last line at dials and meters."""
AT_WORKING = ("emergency_stop", "act", "live", "trend_set", "reading_set", "help", "cover_results", "notebook", "saturation_card", "hold", "units", "quit")  # fmt: skip
"""The last line at readings and working."""
AT_PROJECTOR = ("emergency_stop", "own_trend", "help", "hold", "slower", "faster", "units", "quit")
"""The last line at the projector's page."""
AT_CHART = ("emergency_stop", "chart_axes", "keep_cycle", "saturation_card", "help", "hold", "slower", "faster", "units", "quit")  # fmt: skip
"""The last line at the chart of states."""
