"""TOML with line numbers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.errors import InputError
from sim.tomlfile import Key, parse_toml, read_toml

TEXT = '''# a comment
title = "x"   # [[not a table]]
[rig]
"odd.key" = """
two lines
"""
dotted.key = { a = 1, b = [1,
  2, # three
  3] }
[[part]]
tag = 'x # y'
[[part.step]]
at = 1979-05-27 07:32:00
[[part.step]]
words = [
  # nothing
  "]",
]
[[part]]
tag = "y"
[part.sub]
deep = 1
'''


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("title",), 2),
        (("rig", "odd.key"), 4),
        (("rig", "dotted", "key"), 7),
        (("rig", "dotted", "key", "b", 2), 9),
        (("part", 0, "tag"), 11),
        (("part", 0, "step", 1, "words", 0), 17),
        (("part", 1), 19),
        (("part", 1, "sub", "deep"), 22),
        (("part", 1, "nothing", "here"), 19),  # the nearest table around it
        (("nowhere",), 1),
    ],
)
def test_every_key_knows_its_line(newline: str, path: Key, line: int) -> None:
    assert parse_toml(TEXT.replace("\n", newline), "f.toml").line_of(*path) == line


def leaves(value: Any, path: Key = ()) -> list[Key]:
    if isinstance(value, dict):
        return [path] + [leaf for key, item in value.items() for leaf in leaves(item, (*path, key))]
    if isinstance(value, list):
        return [path] + [leaf for i, item in enumerate(value) for leaf in leaves(item, (*path, i))]
    return [path]


keys = st.text("abc-_ .\"#[]=\\'é", min_size=1, max_size=4)
scalars = st.one_of(
    st.integers(-9, 9), st.booleans(), st.floats(0, 1), st.text("ab\"'#[]{},=\\\né", max_size=6)
)
arrays = st.recursive(scalars, lambda inner: st.lists(inner, max_size=3), max_leaves=5)
tables = st.dictionaries(keys, arrays, max_size=4)


def quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def written(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, list):
        return "[ # a list\n" + "".join(f"  {written(item)},\n" for item in value) + "]"
    return repr(value)


@given(
    top=tables, named=st.dictionaries(keys, st.lists(tables, min_size=1, max_size=3), max_size=3)
)
def test_the_scanner_finds_every_key_that_the_parser_finds(
    top: dict[str, object], named: dict[str, list[dict[str, object]]]
) -> None:
    lines = [f"{quoted(key)} = {written(value)}" for key, value in top.items() if key not in named]
    for name, entries in named.items():
        for entry in entries:
            lines.append(f"[[ {quoted(name)} ]] # {name!r}")
            lines += [f"{quoted(key)} = {written(value)}" for key, value in entry.items()]
    document = parse_toml("\n".join(lines), "f.toml")
    for path in leaves(document.values):
        assert path == () or path in document.places


@pytest.mark.parametrize(
    ("raw", "line"),
    [
        (b"a = 1\nb = \n", 2),
        (b"a = 1\na = 2\n", 2),
        (b"a = 1\n\xff\xfe\n", 2),
        (b"\x00\x01\x02", 1),
        (b"a = [" + b"[" * 5000, 1),
        (b"a = " + b"9" * 5000, 1),
        (b"a = 2021-99-99\n", 1),
        (b'a = "never closed', 1),
        (b"a = 1\n" + b"b." * 5000 + b"c = 1\n", 2),
    ],
)
def test_unreadable_text_is_refused_with_its_line(tmp_path: Path, raw: bytes, line: int) -> None:
    path = tmp_path / "f.toml"
    path.write_bytes(raw)
    with pytest.raises(InputError) as caught:
        read_toml(path)
    (mistake,) = caught.value.mistakes
    assert mistake.line == line
    assert mistake.remedy


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    for path, words in ((tmp_path / "no.toml", "no such file"), (tmp_path, "folder")):
        with pytest.raises(InputError, match=words):
            read_toml(path)


def test_a_byte_order_mark_is_no_mistake(tmp_path: Path) -> None:
    path = tmp_path / "f.toml"
    path.write_bytes(b"\xef\xbb\xbfa = 1\n")
    assert read_toml(path).values == {"a": 1}
