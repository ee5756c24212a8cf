"""Makes a pack in a process of its own, which the screen's server starts, hears and stops.

What is to be made comes on standard input; a line of JSON goes out for each thing to tell. It stops
as `groove pack` does when more comes on standard input, or when that ends with the server.
"""

from __future__ import annotations

import json
import os
import pickle
import signal
import sys
import threading
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TextIO

from groove.errors import GrooveError
from groove.wording import worded

if TYPE_CHECKING:
    from groove.form.model import Form

MODULE = __name__
"""The name by which Python runs this file as a program."""
DONE, STOPPED, FAILED = "done", "stopped", "failed"
PATIENT = 10
"""The niceness (POSIX) of the process and of those that it starts."""
LENGTH = 8
"""Bytes of the number that says how long what follows is."""


class Stop(KeyboardInterrupt):
    """The server has asked to stop, or has gone."""


def packed(form: Form, folder: Path, wish: dict[str, Any], options: dict[str, Any]) -> bytes:
    """The bytes that the process reads: a form, the folder of its pack, the choices, and these as
    the arguments of groove.pack."""
    content = pickle.dumps((form, folder, wish, options))
    return len(content).to_bytes(LENGTH, "big") + content


def main() -> None:
    """Make the pack that comes on standard input, and tell of it on standard output."""
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # nobody else writes there
    form, folder, wish, options = pickle.loads(_read(int.from_bytes(_read(LENGTH), "big")))
    signal.signal(signal.SIGINT, _stop)
    if hasattr(os, "nice"):
        os.nice(PATIENT)
    threading.Thread(target=_stop_when_told, daemon=True).start()
    ended: dict[str, Any]
    try:
        with worded(form.lesson.words):
            ended = _make(form, folder, wish, options, out)
    except KeyboardInterrupt:
        ended = {"ended": STOPPED}
    except GrooveError as error:
        ended = {"ended": FAILED, "trouble": str(error)}
    except MemoryError:
        ended = {"ended": FAILED, "trouble": "", "memory": True}
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _tell(out, ended)


def _make(
    form: Form, folder: Path, wish: dict[str, Any], options: dict[str, Any], out: TextIO
) -> dict[str, Any]:
    """Make a pack. Returns what to tell of it."""
    from groove.handout.pack.make import pack
    from groove.screen.posting.last import keep_asked

    def progress(share: float) -> None:
        if share == 0:
            keep_asked(folder, wish)
        _tell(out, {"share": share})

    made = pack(
        form, folder, say=lambda line: _tell(out, {"say": line}), progress=progress, **options
    )
    return {
        "ended": DONE,
        "made": len(made.made),
        "kept": len(made.kept),
        "removed": len(made.removed),
        "aside": list(made.aside),
    }


def _tell(out: TextIO, what: dict[str, Any]) -> None:
    """Write a line. Where the server has gone, standard input tells so."""
    with suppress(OSError):
        print(json.dumps(what), file=out, flush=True)


def _read(size: int) -> bytes:
    """Some bytes of standard input. Python's own reader is left alone: a thread that waits in it
    would keep the process from ending."""
    found = b""
    while len(found) < size:
        more = os.read(0, size - len(found))
        if not more:
            sys.exit(1)
        found += more
    return found


def _stop_when_told() -> None:
    os.read(0, 1)
    signal.pthread_kill(threading.main_thread().ident or 0, signal.SIGINT)


def _stop(_number: int, _frame: object) -> None:
    signal.signal(signal.SIGINT, lambda _number, _frame: None)
    raise Stop


if __name__ == "__main__":
    main()
