"""The stand-in bench on a terminal, with settings and autosaves as a person's start has them: for tests that end it the hard way."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from tests.tui.fake_bench import FakeBench, fake_chart
from tui.app import BenchApp
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.session.kept import opened
from tui.session.writing import put_in_place


class Saving(FakeBench):
    """A stand-in that can be saved: its time, and some bulk."""

    def save(self, path: Path) -> None:
        """Write it whole."""
        put_in_place(Path(path), json.dumps([self.time_s] * 5000).encode())


def opener(begin: Begin, progress: Progress) -> Opened:
    """A new bench, or one that begins at a saved time."""
    bench = Saving()
    if begin.load is not None:
        bench.advance(json.loads(Path(begin.load).read_text())[0])
    return Opened(bench, fake_chart())


def main() -> int:
    """Run until told to leave."""
    kept = opened()
    assert kept.keeper is not None
    kept.keeper.every_s = float(sys.argv[1]) if len(sys.argv) > 1 else 0.05
    app = BenchApp(Begin(), opener, cautions=False, kept=kept)
    return app.run() or app.return_code or 0


if __name__ == "__main__":
    sys.exit(main())
