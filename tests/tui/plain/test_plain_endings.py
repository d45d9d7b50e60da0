"""``rimebench --plain`` ended the hard way, with the real bench: what was done is kept, the next start offers it in a sentence, a clean end leaves nothing."""

from __future__ import annotations

import io
import os
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from sim.bench import Bench
from tests.pseudo_terminal import PATIENCE_S, ROOT, Terminal
from tui.opening import open_plant
from tui.orders import Begin
from tui.plain.keeping import STAYS
from tui.plain.loop import run
from tui.plain.voice import Voice
from tui.session.autosave import BEFORE, NEWEST, Keeper, left_behind
from tui.session.kept import Kept

pytestmark = pytest.mark.skipif(os.name != "posix", reason="terminals and signals of POSIX")
QUICKLY = "import functools, sys, tui.session.kept as k; k.Keeper = functools.partial(k.Keeper, every_s=0.2); from tui.cli import main; sys.exit(main(sys.argv[1:]))"


class Plain(Terminal):
    """A person at a dumb terminal."""

    def __init__(self, folder: Path, *options: str, **environment: str) -> None:
        super().__init__(folder, "-c", QUICKLY, "--plain", *options, TERM="dumb", **environment)
        self.until(lambda: self.text.endswith("anything else leaves the program. >"))
        self.types("yes")
        self.hears("> yes")

    @property
    def text(self) -> str:
        """All that was said, and typed, in one line."""
        return " ".join(self.seen.decode().split())

    def hears(self, words: str) -> None:
        self.until(lambda: words in self.text)

    def types(self, line: str) -> None:
        os.write(self.master, f"{line}\n".encode())

    def does(self, line: str, then: str) -> None:
        """At the prompt type a command and hear its answer to the end."""
        self.until(lambda: self.text.endswith(">"))
        before = len(self.text)
        self.types(line)
        self.until(lambda: then in self.text[before:] and self.text.endswith(">"))

    def kept(self) -> Bench:
        """What lies on the disk, opened. For a moment, while one autosave gives way to the next, nothing does."""
        self.until(lambda: any(self.state.glob(f"*/{NEWEST}")))
        (found,) = self.state.glob(f"*/{NEWEST}")
        return Bench.load(found)


Start = Callable[..., Plain]


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Start]:
    begun: list[Plain] = []

    def one(*options: str, **environment: str) -> Plain:
        begun.append(Plain(tmp_path, *options, **environment))
        return begun[-1]

    yield one
    for plain in begun:
        plain.kill()


def test_a_kill_loses_nothing_that_was_done_and_the_next_start_goes_on_with_it(start: Start) -> None:  # fmt: skip
    first = start()
    first.hears("Type help for the commands")
    assert not list(first.state.glob("*")), "nothing was done yet"
    first.does("set HCV-22 35%", "35 percent")
    first.does("note the needle is where I want it", "where I want it.")
    first.child.kill()
    first.child.wait()
    assert first.kept().commands["HCV-22"] == 0.35
    again = start()
    again.hears("A session broke off. Its bench was kept on 20")
    again.does("yes", "Type help for the commands")
    again.does("notebook", "where I want it There are no reading sets")
    again.does("set HCV-22 35%", "stands at 35 percent open already")
    again.does("quit", "The notebook holds 1 note, not all of them saved.")
    again.types("yes")
    assert again.ended() == 0
    assert list(again.state.iterdir()) == [], "a clean end leaves nothing"
    assert "Traceback" not in first.text + again.text


def test_no_removes_it_and_any_other_line_leaves_it_and_is_heard(start: Start) -> None:
    first = start()
    first.does("set HS-1 on", "main switch")
    first.child.kill()
    first.child.wait()
    later = start()
    later.hears("A session broke off")
    later.does("set HS-1 on", "It stays for the next start.")
    later.types("quit")
    assert later.ended() == 0
    again = start()
    again.hears("A session broke off")
    again.does("no", "It is removed.")
    again.types("quit")
    assert again.ended() == 0
    assert list(again.state.iterdir()) == []


def test_what_cannot_be_opened_is_told_stays_and_a_new_bench_opens(start: Start) -> None:
    first = start()
    first.does("set HS-1 on", "main switch")
    first.child.kill()
    first.child.wait()
    (kept,) = first.state.glob(f"*/{NEWEST}")
    kept.write_bytes(b"no bench")
    again = start()
    again.hears("A session broke off")
    again.does("yes", "Type help for the commands")
    assert "It cannot be opened:" in again.text
    assert "Everything at the panel is off." in again.text
    assert "Traceback" not in again.text
    again.types("quit")
    assert again.ended() == 0
    assert kept.read_bytes() == b"no bench"


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_in_the_middle_of_a_wait_keeps_the_bench_as_far_as_it_came(start: Start, number: signal.Signals) -> None:  # fmt: skip
    one = start()
    one.does("set HS-1 on", "main switch")
    one.does("set HS-4 on", "compressor: on")
    one.types("wait 24 h")
    one.until(lambda: any(one.state.glob(f"*/{NEWEST}")) and one.kept().time_s > 10.0)
    before = one.kept().time_s
    one.child.send_signal(number)
    assert one.ended() == 128 + number
    assert one.kept().time_s > before
    assert (STAYS in one.text) == (number == signal.SIGTERM)
    assert "Traceback" not in one.text


def test_a_signal_at_the_prompt_and_one_before_the_bench_is_open_end_the_program(start: Start) -> None:  # fmt: skip
    one = start()
    one.does("set HS-1 on", "main switch")
    one.child.send_signal(signal.SIGTERM)
    assert one.ended() == 128 + signal.SIGTERM
    assert one.kept().commands["HS-1"] == "on"
    other = start()
    other.hears("A session broke off")
    other.child.send_signal(signal.SIGTERM)
    assert other.ended() == 128 + signal.SIGTERM
    assert len(list(other.state.glob(f"*/{NEWEST}"))) == 1, "unanswered, it stays"


