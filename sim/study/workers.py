"""Who carries out pieces of work that stand alone: processes of this machine, or this very process."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


class Here(Executor):
    """Carries a piece out at once: for who asks for one at a time."""

    def submit(self, fn: Callable[P, R], /, *args: P.args, **kwargs: P.kwargs) -> Future[R]:
        """The piece, done."""
        future: Future[R] = Future()
        future.set_result(fn(*args, **kwargs))
        return future


@contextmanager
def processes(count: int) -> Iterator[Executor]:
    """So many processes; each leaves Ctrl-C to this one."""
    with ProcessPoolExecutor(count, get_context("spawn"), signal.signal, (signal.SIGINT, signal.SIG_IGN)) as pool:  # fmt: skip
        yield pool
