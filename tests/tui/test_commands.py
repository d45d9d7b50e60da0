"""One list of commands feeds bindings, last line, palette and help."""

from __future__ import annotations

from tui.commands import BY_NAME, COMMANDS
from tui.draw.bars import paint_footer
from tui.draw.canvas import Canvas
from tui.draw.glyphs import SETS
from tui.helptext import GROUPS, help_lines
from tui.screens.bench import BenchScreen
from tui.screens.says import footer_keys


def test_names_and_keys_are_each_used_once() -> None:
    assert len(BY_NAME) == len(COMMANDS)
    keys = [key for command in COMMANDS for key in command.keys]
    assert len(set(keys)) == len(keys)


def test_every_command_has_help_in_a_full_sentence_and_a_group() -> None:
    for command in COMMANDS:
        assert command.help.endswith("."), command.name
        assert command.group in dict(GROUPS), command.name


def test_every_key_is_bound() -> None:
    bound = {binding.key for binding in BenchScreen.BINDINGS if hasattr(binding, "key")}  # type: ignore[union-attr]
    assert bound == {key for command in COMMANDS for key in command.keys}


def test_the_help_page_lists_every_command_in_every_set_of_characters() -> None:
    for glyphs in SETS.values():
        page = "\n".join(help_lines(glyphs))
        assert all(command.help in page for command in COMMANDS)


def test_the_last_line_begins_with_the_emergency_stop_and_fits_80_columns_up_to_help() -> None:
    keys = footer_keys()
    assert keys[0].command == "emergency_stop"
    spots = paint_footer(Canvas.blank(80, 1), keys)
    assert {"help", "all_commands"} <= {command for _, _, command in spots}


def test_no_two_lines_of_the_help_begin_with_the_same_key() -> None:
    shown = {command.help: command.shown_key for command in COMMANDS}
    first = [
        keys.split()[0] for words, keys in shown.items() if keys not in ("page up", "page down")
    ]
    assert len(set(first)) == len(first)


def test_the_last_line_may_put_two_keys_under_one_word() -> None:
    keys = [(key.key, key.words, key.command) for key in footer_keys()]
    at = keys.index(("+", "", "more"))
    assert keys[at + 1] == ("-", "turn", "less")
