"""Running the command line in a test: in this process for speed, or as the installed program."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple
from unittest.mock import patch

import groove.cli

GROOVE = str(Path(sys.executable).with_name("groove"))
SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


class Result(NamedTuple):
    """The exit code and the output of a run."""

    code: int
    out: str
    err: str


def call(*arguments: str, stdin: bytes = b"") -> Result:
    """Run ``groove ARGUMENTS`` in this process."""
    streams: list[Any] = [
        io.TextIOWrapper(io.BytesIO(content), "utf-8") for content in (stdin, b"", b"")
    ]
    handlers = [signal.getsignal(number) for number in SIGNALS]
    code: Any = None
    with (
        patch.object(sys, "argv", ["groove", *arguments]),
        patch.multiple(sys, **dict(zip(("stdin", "stdout", "stderr"), streams, strict=True))),
    ):
        try:
            groove.cli.main()
        except SystemExit as stop:
            code = stop.code or 0
        finally:
            for number, handler in zip(SIGNALS, handlers, strict=True):
                signal.signal(number, handler)
    for stream in streams[1:]:
        stream.flush()
    return Result(code, *(stream.buffer.getvalue().decode() for stream in streams[1:]))


def start(*arguments: str | bytes, **settings: Any) -> subprocess.Popen[bytes]:
    """Start the installed ``groove ARGUMENTS``; settings as Popen takes them."""
    pipes = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    return subprocess.Popen([GROOVE, *arguments], **(pipes | settings))


def run(*arguments: str | bytes, **settings: Any) -> Result:
    """Run the installed ``groove ARGUMENTS``; settings as Popen takes them."""
    with start(*arguments, **settings) as process:
        out, err = process.communicate(timeout=60)
    return Result(process.returncode, *((text or b"").decode() for text in (out, err)))


def environment(**changes: str | None) -> dict[str, str]:
    """This process's environment with some variables changed or, with None, taken away."""
    return {k: v for k, v in (dict(os.environ) | changes).items() if v is not None}


def snapshot(folder: Path) -> dict[str, bytes | None]:
    """Every path under a folder, hidden ones too, with the content of the ordinary files."""
    return {
        str(path.relative_to(folder)): (
            path.read_bytes() if path.is_file() and not path.is_symlink() else None
        )
        for path in folder.rglob("*")
    }


@contextmanager
def without_privileges() -> Iterator[None]:
    """Permissions count within, even where the tests run as root."""
    if os.geteuid():
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)
