"""The thread that owns the plant."""

from __future__ import annotations

import time
from collections.abc import Callable

from tests.tui.fake_bench import FakeBench, fake_chart
from tui.orders import Begin
from tui.runner import Opened, Runner


def wait_for(true: Callable[[], bool], seconds: float = 5.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "nothing happened in time"
        time.sleep(0.005)


class Desk:
    """A runner on a bench that the test can see."""

    def __init__(self, bench: FakeBench, patience_s: float = 60.0) -> None:
        self.bench = bench
        self.runner = Runner(
            lambda begin, progress: Opened(bench, fake_chart()), Begin(), patience_s=patience_s
        )
