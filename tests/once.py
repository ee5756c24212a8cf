"""Makes once what several tests read, in whichever process of a run needs it first."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Callable
from pathlib import Path

import pytest


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """A file or folder of a run, made by ``make(path)`` unless another process of it has made it.

    The tests only read it, or copy it.
    """
    base = factory.getbasetemp()
    room = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "once"
    room.mkdir(exist_ok=True)
    path = room / name
    with (room / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not path.exists():
            half = room / "half" / name
            half.parent.mkdir(exist_ok=True)
            make(half)
            half.rename(path)
    return path
