"""The examples in README.md and in the texts of `groove help` are true."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from textwrap import dedent

import click
import pytest

import groove
from groove.cli import COMMANDS, cli
from groove.commands.help import topics
from groove.form.fields import FIELDS
from tests.command_line import call

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
TEXTS = {path: path.read_text("utf-8") for path in topics().values()}
MOST_WORDS = 1300
SET_LIST = dedent(topics()["set"].read_text("utf-8").split("order:\n\n")[1].split("\n\nA form")[0])


def blocks(language: str) -> list[str]:
    """The fenced blocks of the README in a language."""
    return re.findall(rf"^```{language}\n(.*?)^```", README, re.M | re.S)


SHELL_LINES = [line for block in blocks("sh") for line in block.splitlines()]
COMMAND_LINES = [
    shlex.split(line, comments=True)[1:]
    for line in [*SHELL_LINES, *(line for text in TEXTS.values() for line in text.splitlines())]
    if line.lstrip().startswith("groove ") and (line in SHELL_LINES or line.startswith("    "))
]


@pytest.fixture(autouse=True)
def _beside_the_readme_s_form(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("ferry.toml", "mine.toml"):
        Path(name).write_text(blocks("toml")[0], "utf-8")
    Path("friday.toml").write_text(SET_LIST, "utf-8")


def test_the_readme_is_short() -> None:
    words = [word for word in README.split() if any(sign.isalnum() for sign in word)]
    assert len(words) <= MOST_WORDS


@pytest.mark.parametrize("words", COMMAND_LINES, ids=" ".join)
def test_every_command_line_is_understood(words: list[str]) -> None:
    words = words[: words.index(">")] if ">" in words else words
    if words == ["--help"]:
        return
    command = cli.get_command(click.Context(cli), words[0])
    assert command is not None
    command.make_context(words[0], words[1:])


QUICK = [
    words
    for words in COMMAND_LINES
    if words[0] not in ("page", "pack", "open") and "--audio" not in words and ">" not in words
]
SHORT = {"video": ("--chords", "I7", "--choruses", "1", "--tempo", "200")}
"""Options that make what takes long short, by the name of the command."""


@pytest.mark.parametrize("words", QUICK, ids=" ".join)
def test_every_command_line_without_long_sound_works(words: list[str]) -> None:
    assert call(*words, *SHORT.get(words[0], ())).code == 0


@pytest.mark.parametrize("line", [line for line in SHELL_LINES if line.startswith("sh ")])
def test_the_run_scripts_are_there(line: str) -> None:
    assert (ROOT / line.split()[1]).is_file()


@pytest.mark.parametrize("text", blocks("toml"))
def test_every_form_in_the_readme_is_one(text: str) -> None:
    Path("form.toml").write_text(text, "utf-8")
    assert groove.read_form("form.toml").bars


def test_the_fields_that_the_readme_explains_are_all_there_are() -> None:
    table = README.partition("| field | what it says |")[2].partition("\n\n")[0]
    names = {
        name for row in table.splitlines() for name in re.findall(r"`(\w+)`", row.split(" | ")[0])
    }
    assert names == set(FIELDS)


def test_the_readme_names_every_topic_of_the_help() -> None:
    named = re.findall(r"^groove help (\w+)|`(?:groove help )?(\w+)`", README, re.M)
    assert {name for pair in named for name in pair} >= set(topics())


def test_every_command_is_shown() -> None:
    assert {words[0] for words in COMMAND_LINES} >= set(COMMANDS)


def test_shipped_forms_are_counted_right() -> None:
    assert "Twelve forms come with groove" in README
    assert len(call("forms").out.splitlines()) == 12


def examples_of(topic: str) -> list[str]:
    """The examples of a topic: lines set in, with the blank lines between them."""
    text = topics()[topic].read_text("utf-8")
    return [dedent(found) for found in re.findall(r"(?:^    \S.*\n|^\n(?=    ))+", text, re.M)]


@pytest.mark.parametrize("text", examples_of("chords"))
def test_every_form_in_the_help_is_one(text: str) -> None:
    Path("form.toml").write_text(text, "utf-8")
    assert groove.read_form("form.toml", key="C").bars


def test_python_in_the_help_runs() -> None:
    names: dict[str, object] = {}
    exec(examples_of("python")[0], names)
    paths = names["paths"]
    assert isinstance(paths, list)
    assert [path.is_file() for path in paths] == [True]
