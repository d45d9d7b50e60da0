"""Autosaves outlive what kills a process. Some of these tests kill one."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tui.session.autosave import BEFORE, NEWEST, Keeper, left_behind
from tui.session.notebook import Notebook, beside
from tui.session.writing import put_in_place

ROOT = Path(__file__).parents[3]
KILLS = 12
CHILD = """
import sys
from pathlib import Path
from tui.session.autosave import Keeper
from tui.session.notebook import Notebook
from tests.tui.session.test_autosave import Large
keeper, bench = Keeper(Path(sys.argv[1]), Notebook()), Large()
print("ready", flush=True)
while True:
    keeper.keep(bench)
    bench.count += 1
"""


class Large:
    """Something that takes a while to write; each save is complete only with its last byte."""

    count = 0

    def save(self, path: Path) -> None:
        put_in_place(path, json.dumps([self.count] * 20_000).encode())


def whole(path: Path) -> int:
    """The number in a save; every one of its numbers is the same."""
    numbers = json.loads(path.read_text())
    assert len(numbers) == 20_000
    assert len(set(numbers)) == 1
    return int(numbers[0])


def test_a_process_killed_while_it_saves_leaves_a_whole_save(tmp_path: Path) -> None:
    for turn in range(KILLS):
        state = tmp_path / str(turn)
        child = subprocess.Popen([sys.executable, "-c", CHILD, str(state)], cwd=ROOT, stdout=subprocess.PIPE)  # fmt: skip
        assert child.stdout is not None
        child.stdout.readline()
        while not list(state.glob(f"*/{NEWEST}")):
            time.sleep(0.002)
        time.sleep(0.003 * turn)
        child.kill()
        child.wait()
        child.stdout.close()
        left = next(left_behind(state))
        assert whole(left.bench) >= 0
        left.remove()
        assert not list(state.iterdir())


def test_a_living_session_is_not_offered_to_another(tmp_path: Path) -> None:
    keeper = Keeper(tmp_path, Notebook())
    keeper.keep(Large())
    assert keeper.trouble == ""
    assert next(left_behind(tmp_path), None) is None
    keeper.close()
    assert not list(tmp_path.iterdir())


def test_two_benches_do_not_share_a_folder(tmp_path: Path) -> None:
    one, two = Keeper(tmp_path, Notebook()), Keeper(tmp_path, Notebook())
    one.keep(Large())
    two.keep(Large())
    assert one.trouble == two.trouble == ""
    assert len(list(tmp_path.glob(f"*/{NEWEST}"))) == 2


def test_the_save_before_the_newest_is_kept_and_the_notes_with_it(tmp_path: Path) -> None:
    book, bench = Notebook(), Large()
    keeper = Keeper(tmp_path, book)
    book.write(3.0, "kept")
    for bench.count in range(3):
        keeper.keep(bench)
    folder = next(tmp_path.iterdir())
    assert (whole(folder / NEWEST), whole(folder / BEFORE)) == (2, 1)
    again = Notebook()
    assert again.load(beside(folder / NEWEST))
    assert [note.text for note in again.notes] == ["kept"]


def test_who_goes_on_saves_in_the_same_folder_and_a_clean_end_removes_it(tmp_path: Path) -> None:
    broken = Keeper(tmp_path, Notebook())
    broken.keep(Large())
    assert broken._lock is not None
    broken._lock.release()  # as the system does when a process dies
    left = next(left_behind(tmp_path))
    keeper = Keeper(tmp_path, Notebook())
    keeper.adopt(left)
    keeper.keep(Large())
    assert len(list(tmp_path.iterdir())) == 1
    keeper.close()
    assert not list(tmp_path.iterdir())


FULL = """
import resource, sys
from pathlib import Path
from tui.session.autosave import Keeper
from tui.session.notebook import Notebook
from tests.tui.session.test_autosave import Large
keeper, bench = Keeper(Path(sys.argv[1]), Notebook()), Large()
keeper.keep(bench)
assert not keeper.trouble
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
bench.count = 1
keeper.keep(bench)
print(keeper.trouble)
"""


@pytest.mark.skipif(os.name != "posix", reason="limits of POSIX")
def test_a_full_disk_is_said_and_the_old_save_stays(tmp_path: Path) -> None:
    """A limit on a file's size stops a write half way, as a full disk does."""
    done = subprocess.run([sys.executable, "-c", FULL, str(tmp_path)], cwd=ROOT, capture_output=True, text=True, check=True)  # fmt: skip
    assert "could not be written" in done.stdout
    assert done.stderr == ""
    folder = next(tmp_path.iterdir())
    assert whole(folder / NEWEST) == 0
    assert not list(folder.glob("*.part"))


def test_a_state_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    keeper = Keeper(tmp_path / "file" / "state", Notebook())
    keeper.keep(Large())
    assert keeper.trouble
    keeper.close()
    assert list(left_behind(tmp_path / "file")) == []
