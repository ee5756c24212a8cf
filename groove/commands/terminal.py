"""What is said to whoever looks on: lines, and how much is done."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from groove.errors import StopError, one_line

SECONDS_A_LINE = 10


def say(text: str) -> None:
    """One line to standard error, short enough to read and free of control characters."""
    click.echo(one_line(text), err=True)


def fail(text: str, code: int) -> int:
    """Say what went wrong; gives the exit code back."""
    say(f"groove: {text}")
    return code


def show_paths(paths: Iterable[Path]) -> None:
    """One path a line to standard output, byte for byte as the system has it.

    Raises StopError where the user stops it, for the files are written by then.
    """
    try:
        for path in paths:
            click.echo(os.fsencode(path))
    except KeyboardInterrupt:
        raise StopError from None


@contextmanager
def progress_bar(label: str, *, lines: bool = False) -> Iterator[Callable[[float], None]]:
    """A function that shows how much is done, 0 to 1: a bar with the time left on a terminal.

    lines: elsewhere a line now and then.
    """
    begun = said = time.monotonic()
    bar = None

    def tell(done: float) -> None:
        nonlocal bar, said
        if sys.stderr.isatty():
            bar = bar or click.progressbar(length=1000, label=label, file=sys.stderr)
            bar.update(round(done * 1000) - bar.pos)
            return
        now = time.monotonic()
        if lines and now - said >= SECONDS_A_LINE and 0 < done < 1:
            from groove.handout.pack.estimate import duration

            said = now
            say(f"{done:.0%} done, about {duration((now - begun) * (1 / done - 1))} left")

    try:
        yield tell
    finally:
        if bar:
            bar.render_finish()
