"""Where the numbers come from: finds numbers in rig files and constants in part files that have no source beside them.

In a rig file the comment stands on the number's line or on the line just above, and begins ``source: ...``, ``common practice`` or
``guess: why``; a table with a ``source`` or ``reason`` key has said it. In a part file every module constant with a decimal number has a comment.
"""

from __future__ import annotations

import ast
import re
import tokenize
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

from sim.errors import Mistake
from sim.tomlfile import Key, parse_toml, shown_path

SOURCED = re.compile(r"#.*\b(source:\s*\S+|common practice|guess:\s*\S+)")
REMEDY = "Add # source: …, # common practice or # guess: why."
EXPLAINED = ("source", "reason")
"""A table with one of these keys says itself where its numbers come from, or what they are for."""
LEAST_COMMENT = 8  # guess: shorter comments only name a unit


def unsourced_keys(path: Path) -> list[Mistake]:
    """Every number in a TOML file without a source on its line or on the line above."""
    text = path.read_text(encoding="utf-8")
    document = parse_toml(text, shown_path(path))
    comments = _toml_comments(text)
    mistakes = []
    for key in _numbers(document.values, ()):
        lines = {document.line_of(*key), document.line_of(*_name_of(key))}
        if not any(SOURCED.search(_comment_at(comments, line)) for line in lines):
            name = ".".join(str(part) for part in key)
            mistakes.append(document.mistake(key, f"{name} has no source.", REMEDY))
    return mistakes


def _comment_at(comments: dict[int, tuple[str, bool]], line: int) -> str:
    """The comment on ``line`` and the block of comment lines right above it."""
    words = [comments.get(line, ("", False))[0]]
    while comments.get(line - 1, ("", False))[1]:
        line -= 1
        words.append(comments[line][0])
    return " ".join(words)


def _name_of(key: Key) -> Key:
    """The key whose value holds the number: an array's own key for one of its elements."""
    while isinstance(key[-1], int):
        key = key[:-1]
    return key


def _numbers(value: Any, path: Key) -> Iterator[Key]:
    if isinstance(value, dict):
        if not any(isinstance(value.get(word), str) for word in EXPLAINED):
            for key, item in value.items():
                yield from _numbers(item, (*path, key))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from _numbers(item, (*path, i))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


_QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"|\'[^\']*\'')


def _toml_comments(text: str) -> dict[int, tuple[str, bool]]:
    """Line -> (comment, whether the line is nothing but a comment). Strings of one line are skipped."""
    found = {}
    for number, line in enumerate(text.splitlines(), start=1):
        bare = _QUOTED.sub("", line)
        if "#" in bare:
            found[number] = (bare[bare.index("#") :], bare.lstrip().startswith("#"))
    return found


def unsourced_constants(path: Path) -> list[Mistake]:
    """Every module constant of a Python file with a decimal number and no comment on it or just above.

    Whole numbers are counts and column numbers and need none.
    """
    text = path.read_text(encoding="utf-8")
    comments = _python_comments(text)
    mistakes = []
    for node in ast.parse(text).body:
        for name in _constant_names(node):
            lines = range(node.lineno - 1, (node.end_lineno or node.lineno) + 1)
            if not any(len(comments.get(line, "")) >= LEAST_COMMENT for line in lines):
                what = f"the constant {name} has no source."
                mistakes.append(Mistake(shown_path(path), node.lineno, what, REMEDY))
    return mistakes


def _constant_names(node: ast.stmt) -> list[str]:
    """Names in capitals that ``node`` binds to something with a decimal number in it."""
    if isinstance(node, ast.Assign):
        targets, value = node.targets, node.value
    elif isinstance(node, ast.AnnAssign) and node.value is not None:
        targets, value = [node.target], node.value
    else:
        return []
    inside = ast.walk(value)
    if not any(isinstance(item, ast.Constant) and isinstance(item.value, float) for item in inside):
        return []
    names = [
        item.id for target in targets for item in ast.walk(target) if isinstance(item, ast.Name)
    ]
    return [name for name in names if name.strip("_").isupper()]


def _python_comments(text: str) -> dict[int, str]:
    tokens = tokenize.generate_tokens(StringIO(text).readline)
    return {
        token.start[0]: token.string.lstrip("# ")
        for token in tokens
        if token.type == tokenize.COMMENT
    }
