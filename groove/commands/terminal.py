"""Messages and progress bars on standard error, and results on standard output."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

import click

from groove.errors import GrooveError, StopError, one_line

SECONDS_A_LINE = 10


def say(text: str) -> None:
    """Print one line on standard error, short enough to read and free of control characters."""
    show_message(one_line(text))


def show_message(text: str) -> None:
    """Print a text on standard error. Where that can't be done, the run goes on without it."""
    try:
        click.echo(text, err=True)
    except OSError:
        drop(sys.stderr)


def drop(stream: TextIO) -> None:
    """Connect a stream to the null device, so that its unwritten text can't fail or block."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def fail(text: str, code: int) -> int:
    """Print an error. Returns the exit code."""
    say(f"groove: {text}")
    return code


def show_paths(paths: Iterable[Path]) -> None:
    """Print the paths of files that are written, one a line, byte for byte as the system has it."""
    show_result(os.fsencode(path) for path in paths)


def show_result(lines: Iterable[str | bytes]) -> None:
    """Print a result on standard output when all files are written.

    Raises GrooveError where that can't be printed, or the user stops it.
    """
    try:
        for line in lines:
            click.echo(line)
        sys.stdout.flush()
    except KeyboardInterrupt:
        raise StopError from None
    except OSError as error:
        drop(sys.stdout)
        raise GrooveError(
            "all is written, but the list of the files could not be printed: "
            f"{error.strerror or error}"
        ) from None


@contextmanager
def progress_bar(label: str, *, lines: bool = False) -> Iterator[Callable[[float], None]]:
    """Yield a function that shows the share done, 0 to 1, as a bar with the time left.

    Off a terminal it shows nothing, or with `lines` a line every SECONDS_A_LINE.
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
