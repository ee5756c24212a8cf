"""Errors are short enough to read for any value found."""

from __future__ import annotations

import pytest

from groove.errors import LONGEST_LINE, GrooveError, OptionError, nearest, one_line, quoted

HUGE = "x" * 1_000_000


@pytest.mark.parametrize(
    "error",
    [GrooveError(HUGE), OptionError("key", HUGE), GrooveError("a\n" * 1_000)],
    ids=["one word", "an option", "many lines"],
)
def test_an_error_is_one_short_line(error: GrooveError) -> None:
    assert len(str(error)) <= LONGEST_LINE + len("key: ")
    assert len(str(error).splitlines()) == 1


def test_a_line_keeps_its_beginning_and_its_end() -> None:
    line = one_line(f"ferry.toml: {HUGE}; at most 5", 37)
    assert line == "ferry.toml: xxxx ... xxxxx; at most 5"


def test_a_line_of_the_longest_length_stays_whole() -> None:
    assert one_line("y" * LONGEST_LINE) == "y" * LONGEST_LINE
    assert len(one_line("y" * (LONGEST_LINE + 1))) <= LONGEST_LINE


def test_signs_that_a_terminal_would_obey_are_replaced() -> None:
    assert one_line("\x1b[31mred\x07") == "?[31mred?"
    assert quoted("\x1b[31mred") == "'?[31mred'"


@pytest.mark.parametrize("value", [[HUGE], {"a": HUGE}, [10**9_000], [b"\0" * 1_000]])
def test_a_quoted_value_is_short(value: object) -> None:
    assert len(quoted(value)) <= 2 * 60 + 2  # each backslash is written twice


def test_a_quote_of_sixty_characters_stays_whole() -> None:
    assert quoted("z" * 60) == f"'{'z' * 60}'"
    assert quoted("z" * 61) == f"'{'z' * 57}...'"


def test_a_value_nested_without_end_is_quoted() -> None:
    value: list[object] = []
    for _ in range(100_000):
        value = [value]
    assert quoted(value) == "'something huge'"


def test_a_name_of_any_length_is_compared() -> None:
    assert nearest(HUGE, ["rumba"]) == "there are: rumba"
