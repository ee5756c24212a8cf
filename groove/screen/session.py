"""A run of the screen: the lessons that are open, their music, their windows, its end."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cached_property
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.screen.lessons import EMPTY, place_of
from groove.screen.open_form import OpenForm

if TYPE_CHECKING:
    from pathlib import Path

    from groove.form.model import Form
    from groove.screen.live import Live

PATIENCE = 120.0
"""Seconds without a window after which the server ends."""


class Lesson:
    """An open form, its music and its windows. lock: for one request after the other."""

    def __init__(self, form: OpenForm) -> None:
        self.form = form
        self.lock = asyncio.Lock()
        self._making = asyncio.Lock()
        self._made: tuple[Form, int | None, bytes] | None = None
        self.windows: set[asyncio.Queue[str]] = set()

    @cached_property
    def live(self) -> Live:
        """The maker of its music, loaded with the first request for it."""
        from groove.screen.live import Live

        return Live()

    async def music(self, key: int | None = None) -> bytes:
        """The music of the last valid form, see Live.music; made once for each form, a caller that
        waits takes the newest. key: the number of another one than its own.

        Raises GrooveError where there is no form yet, or no sound.
        """
        async with self._making:
            form = self.form.form
            if form is None:
                raise GrooveError("there is nothing to play yet")
            if self._made is None or self._made[0] is not form or self._made[1] != key:
                self._made = form, key, await asyncio.to_thread(self._played, form, key)
            return self._made[2]

    def _played(self, form: Form, key: int | None) -> bytes:
        return self.live.music(form, key)

    def tell(self, word: str) -> None:
        """Tell all windows of the lesson a word."""
        for told in self.windows:
            told.put_nowait(word)


class Session:
    """The state of one run. folder: of the lessons, that of the form that is opened first. is_over:
    whether it has been ended."""

    def __init__(self, first: OpenForm) -> None:
        self.first = first.path.name
        self.folder: Path = first.path.parent
        self._lessons = {self.first: Lesson(first)}
        self.is_over = False
        self._at_work = 0
        self._alone_since = time.monotonic()

    def end(self) -> None:
        """Let the windows' streams end, so that the server can close in order."""
        self.is_over = True
        for lesson in self._lessons.values():
            lesson.tell("over")

    def lesson(self, name: str) -> Lesson:
        """The lesson of a form file of the folder, which is opened if it is not.

        Raises GrooveError where there is none.
        """
        if name not in self._lessons:
            self._lessons[name] = Lesson(OpenForm.at(place_of(name, self.folder), EMPTY))
        return self._lessons[name]

    def is_open(self, name: str) -> bool:
        """Whether a lesson is open in this run."""
        return name in self._lessons

    def moved(self, name: str, to: str) -> None:
        """Know an open lesson by the name that its file has now."""
        self._lessons[to] = self._lessons.pop(name)
        if self.first == name:
            self.first = to

    @contextmanager
    def window(self, lesson: Lesson) -> Iterator[asyncio.Queue[str]]:
        """Count a window of a lesson while the block runs; yield the queue of what it is told."""
        told: asyncio.Queue[str] = asyncio.Queue()
        lesson.windows.add(told)
        try:
            yield told
        finally:
            lesson.windows.discard(told)
            self._alone_since = time.monotonic()

    @contextmanager
    def work(self) -> Iterator[None]:
        """Keep the server from ending while the block runs."""
        self._at_work += 1
        try:
            yield
        finally:
            self._at_work -= 1
            self._alone_since = time.monotonic()

    @property
    def is_left(self) -> bool:
        """Whether no window has been there for PATIENCE seconds, and no work is done."""
        if self._at_work or any(lesson.windows for lesson in self._lessons.values()):
            return False
        return time.monotonic() - self._alone_since > PATIENCE
