"""``rimebench`` alone: open the bench on the screen."""

from __future__ import annotations

import argparse
import sys

from sim.errors import InputError, UsageError
from sim.record import suggestion
from sim.rig_find import find_rig
from sim.starts import DEVICES, FROM
from sim.surroundings import SurroundingsTable
from tui.console import plant

DEFAULT_RIG = "fennick_bench"
COMMANDS = (
    "list",
    "check",
    "run",
    "steady",
    "rehearse",
    "compare",
    "survey",
    "spice",
    "saturation",
    "prepare",
)
PLAIN = """For screen readers, dumb terminals and pipes: readings and events are sentences on standard output, commands are typed on standard input. The bench's time
stands still until "wait 60" or "wait until steady". Type help there; for a start: set HS-4 on, read PI-1, part HV-22, events, stop, save FILE, quit. From a pipe the exit
code is 1 when a command was not understood, was refused or ended at a trip."""
_LOW_C, _HIGH_C = SurroundingsTable.RANGES["room_temperature_c"]


def add_to(parser: argparse.ArgumentParser) -> None:
    """The arguments of opening the bench."""
    parser.add_argument(
        "rig",
        nargs="?",
        default=DEFAULT_RIG,
        metavar="RIG",
        help="a shipped rig, RIG:WIRING, or a rig's folder (%(default)s if not said)",
    )
    parser.add_argument(
        "--start",
        choices=FROM,
        default="off",
        help="off: equalised, lined up (the default); steady: running steady",
    )
    parser.add_argument(
        "--device",
        choices=DEVICES,
        help="the metering device to line up (the hand valve if not said)",
    )
    parser.add_argument("--room", type=float, metavar="C", help="room temperature, °C")
    parser.add_argument("--load", metavar="FILE", help="a saved bench")
    parser.add_argument(
        "--instructor",
        action="store_true",
        help="open it as the instructor's: truth beside instruments, the fault board",
    )
    parser.add_argument(
        "--assessed", action="store_true", help="no way back, no truth, pace at most 10"
    )
    group = parser.add_argument_group("in plain sentences", PLAIN)
    group.add_argument("--plain", action="store_true", help="sentences instead of the screen")
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Open the bench. Exit code."""
    checked_room(arguments.room)
    if arguments.assessed and arguments.instructor:
        raise UsageError("--assessed and --instructor: an assessed session has no instructor view.")
    _find(arguments.rig)
    there = sys.stdin and sys.stdout
    if arguments.plain and not there:
        raise UsageError("--plain needs an input and an output; one of them is closed.")
    if not arguments.plain and not (there and sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError("the bench needs a terminal; without one use: rimebench --plain, or: rimebench run SHEET.")  # fmt: skip
    open_bench = plant.open_plain if arguments.plain else plant.open_screen
    return open_bench(
        arguments.rig,
        start=arguments.start,
        device=arguments.device,
        room_c=arguments.room,
        load=arguments.load,
        instructor=arguments.instructor,
        assessed=arguments.assessed,
    )


def checked_room(room_c: float | None) -> float | None:
    """A room temperature from the command line. Raises UsageError outside the range."""
    if room_c is not None and not _LOW_C <= room_c <= _HIGH_C:
        raise UsageError(f"--room {room_c:g}: give {_LOW_C:g} to {_HIGH_C:g} °C.")
    return room_c


def _find(rig: str) -> None:
    """Say at once when there is no such rig; a mistyped command lands here too."""
    try:
        find_rig(rig)
    except InputError:
        command = suggestion(rig, COMMANDS)
        if command:
            raise UsageError(
                f"there is no command and no rig {rig}. Did you mean {command}?"
            ) from None
        raise
