"""Options that several commands share: names and their completion, large and small letters."""

from __future__ import annotations

import click
import pytest

from groove.commands.options import Names
from tests.command_line import call


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("", ["drums", "bass", "comping"]),
        ("c", ["comping"]),
        ("bass,", ["bass,drums", "bass,comping"]),
        ("bass,d", ["bass,drums"]),
        ("bass,b", []),
    ],
)
def test_a_name_in_a_list_is_completed_to_those_not_there_yet(
    typed: str, offered: list[str]
) -> None:
    names = Names("drums", "bass", "comping")
    option = click.Option(["--without"], type=names)
    with click.Context(click.Command("make")) as context:
        assert [item.value for item in names.shell_complete(context, option, typed)] == offered


@pytest.mark.parametrize("option", [("--dots", "NAMES"), ("--paper", "Letter"), ("--for", "bB")])
def test_a_choice_is_understood_in_large_and_small_letters(option: tuple[str, str]) -> None:
    result = call("sheet", "twelve-bar", *option)
    assert (result.code, result.err) == (0, "")
