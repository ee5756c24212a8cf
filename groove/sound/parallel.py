"""Jobs that run in threads side by side, end together, and can be stopped in the middle."""

from __future__ import annotations

import os
import threading
from functools import partial
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    Step = Callable[[int], None]
    Job = Callable[[Step], None]

Item = TypeVar("Item")

POLL_SECONDS = 0.1
"""How long the caller's thread waits before it looks how far the jobs are."""


class _StoppedError(Exception):
    """Another job has failed, or the whole work has been stopped."""


def side_by_side(jobs: Sequence[Job], tell: Callable[[int], None]) -> None:
    """Carry out all jobs, as many at once as there are cores, the first ones first.

    A job calls the function that it is given after every bit of its work, with the size of that
    bit; the call ends the job when the work is stopped. tell: is told in the caller's thread what
    the bits add up to so far. Raises what a job raised first, after all have ended.
    """
    work = _Work(jobs)
    threads = [
        threading.Thread(target=work.run, daemon=True) for _ in range(min(cores(), len(jobs)))
    ]
    try:
        for thread in threads:
            thread.start()
        for thread in threads:
            while thread.is_alive():
                thread.join(POLL_SECONDS)
                tell(work.done)
    finally:
        work.stopped = True
        for thread in threads:
            if thread.ident:
                thread.join()
    if work.failure:
        raise work.failure
    tell(work.done)


def for_each(work: Callable[[Item], None], items: Sequence[Item]) -> None:
    """Do some work for each of some items, on all cores."""

    def some(first: int, step: Step) -> None:
        for item in items[first :: cores()]:
            work(item)
            step(1)

    side_by_side([partial(some, first) for first in range(cores())], lambda _done: None)


class _Work:
    def __init__(self, jobs: Sequence[Job]) -> None:
        self._left = list(reversed(jobs))
        self._lock = threading.Lock()
        self.done = 0
        self.stopped = False
        self.failure: BaseException | None = None

    def run(self) -> None:
        """Take jobs until none is left."""
        while not self.stopped:
            with self._lock:
                if not self._left:
                    return
                job = self._left.pop()
            try:
                job(self._step)
            except BaseException as failure:
                if self.stopped and isinstance(failure, _StoppedError):
                    return  # else it is work around this one that has been stopped
                with self._lock:
                    self.failure = self.failure or failure
                self.stopped = True

    def _step(self, size: int) -> None:
        with self._lock:
            self.done += size
        if self.stopped:
            raise _StoppedError


def cores() -> int:
    """How many processor cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
