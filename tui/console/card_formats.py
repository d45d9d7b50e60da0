"""A rehearsal card as plain text, as Markdown and as one HTML page without scripts that can be printed."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from tui.console.card_chart import in_dots, in_svg
from tui.console.card_words import Block
from tui.console.output import table
from tui.draw.glyphs import Glyphs

if TYPE_CHECKING:
    from sim.study.card import Card

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title>
<style>body{{font:15px sans-serif;max-width:50em;margin:2em auto;padding:0 1em;color:#000;background:#fff}}
table{{border-collapse:collapse}}th,td{{border:1px solid #888;padding:.2em .5em;text-align:left;vertical-align:top}}
svg{{max-width:100%}}@media print{{body{{margin:0}}h2{{break-after:avoid}}tr{{break-inside:avoid}}}}</style></head>
<body>
"""


def text_of(block: Block, card: Card, glyphs: Glyphs, width: int | None = None) -> str:
    """For a terminal of so many columns, or for a file."""
    lines = [block.title, "=" * len(block.title)] if block.title else []
    lines += block.sentences
    if block.rows:
        lines.append(table(block.head, block.rows, width))
    if block.chart:
        lines.append(in_dots(card, glyphs))
    return "\n".join(lines) + "\n"


def markdown_of(block: Block, card: Card, glyphs: Glyphs, *, first: bool) -> str:
    """For a notebook or a wiki."""
    parts = [f"{'#' if first else '##'} {block.title}"] if block.title else []
    parts += block.sentences
    if block.rows:
        parts.append("\n".join(_bars(row) for row in (block.head, ["---"] * len(block.head), *block.rows)))  # fmt: skip
    if block.chart:
        parts.append(f"```text\n{in_dots(card, glyphs)}\n```")
    return "\n\n".join(parts) + "\n"


def _bars(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def html_of(block: Block, card: Card, *, first: bool) -> str:
    """A part of the page's body."""
    level = 1 if first else 2
    parts = [f"<h{level}>{escape(block.title)}</h{level}>"] if block.title else []
    parts += [f"<p>{escape(sentence)}</p>" for sentence in block.sentences]
    if block.rows:
        head = "".join(f"<th>{escape(cell)}</th>" for cell in block.head)
        rows = ("".join(f"<td>{escape(cell)}</td>" for cell in row) for row in block.rows)
        body = "".join(f"<tr>{row}</tr>\n" for row in rows)
        parts.append(f"<table><thead><tr>{head}</tr></thead><tbody>\n{body}</tbody></table>")
    if block.chart:
        parts.append(in_svg(card))
    return "\n".join(parts) + "\n"
