"""Whole processes: Ctrl-C, a pipe that closes, a full disk, what is imported."""

from __future__ import annotations

import csv
import os
import re
import signal
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
Out = pytest.CaptureFixture[str]
PLACE = re.compile(r"^.+:\d+: \S.*$")


def one_line(text: str) -> str:
    """The only line of ``text``."""
    (line,) = text.splitlines()
    return line


STAND_IN = """
import signal, sys, time
signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell lets its background jobs ignore it
sys.path.insert(0, {root!r})
from tui.console import plant

class Bench:
    time_s, events, warnings = 0.0, (), ()
    def set(self, tag, value): pass
    def advance(self, seconds):
        self.time_s += seconds
        time.sleep({pause})
    def readings(self): return {{"cop": 2.0}}
    def ledger(self): return {{}}

class Tag:
    tag, kind, what, low, high, choices = "HV-1", "hand_valve", "", 0.0, 1.0, ()

plant.start_bench = lambda rig, start: Bench()
plant.tags = lambda rig: [Tag()]
plant.faults = dict
from tui.cli import main
sys.exit(main())
"""


def script(folder: Path, pause: float = 0.0) -> Path:
    path = folder / "stand_in.py"
    path.write_text(textwrap.dedent(STAND_IN).format(root=str(ROOT), pause=pause), encoding="utf-8")
    return path


@pytest.mark.skipif(os.name != "posix", reason="signals and pipes of a shell")
def test_ctrl_c_keeps_the_rows_so_far_and_says_where_it_stopped(
    tmp_path: Path, sheet: Path
) -> None:
    sheet.write_text(
        sheet.read_text().replace("duration_s = 3", "duration_s = 3000"), encoding="utf-8"
    )
    log = tmp_path / "a.csv"
    words = [sys.executable, str(script(tmp_path, 0.02)), "run", str(sheet), f"--csv={log}"]
    with subprocess.Popen(
        words, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        while not log.exists() and process.poll() is None:
            time.sleep(0.02)
        time.sleep(0.3)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=20)
    assert process.returncode == 130
    assert out == ""
    assert re.match(r"rimebench: stopped by hand at \d+ s of 3000 s", one_line(err))
    head, *rows = csv.reader(log.read_text().splitlines())
    assert len(rows) > 1
    assert {len(row) for row in rows} == {len(head)}
    assert {row[-2] for row in rows} == {"2.0"}


@pytest.mark.skipif(os.name != "posix", reason="pipes of a shell")
def test_a_reader_that_goes_away_ends_the_run_without_a_traceback(
    tmp_path: Path, sheet: Path
) -> None:
    sheet.write_text(
        sheet.read_text().replace("duration_s = 3", "duration_s = 30000"), encoding="utf-8"
    )
    words = [sys.executable, str(script(tmp_path)), "run", "--csv", str(sheet)]
    with subprocess.Popen(
        words, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        err = process.stderr.read()
    assert process.returncode == 141
    assert "has ended" in one_line(err)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_behind_standard_output_is_a_line(tmp_path: Path, sheet: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, str(script(tmp_path)), "run", str(sheet)],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
    assert done.returncode == 1
    assert "No space left" in one_line(done.stderr)


def test_listing_readings_needs_no_compiler() -> None:
    code = "import sys; from tui.cli import main; main(['list', 'readings']); sys.exit('numba' in sys.modules or 'textual' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=False)
    assert done.returncode == 0


@pytest.mark.skipif(sys.platform != "linux", reason="file names that are no text")
def test_names_and_terminals_that_are_no_unicode_cause_no_traceback(tmp_path: Path) -> None:
    words = [sys.executable.encode(), b"-m", b"tui.cli", b"check", b"no\xffname.toml"]
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run(words, cwd=ROOT, env=environment, capture_output=True, check=False)
    assert done.returncode == 1
    assert b"no such file" in done.stdout
    assert b"Traceback" not in done.stderr
