"""A run of the screen: the form that is open, its music, its windows, its end."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.screen.live import Live
from groove.screen.open_form import OpenForm

if TYPE_CHECKING:
    from groove.form.model import Form

PATIENCE = 120.0
"""Seconds without a window after which the server ends."""


class Session:
    """The state of one run. lock: for one request after the other."""

    def __init__(self, form: OpenForm) -> None:
        self.form = form
        self.lock = asyncio.Lock()
        self.live = Live()
        self._making = asyncio.Lock()
        self._made: tuple[Form, bytes] | None = None
        self._windows: set[asyncio.Queue[str]] = set()
        self._alone_since = time.monotonic()

    async def music(self) -> bytes:
        """The music of the last valid form, see Live.music; made once for each form, a caller that
        waits takes the newest. Raises GrooveError where there is no form yet, or no sound."""
        async with self._making:
            form = self.form.form
            if form is None:
                raise GrooveError("there is nothing to play yet")
            if self._made is None or self._made[0] is not form:
                self._made = form, await asyncio.to_thread(self.live.music, form)
            return self._made[1]

    @contextmanager
    def window(self) -> Iterator[asyncio.Queue[str]]:
        """Count a window while the block runs; yield the queue of what it is told."""
        told: asyncio.Queue[str] = asyncio.Queue()
        self._windows.add(told)
        try:
            yield told
        finally:
            self._windows.discard(told)
            self._alone_since = time.monotonic()

    def tell(self, word: str) -> None:
        """Tell all windows a word."""
        for told in self._windows:
            told.put_nowait(word)

    @property
    def is_left(self) -> bool:
        """Whether no window has been there for PATIENCE seconds."""
        return not self._windows and time.monotonic() - self._alone_since > PATIENCE
