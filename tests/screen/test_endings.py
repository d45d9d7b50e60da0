"""A bench in a pseudo-terminal that is ended the hard way: no traceback, the terminal as it was, and nothing that was saved is lost."""

from __future__ import annotations

import json
import os
import resource
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.pseudo_terminal import PATIENCE_S, Terminal
from tui.session.autosave import BEFORE, NEWEST

LEAVE_ALTERNATE_SCREEN = b"\x1b[?1049l"


class Screen(Terminal):
    """The stand-in bench on the screen."""

    def __init__(self, folder: Path, **environment_of_its_own: str) -> None:
        super().__init__(folder, "-m", "tests.screen.session_child", "0.05", **environment_of_its_own)  # fmt: skip

    def saved_s(self) -> float:
        """Plant time of the newest autosave; every one of its numbers is the same."""
        found = list(self.state.glob(f"*/{NEWEST}"))
        if not found:
            return 0.0
        numbers = json.loads(found[0].read_text())
        assert len(set(numbers)) == 1
        return float(numbers[0])


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Screen]:
    one = Screen(tmp_path)
    yield one
    one.kill()


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_saves_restores_the_terminal_and_says_how_it_ended(terminal: Screen, number: signal.Signals) -> None:  # fmt: skip
    terminal.until(lambda: terminal.saved_s() > 0.3)
    terminal.child.send_signal(number)
    assert terminal.ended() == 128 + number
    assert LEAVE_ALTERNATE_SCREEN in terminal.seen
    assert terminal.saved_s() > 0.3
    assert b"Traceback" not in terminal.seen


def test_a_kill_leaves_the_last_autosave_and_the_next_start_goes_on_from_it(terminal: Screen, tmp_path: Path) -> None:  # fmt: skip
    terminal.until(lambda: terminal.saved_s() > 0.5)
    terminal.child.kill()
    terminal.child.wait()
    before = terminal.saved_s()
    assert before > 0.5
    again = Screen(tmp_path)
    again.until(lambda: b"A session broke off" in again.seen)
    os.write(again.master, b"\r")
    again.until(lambda: again.saved_s() > before + 0.3)
    os.write(again.master, b"q")
    assert again.ended() == 0
    assert list(again.state.iterdir()) == [], "a clean end leaves nothing"
    assert b"Traceback" not in again.seen


def broken_off(terminal: Screen, *spoilt: str) -> Path:
    """The folder that a killed session has left, some of its saves damaged."""
    terminal.until(lambda: terminal.saved_s() > 0.5 and list(terminal.state.glob(f"*/{BEFORE}")) != [])  # fmt: skip
    terminal.child.kill()
    terminal.child.wait()
    folder = next(terminal.state.iterdir())
    for name in spoilt:
        (folder / name).write_text("[1.0,")
    return folder


def newest_s(folder: Path) -> float:
    """Plant time of the newest save there; 0 while it is damaged, or just being put in place."""
    try:
        return float(json.loads((folder / NEWEST).read_text())[0])
    except (ValueError, FileNotFoundError):
        return 0.0


def test_a_damaged_autosave_gives_way_to_the_one_before_it(terminal: Screen, tmp_path: Path) -> None:  # fmt: skip
    folder = broken_off(terminal, NEWEST)
    before = json.loads((folder / BEFORE).read_text())[0]
    again = Screen(tmp_path)
    again.until(lambda: b"A session broke off" in again.seen)
    os.write(again.master, b"\r")
    again.until(lambda: b"the newest save is damaged" in again.seen)
    again.until(lambda: newest_s(folder) > before)  # the damaged one is gone
    os.write(again.master, b"q")
    assert again.ended() == 0
    assert b"could not be opened" not in again.seen


