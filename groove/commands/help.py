"""`groove help`: texts on single topics."""

from __future__ import annotations

import shutil
import textwrap
from pathlib import Path

import click
from click.shell_completion import CompletionItem

from groove.errors import nearest

TOPICS = Path(__file__).parent / "topics"
"""The texts, a file a topic. The first line is the title; blank lines part the paragraphs; a
paragraph that begins with four spaces is shown as it stands, one with "- " is an item."""
WIDEST = 100
CODE = "    "


def topics() -> dict[str, Path]:
    """Return the file of each topic by the topic's name, in order."""
    return {path.stem: path for path in sorted(TOPICS.glob("*.txt"))}


def wrapped(text: str, width: int) -> str:
    """Return the text of a topic with its paragraphs wrapped to `width` columns."""
    return "\n\n".join(
        block
        if block.startswith(CODE)
        else textwrap.fill(
            block,
            width,
            subsequent_indent="  " if block.startswith("- ") else "",
            break_long_words=False,
            break_on_hyphens=False,
        )
        for block in text.rstrip("\n").split("\n\n")
    )


def _complete(_ctx: click.Context, _param: click.Parameter, start: str) -> list[CompletionItem]:
    return [CompletionItem(name) for name in topics() if name.startswith(start)]


@click.command("help")
@click.argument("topic", required=False, shell_complete=_complete)
def help_command(topic: str | None) -> None:
    """Explain a TOPIC in full; without one, list the topics.

    \b
    Example:
      groove help chords
    """
    if topic is None:
        for name, path in topics().items():
            click.echo(f"{name:8} {path.read_text('utf-8').partition(chr(10))[0]}")
    elif topic in topics():
        width = min(shutil.get_terminal_size().columns, WIDEST)
        click.echo(wrapped(topics()[topic].read_text("utf-8"), width))
    else:
        raise click.UsageError(f"there is no topic {topic!r}; {nearest(topic, topics())}")
