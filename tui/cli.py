"""The command ``rimebench``: which command is meant, and one clear line for whatever goes wrong.

Exit codes: 0 done, 1 the input is wrong, 2 the usage is wrong, 3 the plant could not be computed; 130 stopped by Ctrl-C and 141 the reader of a pipe
went away, as a shell has it.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import sys
from collections.abc import Callable, Sequence

from sim.errors import FluidRangeError, InputError, PlantError, UsageError
from sim.library import listen
from tui.console.opening import COMMANDS
from tui.console.output import first_start

INPUT_WRONG, USAGE_WRONG, NOT_COMPUTED = 1, 2, 3
INTERRUPTED, PIPE_CLOSED = 130, 141  # common practice: 128 and the number of the signal
USAGE = "rimebench [RIG] [options]\n       rimebench {list,check,run,steady,rehearse,compare,survey,spice,saturation,prepare} ..."


def parser_for_commands() -> argparse.ArgumentParser:
    """The parser of everything but opening the bench."""
    from tui.console import (
        check,
        compare,
        listing,
        preparing,
        rehearse,
        run,
        saturation,
        spice,
        steady,
        survey,
    )

    parser = argparse.ArgumentParser(prog="rimebench", usage=USAGE)
    commands = parser.add_subparsers(dest="command", required=True, prog="rimebench")
    for module in (
        listing,
        check,
        run,
        steady,
        rehearse,
        compare,
        survey,
        spice,
        saturation,
        preparing,
    ):
        module.add(commands)
    return parser


def parser_for_opening() -> argparse.ArgumentParser:
    """The parser of ``rimebench [RIG]``; its help names the commands and the caution too."""
    from sim.cautions import all_cautions
    from tui.console import opening

    parser = argparse.ArgumentParser(
        prog="rimebench",
        usage=USAGE,
        description="Open the bench: a computed refrigeration plant, opened and closed by hand.",
        epilog=f"Commands without a screen: {', '.join(COMMANDS)} (rimebench COMMAND --help). {all_cautions()['general'].text}",
    )
    parser.add_argument("--version", action="store_true", help="say the version and end")
    opening.add_to(parser)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command. Exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    return guarded(lambda: _dispatch(arguments))


def _dispatch(arguments: list[str]) -> int:
    if arguments and arguments[0] in COMMANDS:
        chosen = parser_for_commands().parse_args(with_bare_targets(arguments))
        listen(first_start())
    else:
        chosen = parser_for_opening().parse_args(arguments)
        if chosen.version:
            from sim.run_log import program_version

            print(f"rimebench {program_version()}")
            return 0
    return int(chosen.work(chosen))


def with_bare_targets(arguments: list[str]) -> list[str]:
    """``run --csv SHEET`` means standard output and must not take SHEET for the file."""
    if arguments[0] != "run":
        return arguments
    return [f"{word}=-" if word in ("--csv", "--json") else word for word in arguments]


def guarded(work: Callable[[], int]) -> int:
    """Do ``work``; whatever a person can mend becomes a line on standard error and an exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a terminal that knows fewer signs than we write
            stream.reconfigure(errors="backslashreplace")
    try:
        code = _translated(work)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        _end_of_output("the program that read this output has ended; the rest is not written.")
        return PIPE_CLOSED
    except OSError as error:
        reason = error.strerror or str(error)
        where = f"{error.filename}:1" if error.filename else "standard output"
        _end_of_output(f"{where}: {reason}. Check the path and the space on the disk.")
        return INPUT_WRONG
    return code


def _translated(work: Callable[[], int]) -> int:
    try:
        return work()
    except InputError as error:
        _tell(str(error))
        return INPUT_WRONG
    except UsageError as error:
        _tell(f"rimebench: {error}")
        return USAGE_WRONG
    except PlantError as error:
        _tell(f"rimebench: the plant could not be computed ({error.reason}): {error}")
        return NOT_COMPUTED
    except FluidRangeError as error:
        _tell(f"rimebench: the plant could not be computed (beyond-tables): {error}")
        return NOT_COMPUTED
    except KeyboardInterrupt:
        _tell("rimebench: stopped by hand; nothing more is written.")
        return INTERRUPTED


def _end_of_output(text: str) -> None:
    from tui.console.files import silence_output

    silence_output()
    _tell(f"rimebench: {text}")


def _tell(text: str) -> None:
    """A line on standard error; when that is gone too there is nobody left to tell."""
    with contextlib.suppress(OSError, AttributeError):
        print(text, file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main())
