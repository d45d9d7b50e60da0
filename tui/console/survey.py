"""``rimebench survey``: every fault on every device in every room, how plainly each instrument tells it, resumable after a kill."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from platformdirs import user_state_path

from sim.errors import InputError, UsageError
from sim.record import did_you_mean
from sim.run_log import program_version
from sim.starts import DEVICES
from tui.console import plant
from tui.console.files import STANDARD_OUTPUT
from tui.console.opening import DEFAULT_RIG, checked_room
from tui.console.output import Progress, say, tell
from tui.console.survey_tables import confusions_table, summary_table, write_result

if TYPE_CHECKING:
    from sim.study.journal import Journal
    from sim.study.survey import Plan

INTERRUPTED = 130
DASK = "dask:"
ROOMS_C = (18.0, 23.0, 28.0)  # common practice: a cool, a usual and a warm workshop
_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser(
        "survey",
        help="every fault, device and room: how plainly each instrument tells it",
        description="Each fault sets in on a bench that runs steady and is followed for a quarter of an hour of the plant's time, or until something stops the machine. "
        "What is computed is kept in a journal, so a survey that was cut off goes on where it was.",
    )
    parser.add_argument("--rig", default=DEFAULT_RIG, help="%(default)s if not said")
    parser.add_argument("--faults", default="all", metavar="A,B", help="names with commas between them (all if not said)")  # fmt: skip
    parser.add_argument("--devices", default=",".join(DEVICES), metavar="A,B", help="%(default)s if not said")  # fmt: skip
    parser.add_argument("--rooms", default=",".join(f"{room:g}" for room in ROOMS_C), metavar="C,C", help="room temperatures, °C (%(default)s if not said)")  # fmt: skip
    parser.add_argument("--severity", type=float, default=1.0, metavar="S", help="above 0, to 1 (%(default)g)")  # fmt: skip
    parser.add_argument("--pairs", action="store_true", help="also every two of the faults together: which hide each other, which look like a third")  # fmt: skip
    parser.add_argument("--out", metavar="F", help="all numbers to F: .csv, .json or .parquet")
    parser.add_argument("--workers", default="", metavar="N", help=f"processes (one a core if not said), or {DASK}ADDRESS of a Dask scheduler")  # fmt: skip
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Survey, and show or write what was found. Exit code."""
    plan = plan_of(arguments)
    check_out(arguments.out)
    workers = workers_of(arguments.workers)
    journal = journal_of(plan, arguments.out)
    try:
        carry_out(plan, journal, workers)
    except KeyboardInterrupt:
        tell(f"rimebench: stopped by hand; {len(journal.records)} of {len(plan.keys())} are kept. The same command goes on from there.")  # fmt: skip
        journal.close()
        return INTERRUPTED
    keys = plan.keys()
    records = [journal.records[key] for key in keys]
    if arguments.out and arguments.out != STANDARD_OUTPUT:
        write_result(Path(arguments.out), records)
        tell(f"{len(records)} results written to {arguments.out}.")
    say(summary_table(records, plan.devices))
    if plan.pairs:
        say()
        say(confusions_table(records))
    say()
    for caution in plant.cautions_of_faults(plan.faults):
        say(caution.line())
    journal.remove()
    return 0


def plan_of(arguments: argparse.Namespace) -> Plan:
    """What is asked for. Raises UsageError for a wrong name or number."""
    if not 0.0 < arguments.severity <= 1.0:
        raise UsageError(f"--severity {arguments.severity:g}: give a number above 0, at most 1.")
    rig = plant.rig(arguments.rig)
    able = plant.faults_able(rig)
    names = able if arguments.faults == "all" else _listed(arguments.faults, able, "fault")
    words = _listed(arguments.devices, DEVICES, "device")
    devices = tuple(sorted((one for one in DEVICES if one in words), key=words.index))
    rooms = tuple(_room(word) for word in arguments.rooms.split(","))
    return plant.survey_plan(arguments.rig, tuple(names), devices, rooms, arguments.severity, arguments.pairs)  # fmt: skip


