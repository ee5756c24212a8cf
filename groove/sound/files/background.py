"""Encodes audio in the background, so that several slow formats share the cores.

The encoders release Python's lock while they work (measured: two at once take no longer than one).
"""

from __future__ import annotations

from collections import deque
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from groove.sound.files.writers import AudioWriter
    from groove.sound.samples import Samples

_AHEAD = 4
"""Blocks that may wait for an encoder in its thread."""


class BackgroundWriter:
    """An audio writer that works in a thread of its own, a few blocks behind."""

    def __init__(self, audio: AudioWriter) -> None:
        self._audio = audio
        self._worker = ThreadPoolExecutor(1)
        self._waiting: deque[Future[None]] = deque()

    def write(self, block: Samples) -> None:
        """As of `AudioWriter`; an error is raised up to a few blocks later."""
        if len(self._waiting) == _AHEAD:
            self._waiting.popleft().result()
        try:
            self._waiting.append(self._worker.submit(self._audio.write, block.copy()))
        except RuntimeError:  # the system cannot start a thread
            raise MemoryError from None

    def finish(self) -> None:
        """As of `AudioWriter`."""
        while self._waiting:
            self._waiting.popleft().result()
        self._worker.shutdown()
        self._audio.finish()

    def abandon(self) -> None:
        """As of `AudioWriter`; waits for the one block that is being encoded."""
        self._worker.shutdown(cancel_futures=True)
        self._audio.abandon()
