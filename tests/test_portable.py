"""Nothing that only POSIX has is needed to load the program: every module is imported with those modules and names taken away, as Windows lacks them.

Which those are: the lines "Availability: Unix" of Python's library reference for ``os`` and ``signal``. Windows itself has not been tried; the README says so.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
WITHOUT = """
import importlib, os, pkgutil, signal, sys
import asyncio, subprocess, tempfile, threading, textual.app, textual.widgets, textual.drivers.linux_driver, textual.command, numba, scipy, platformdirs
for name in ("fcntl", "termios", "pty", "tty", "resource", "pwd", "grp", "syslog"):
    sys.modules[name] = None
for name in ("fork", "forkpty", "getuid", "geteuid", "getgid", "killpg", "setsid", "getpgid", "nice", "sched_getaffinity", "sysconf", "getloadavg", "statvfs", "mkfifo", "chown", "openpty", "O_DIRECTORY"):
    if hasattr(os, name):
        delattr(os, name)
for name in ("SIGHUP", "SIGKILL", "SIGQUIT", "SIGALRM", "SIGCHLD", "SIGUSR1", "SIGUSR2", "SIGPIPE", "SIGTSTP", "SIGCONT", "SIGWINCH", "alarm", "setitimer", "pause", "pthread_kill", "pthread_sigmask"):
    if hasattr(signal, name):
        delattr(signal, name)
found = []
for package in ("sim", "tui"):
    root = importlib.import_module(package)
    for module in pkgutil.walk_packages(root.__path__, f"{package}."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
            found.append(module.name)
from tui.session.endings import SIGNALS
assert SIGNALS == (signal.SIGTERM,), SIGNALS
print(len(found))
"""


def test_every_module_loads_without_what_only_posix_has() -> None:
    done = subprocess.run([sys.executable, "-c", WITHOUT], cwd=ROOT, capture_output=True, text=True, check=False)  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    files = [path for name in ("sim", "tui") for path in (ROOT / name).rglob("*.py") if path.name != "__init__.py"]  # fmt: skip
    assert int(done.stdout) >= len(files)
