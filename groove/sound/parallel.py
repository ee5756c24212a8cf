"""Work that runs in parallel threads, ends together, and can be stopped in the middle."""

from __future__ import annotations

import os
import threading
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    Step = Callable[[int], None]
    Work = Callable[[Step], None]

Item = TypeVar("Item")

POLL_SECONDS = 0.1
"""Seconds that the caller's thread waits between two reports of progress."""


class _StoppedError(Exception):
    """Other work has failed, or all of it has been stopped."""


def run_parallel(works: Sequence[Work], progress: Callable[[int], None]) -> None:
    """Run all works, as many at once as there are cores, the first ones first.

    Each work gets a function to call with the size of each piece that it has done; that call
    ends the work when all are stopped. progress: called in the caller's thread with the sum of the
    sizes so far. Raises the first error of a work, after all have ended.
    """
    queue = _Queue(works)
    threads = [
        threading.Thread(target=queue.run, daemon=True) for _ in range(min(cores(), len(works)))
    ]
    try:
        start(threads)
        for thread in threads:
            while thread.is_alive():
                thread.join(POLL_SECONDS)
                progress(queue.done)
        queue.run()  # the works that are left if a thread could not be started
    finally:
        queue.stopped = True
        for thread in threads:
            if thread.ident:
                thread.join()
    if queue.failure:
        raise queue.failure
    progress(queue.done)


def start(threads: Sequence[threading.Thread]) -> None:
    """Start threads, in order, until the system has no memory for more."""
    with suppress(RuntimeError):
        for thread in threads:
            thread.start()


def for_each(work: Callable[[Item], None], items: Sequence[Item]) -> None:
    """Call `work` with each of the items, on all cores."""

    def some(first: int, step: Step) -> None:
        for item in items[first :: cores()]:
            work(item)
            step(1)

    run_parallel([partial(some, first) for first in range(cores())], lambda _done: None)


class _Queue:
    """Works to be done, taken by several threads."""

    def __init__(self, works: Sequence[Work]) -> None:
        self._left = list(reversed(works))
        self._lock = threading.Lock()
        self.done = 0
        self.stopped = False
        self.failure: BaseException | None = None

    def run(self) -> None:
        """Do works until none is left."""
        while not self.stopped:
            with self._lock:
                if not self._left:
                    return
                work = self._left.pop()
            try:
                work(self._step)
            except BaseException as failure:
                if self.stopped and isinstance(failure, _StoppedError):
                    return  # otherwise the surrounding works have been stopped
                with self._lock:
                    self.failure = self.failure or failure
                self.stopped = True

    def _step(self, size: int) -> None:
        with self._lock:
            self.done += size
        if self.stopped:
            raise _StoppedError


def cores() -> int:
    """The number of processor cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
