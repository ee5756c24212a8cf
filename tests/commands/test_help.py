"""`groove help`: the topics, wrapped for the terminal."""

from __future__ import annotations

import pytest

from groove.commands.help import topics
from groove.errors import BAD_USAGE
from tests.command_line import call


def test_without_a_topic_each_is_listed_with_its_title() -> None:
    lines = call("help").out.splitlines()
    assert [line.split(maxsplit=1)[0] for line in lines] == sorted(topics())
    assert all(len(line) <= 80 for line in lines)


@pytest.mark.parametrize("columns", [50, 80, 300])
@pytest.mark.parametrize("topic", topics())
def test_a_topic_keeps_to_the_terminal_and_loses_no_word(
    topic: str, columns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    result = call("help", topic)
    assert (result.code, result.err) == (0, "")
    assert result.out.split() == topics()[topic].read_text("utf-8").split()
    prose = [line for line in result.out.splitlines() if not line.startswith("    ")]
    assert max(map(len, prose)) <= min(columns, 100)


def test_an_example_stands_as_it_was_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "20")
    assert '\n    chords = "I7 | % | ii7 V7 | I7"\n' in call("help", "chords").out


def test_items_of_a_list_are_indented_under_their_first_word(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    lines = call("help", "pack").out.splitlines()
    first = next(number for number, line in enumerate(lines) if line.startswith("- "))
    assert lines[first + 1].startswith("  ")
    assert lines[first + 1][2] != " "


@pytest.mark.parametrize(
    ("asked", "said"),
    [("chord", "did you mean chords?"), ("zzz", "there are: arrangement, chart, chords, ")],
)
def test_an_unknown_topic_is_one_line_with_the_nearest(asked: str, said: str) -> None:
    result = call("help", asked)
    assert (result.code, result.out) == (BAD_USAGE, "")
    assert said in result.err
    assert result.err.count("\n") == 1