def _listed(words: str, known: Sequence[str], what: str) -> list[str]:
    found = list(dict.fromkeys(word.strip() for word in words.split(",") if word.strip()))
    for word in found:
        if word not in known:
            raise UsageError(f"there is no {what} {word!r} on this rig. {did_you_mean(word, known)}")  # fmt: skip
    if not found:
        raise UsageError(f"--{what}s names none.")
    return found


def _room(word: str) -> float:
    try:
        room = checked_room(float(word))
    except ValueError:
        raise UsageError(f"--rooms: {word!r} is no number.") from None
    assert room is not None
    return room


def workers_of(word: str) -> int | str:
    """How many processes, or a scheduler's address."""
    if word.startswith(DASK):
        return word.removeprefix(DASK)
    if not word:
        return os.cpu_count() or 1
    if not word.isdigit() or int(word) < 1:
        raise UsageError(f"--workers {word}: give a number from 1, or {DASK}ADDRESS.")
    return int(word)


def check_out(out: str | None) -> None:
    """Say at once when the result could not be written in the end. Raises UsageError or InputError."""
    if out is None or out == STANDARD_OUTPUT:
        return
    ending = Path(out).suffix
    if ending not in (".csv", ".json", ".parquet"):
        raise UsageError(f"--out {out}: a name that ends in .csv, .json or .parquet.")
    if ending == ".parquet":
        try:
            import pyarrow  # noqa: F401
        except ImportError:
            raise UsageError("--out *.parquet needs pyarrow; it comes with: pip install 'rimebench[parquet]'.") from None  # fmt: skip
    if not Path(out).parent.is_dir():
        raise InputError(f"{out}: its folder does not exist. Make it first.")


def journal_of(plan: Plan, out: str | None) -> Journal:
    """The journal beside the result, or in the platform's folder for such things."""
    mark = plant.fingerprint(plan, program_version(), plant.rig_mark(plant.rig(plan.rig)))
    if out and out != STANDARD_OUTPUT:
        return plant.journal(Path(f"{out}.{mark}.journal"), mark)
    folder = Path(os.environ.get("RIMEBENCH_STATE", "") or user_state_path("rimebench"))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f"{folder}: cannot be made ({error.strerror}). Name a file with --out.") from None  # fmt: skip
    return plant.journal(folder / f"survey-{mark}.journal", mark)


@contextmanager
def executor_of(workers: int | str) -> Iterator[Executor]:
    """Processes of this machine, or a Dask cluster. Raises UsageError or InputError."""
    if isinstance(workers, int):
        with plant.processes(workers) as pool:
            yield pool
        return
    try:
        from distributed import Client
    except ImportError:
        raise UsageError("--workers dask:... needs Dask; it comes with: pip install 'rimebench[dask]'.") from None  # fmt: skip
    try:
        client = cast(Any, Client)(workers, timeout="10s")
    except (OSError, ValueError, TimeoutError) as error:
        raise InputError(f"{workers}: no Dask scheduler answers ({str(error) or type(error).__name__}).") from None  # fmt: skip
    with client:
        yield client.get_executor()


def carry_out(plan: Plan, journal: Journal, workers: int | str) -> None:
    """Compute what the journal has not, and put it there as it comes."""
    total = len(plan.keys())
    left = total - len(journal.records)
    if left < total and left:
        tell(f"{total - left} of {total} are in {journal.path} already; {left} to go.")
    if not left:
        return
    with Progress("survey") as bar, executor_of(workers) as executor:
        for records in plant.survey(plan, executor, journal.records):
            journal.add(records)
            bar(len(journal.records) / total, f"{len(journal.records)} of {total}")
    if sys.stderr is not None and not sys.stderr.isatty():
        tell(f"{total} computed.")
