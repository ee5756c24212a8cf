"""Encoding in the background, so that several slow formats share the cores.

The encoders let go of Python's lock while they work (measured: two at once take no longer than
one).
"""

from __future__ import annotations

from collections import deque
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from groove.sound.files.writers import AudioFile
    from groove.sound.samples import Samples

_AHEAD = 4
"""Blocks that may wait for an encoder in its thread."""


class InBackground:
    """An audio file that is encoded in a thread of its own, a few blocks behind."""

    def __init__(self, audio: AudioFile) -> None:
        self._audio = audio
        self._worker = ThreadPoolExecutor(1)
        self._waiting: deque[Future[None]] = deque()

    def write(self, block: Samples) -> None:
        """As of `AudioFile`; what the system refuses is told a few blocks later."""
        if len(self._waiting) == _AHEAD:
            self._waiting.popleft().result()
        self._waiting.append(self._worker.submit(self._audio.write, block.copy()))

    def finish(self) -> None:
        """As of `AudioFile`."""
        while self._waiting:
            self._waiting.popleft().result()
        self._worker.shutdown()
        self._audio.finish()

    def abandon(self) -> None:
        """As of `AudioFile`; waits for the one block that is being encoded."""
        self._worker.shutdown(cancel_futures=True)
        self._audio.abandon()