def test_where_no_autosave_can_be_read_none_is_removed(terminal: Screen, tmp_path: Path) -> None:
    folder = broken_off(terminal, NEWEST, BEFORE)
    again = Screen(tmp_path)
    again.until(lambda: b"A session broke off" in again.seen)
    os.write(again.master, b"\r")
    again.until(lambda: b"The bench could not be opened" in again.seen)
    os.write(again.master, b"\x1b[B\x1b[B\r")
    assert again.ended() != 0
    assert (folder / NEWEST).is_file()
    assert (folder / BEFORE).is_file()


def test_a_lost_terminal_ends_the_program_and_keeps_the_bench(terminal: Screen) -> None:
    terminal.until(lambda: terminal.saved_s() > 0.3)
    os.close(terminal.master)
    code = terminal.child.wait(timeout=PATIENCE_S)
    assert code != 0
    assert terminal.saved_s() > 0.3


def test_garbage_and_a_storm_of_sizes_leave_the_bench_at_work(terminal: Screen) -> None:
    terminal.until(lambda: terminal.saved_s() > 0.1)
    garbage = bytes(byte for byte in range(256) if chr(byte) not in "qi\x11\x03\x1a\x1b!0 ,")
    os.write(terminal.master, b"\x1b[200~" + garbage * 4 + b"\x1b[201~")
    os.write(terminal.master, b"\xff\xfe\x80\x1b[<999;999;999M\x1b[Z\x1b]52;x\x07\x1b[9999~")
    for turn in range(40):
        terminal.resize(10 + 37 * turn % 200, 3 + 17 * turn % 70)
        terminal.read(0.01)
    terminal.resize(120, 40)
    mark = terminal.saved_s()
    terminal.until(lambda: terminal.saved_s() > mark + 0.3)
    terminal.child.send_signal(signal.SIGTERM)
    assert terminal.ended() == 128 + signal.SIGTERM
    assert b"Traceback" not in terminal.seen


def test_a_state_folder_that_cannot_be_written_is_said_and_the_bench_goes_on(tmp_path: Path) -> None:  # fmt: skip
    (tmp_path / "state").write_text("a file in the folder's place")
    one = Screen(tmp_path)
    one.until(lambda: b"Autosave does not work" in one.seen)
    os.write(one.master, b"q")
    assert one.ended() == 0
    assert b"Traceback" not in one.seen


@pytest.mark.skipif(not hasattr(resource, "prlimit"), reason="limits of Linux")
def test_a_disk_that_fills_up_is_said_and_what_was_saved_stays(terminal: Screen) -> None:
    """A limit on a file's size, set while the bench runs, stops writes half way as a full disk does."""
    terminal.until(lambda: terminal.saved_s() > 0.3)
    resource.prlimit(terminal.child.pid, resource.RLIMIT_FSIZE, (1000, 1000))
    terminal.until(lambda: b"Autosave does not work" in terminal.seen)
    kept = terminal.saved_s()
    assert kept > 0.3
    terminal.read(0.3)
    assert terminal.saved_s() == kept
    terminal.child.send_signal(signal.SIGTERM)
    assert terminal.ended() == 128 + signal.SIGTERM
    assert terminal.saved_s() == kept
    assert b"Traceback" not in terminal.seen


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="a place where nobody, root neither, may make a folder")  # fmt: skip
def test_a_home_that_cannot_be_written_is_said_and_the_bench_goes_on(tmp_path: Path) -> None:
    nowhere = "/proc/none"
    one = Screen(tmp_path, HOME=nowhere, RIMEBENCH_CONFIG=nowhere, RIMEBENCH_STATE=nowhere)
    one.until(lambda: b"Autosave does not work" in one.seen)
    os.write(one.master, b"S")
    one.until(lambda: b"Settings" in one.seen)
    os.write(one.master, b"\r")
    one.until(lambda: b"this session only" in one.seen)
    for _ in range(2):  # the settings, then the program
        os.write(one.master, b"q")
        one.read(0.5)
    assert one.ended() == 0
    assert b"Traceback" not in one.seen
