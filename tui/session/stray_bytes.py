"""Bytes from the terminal that are no UTF-8: Textual's reader ends the whole program at the first one, so here it is given a decoder that replaces them.

A program pasted in place of text, or noise on a serial line, then becomes keys that mean nothing.
"""

from __future__ import annotations

import codecs
import sys
from functools import partial


def survive() -> None:
    """Let Textual's reader of terminals replace what it cannot decode. On Windows characters come decoded."""
    if sys.platform == "win32":
        return
    from textual.drivers import linux_driver

    replacing = partial(codecs.getincrementaldecoder("utf-8"), errors="replace")
    linux_driver.getincrementaldecoder = lambda _name: replacing  # type: ignore[attr-defined]
