"""``rimebench --plain`` as a whole process: pipes, a terminal that knows nothing, Ctrl-C, a reader that goes away, what is imported."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
COMMAND = [sys.executable, "-m", "tui.cli", "--plain"]
posix = pytest.mark.skipif(os.name != "posix", reason="signals and pipes of a shell")


def test_no_module_of_it_imports_a_terminal_library_or_the_compiler() -> None:
    names = [f"tui.plain.{path.stem}" for path in sorted((ROOT / "tui" / "plain").glob("*.py")) if path.stem != "__init__"]  # fmt: skip
    assert len(names) > 10
    code = f"import sys\nfor name in {names!r}: __import__(name)\nprint([name for name in ('textual', 'rich', 'numba', 'CoolProp', 'curses', 'readline') if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)  # fmt: skip
    assert done.stdout.strip() == "[]"


def piped(text: str, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*COMMAND, *options], input=text, cwd=ROOT, capture_output=True, text=True, check=False)  # fmt: skip


def test_a_pipe_is_enough_and_nothing_but_sentences_comes_out() -> None:
    done = piped("set HS-1 on\nwait 60\nread PI-1\n", "--room", "30")
    assert done.returncode == 0
    assert "Suction gauge PI-1:" in done.stdout.splitlines()[-3]
    assert done.stdout.isascii()
    assert all(len(line) <= 78 and line.isprintable() for line in done.stdout.splitlines())


def test_a_rig_that_is_not_there_and_a_refused_command_are_code_1() -> None:
    assert piped("", "fenick_bench").returncode == 1
    assert piped("", "--load", "no-such-file.rime").returncode == 1
    assert piped("set HCV-22 35\n").returncode == 1


@posix
def test_a_reader_that_goes_away_leaves_no_traceback() -> None:
    with subprocess.Popen(COMMAND, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:  # fmt: skip
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        process.stdin.write("help\nread all\n" * 50)
        process.stdin.close()
        err = process.stderr.read()
        process.wait(timeout=60)
    assert "Traceback" not in err
    assert "has ended" in err
    assert process.returncode == 141


@posix
def test_ctrl_c_in_a_script_ends_it_between_two_steps_and_says_what_is_lost() -> None:
    code = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); from tui.cli import main; import sys; sys.exit(main(['--plain']))"
    with subprocess.Popen([sys.executable, "-c", code], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:  # fmt: skip
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("set HS-1 on\n" + "wait 24 h\n" * 100)
        process.stdin.flush()
        while "main switch" not in process.stdout.readline():
            pass
        time.sleep(1.0)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert "Stopped by hand. The bench was not saved" in out
    assert "Traceback" not in err
    assert process.returncode == 130


@posix
def test_on_a_terminal_that_knows_nothing_a_wait_is_ended_by_ctrl_c_and_the_talk_goes_on() -> None:
    import pty

    control, terminal = pty.openpty()
    environment = {**os.environ, "TERM": "dumb"}
    process = subprocess.Popen(COMMAND, cwd=ROOT, stdin=terminal, stdout=terminal, stderr=terminal, env=environment, start_new_session=True)  # fmt: skip
    os.close(terminal)

    def until(words: str, got: bytes = b"") -> bytes:
        end = time.monotonic() + 60.0
        while words.encode() not in got and time.monotonic() < end:
            got += os.read(control, 4096)
        return got

    said = until("read the cautions; anything else leaves the program.\r\n> ")
    os.write(control, b"yes\n")
    said += until("lesson.\r\n> ")
    os.write(control, b"wait until PI-1 above 9 bar at most 24 h\n")
    time.sleep(1.0)
    os.kill(process.pid, signal.SIGINT)
    said += until("\r\n> ")
    os.write(control, b"note still here\n")
    said += until(": still here.")
    os.write(control, b"foo\nquit\nyes\n")  # the note is in no file: it asks
    assert process.wait(timeout=60) == 0  # a person may mistype
    os.close(control)
    assert b"Stopped by hand. Not reached" in said
    assert b"\x1b" not in said
    assert b"Traceback" not in said