def test_a_lost_terminal_keeps_the_bench(start: Start) -> None:
    one = start()
    one.does("set HS-1 on", "main switch")
    os.close(one.master)
    assert one.child.wait(timeout=PATIENCE_S) != 0
    assert one.kept().commands["HS-1"] == "on"


def test_a_terminal_that_is_lost_unheard_ends_in_no_clean_end(tmp_path: Path) -> None:
    """Started so that SIGHUP is ignored, as by ``nohup``: what is read is then an end of input, and what is said goes nowhere."""
    code = "import signal, sys; signal.signal(signal.SIGHUP, signal.SIG_IGN); from tui.cli import main; sys.exit(main(['--plain']))"
    deaf = Terminal(tmp_path, "-c", code)
    deaf.until(lambda: b"Type yes when" in deaf.seen)
    os.write(deaf.master, b"yes\nset HS-1 on\n")
    deaf.until(lambda: b"main switch" in deaf.seen)
    deaf.until(lambda: bool(list(deaf.state.glob(f"*/{NEWEST}"))))
    os.close(deaf.master)
    deaf.child.wait(timeout=PATIENCE_S)
    assert len(list(deaf.state.glob(f"*/{NEWEST}"))) == 1


def test_ctrl_c_at_the_prompt_says_that_the_bench_stays(start: Start) -> None:
    one = start()
    one.does("set HS-1 on", "main switch")
    os.write(one.master, b"\x03")
    assert one.ended() == 130
    assert f"The bench was not saved; it stood at 0 seconds on its clock. {STAYS}" in one.text
    assert one.kept().commands["HS-1"] == "on"


def test_a_disk_that_fills_up_is_said_once_and_what_was_kept_stays(start: Start) -> None:
    """A limit on a file's size stops writes half way as a full disk does."""
    one = start()
    one.does("set HS-1 on", "main switch")
    resource.prlimit(one.child.pid, resource.RLIMIT_FSIZE, (1000, 1000))
    one.does("set HS-2 low", "has room. The bench goes on.")
    one.does("set HS-3 high", "(condenser in cooling): high")
    one.does("wait 60", "1 minute passed")
    assert one.text.count("Autosave does not work") == 1
    assert one.kept().commands["HS-2"] == "off"
    one.child.kill()
    one.child.wait()
    (folder,) = one.state.iterdir()
    assert Bench.load(folder / NEWEST).commands["HS-1"] == "on"
    assert not (folder / BEFORE).exists() or Bench.load(folder / BEFORE)


def test_a_folder_that_cannot_be_written_is_said_and_the_bench_goes_on(start: Start, tmp_path: Path) -> None:  # fmt: skip
    (tmp_path / "state").write_text("a file in the folder's place")
    one = start()
    one.does("set HS-1 on", "Autosave does not work")
    one.does("wait 60", "1 minute passed")
    one.types("quit")
    assert one.ended() == 0
    assert "Traceback" not in one.text


def test_a_pipe_is_asked_nothing_keeps_its_bench_when_killed_and_leaves_none_at_its_end(tmp_path: Path, start: Start) -> None:  # fmt: skip
    command = [sys.executable, "-m", "tui.cli", "--plain"]
    with subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:  # fmt: skip
        assert process.stdin is not None
        process.stdin.write("set HS-1 on\n")
        process.stdin.flush()
        end = time.monotonic() + PATIENCE_S
        while not list((tmp_path / "state").glob(f"*/{NEWEST}")):
            assert time.monotonic() < end
            time.sleep(0.05)
        process.kill()
    done = subprocess.run(command, cwd=ROOT, input="no\nset HS-1 on\n", capture_output=True, text=True, check=False)  # fmt: skip
    assert "Nothing was asked" in done.stdout
    assert "A session broke off" in done.stderr
    assert "--load" in done.stderr
    assert len(list((tmp_path / "state").iterdir())) == 1, "the old one only"
    again = start()
    again.hears("A session broke off")
    again.does("yes", "At the panel: HS-1 on")


def test_what_is_kept_betrays_no_fault_and_holds_it(tmp_path: Path) -> None:
    """Neither its bytes nor what is said when one goes on with it names the fault that an instructor has put in; the bench still has it."""
    kept = Kept(keeper=Keeper(tmp_path / "state", Kept().notebook))
    out = io.StringIO()
    lines = "set HS-1 on\nfault condenser-fouled 0.6\nwait 5\n"

    class Gone(io.StringIO):
        def readline(self, size: int | None = -1, /) -> str:  # type: ignore[override]
            line = super().readline()
            if not line:
                raise OSError(5, "the terminal is gone")
            return line

    with pytest.raises(OSError, match="gone"):
        run(Begin(), instructor=True, voice=Voice(Gone(lines), out), kept=kept)
    assert kept.keeper is not None
    assert kept.keeper._lock is not None
    kept.keeper._lock.release()  # as the system does when a process dies
    left = next(left_behind(tmp_path / "state"))
    assert b"fouled" not in left.bench.read_bytes()
    assert "condenser-fouled" in Bench.load(left.bench).faults
    said = io.StringIO()

    class Typed(io.StringIO):
        def isatty(self) -> bool:
            return True

    again = Kept(keeper=Keeper(tmp_path / "state", Kept().notebook), left=left)
    run(Begin(), voice=Voice(Typed("yes\nyes\nevents all\nstatus\nread all\n"), said), kept=again, opener=open_plant)  # fmt: skip
    assert "5 seconds" in said.getvalue()
    assert "foul" not in said.getvalue()
