"""The stems of a track, played side by side: one synthesiser each, in threads that share the cores.

The library lets go of Python's lock while it plays, so the threads truly run at once. Whichever
stem is furthest behind plays on first: the most laborious one, as a rule the drums, then never
waits, and all of them stay close together.
"""

from __future__ import annotations

import math
import os
import threading
from collections import deque
from contextlib import ExitStack
from typing import TYPE_CHECKING

import numpy as np

from groove.errors import GrooveError
from groove.sound.synth import Synth, quiet_stderr
from groove.sound.timeline import GRAIN, SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groove.sound.soundfonts import Soundfont
    from groove.sound.synth import Room, Samples
    from groove.sound.timeline import Score

BLOCK = 512 * GRAIN
"""Frames in each block: 0.74 s."""

LEAD = 24
"""Blocks that a stem may be ahead of what has been taken: 18 s, 6 MB."""

NO_SOUND = 1e-5
"""What stays below this (-100 dBFS as it comes from the synthesiser) is silence; the reverb by
itself hums at some -150 dBFS."""

LONGEST_TAIL_SECONDS = 12.0


def play_stems(
    scores: Sequence[Score], soundfont: Soundfont, room: Room
) -> Iterator[tuple[Samples | None, ...]]:
    """Play `scores` together from frame 0 until the last sound has died away.

    Yields for every `BLOCK` frames a block of each stem in the order of the scores, None for a
    stem that has ended. Each is a new array. A stem ends when a whole block after its last event
    is silent, or 12 seconds after it. Closing the iterator stops the threads.
    """
    band = _Band(scores, soundfont, room)
    try:
        band.start()
        while blocks := band.take():
            yield blocks
    finally:
        band.stop()


class _Stem:
    """One stem's player: what it has played and nobody has taken yet."""

    def __init__(self, score: Score, synth: Synth) -> None:
        self.score, self.synth = score, synth
        self.blocks: deque[Samples] = deque()
        self.played = 0
        self.busy = self.ended = False

    def play(self) -> tuple[Samples, bool]:
        """The next block, and whether it is the last one."""
        begun = self.synth.frame
        block = np.empty((BLOCK, 2), dtype=np.float32)
        self.synth.fill(block)
        loudest = max(float(block.max()), -float(block.min()))
        if not math.isfinite(loudest):
            raise GrooveError(
                f"soundfont {self.synth.soundfont.path}: damaged: it makes no real sound"
            )
        rung = (begun - self.score.end) / SAMPLE_RATE
        return block, rung >= 0 and (loudest < NO_SOUND or rung >= LONGEST_TAIL_SECONDS)


class _Band:
    """The stems and the threads that play them.

    `_change` guards everything that threads share, and is told when any of it changes.
    """

    def __init__(self, scores: Sequence[Score], soundfont: Soundfont, room: Room) -> None:
        self._scores, self._soundfont, self._room = scores, soundfont, room
        self._change = threading.Condition()
        self._stems: list[_Stem] = []
        self._taken = 0
        self._failure: BaseException | None = None
        self._stopped = False
        self._synths = ExitStack()
        self._threads: list[threading.Thread] = []

    def start(self) -> None:
        with quiet_stderr():
            for score in self._scores:
                synth = self._synths.enter_context(Synth(self._soundfont, score.events, self._room))
                self._stems.append(_Stem(score, synth))
        for _ in range(min(cores(), len(self._stems))):
            thread = threading.Thread(target=self._work, daemon=True)
            self._threads.append(thread)
            thread.start()

    def take(self) -> tuple[Samples | None, ...]:
        """The next block of each stem, when all have theirs; nothing when all have ended.

        Raises what went wrong in a thread.
        """
        with self._change:
            while not self._failure and not all(s.blocks or s.ended for s in self._stems):
                self._change.wait()
            if self._failure:
                raise self._failure
            if not any(stem.blocks for stem in self._stems):
                return ()
            self._taken += 1
            self._change.notify_all()
            return tuple(s.blocks.popleft() if s.blocks else None for s in self._stems)

    def stop(self) -> None:
        """End the threads, each after the block that it is playing, and free the synthesisers."""
        with self._change:
            self._stopped = True
            self._change.notify_all()
        for thread in self._threads:
            thread.join()
        self._synths.close()

    def _work(self) -> None:
        """Play blocks of whichever stem is furthest behind, until all have ended."""
        try:
            while stem := self._next():
                block, is_last = stem.play()
                with self._change:
                    stem.blocks.append(block)
                    stem.played += 1
                    stem.busy, stem.ended = False, is_last
                    self._change.notify_all()
        except BaseException as failure:
            with self._change:
                self._failure = self._failure or failure
                self._change.notify_all()

    def _next(self) -> _Stem | None:
        """The free stem that is furthest behind, as soon as there is one; None at the end."""
        with self._change:
            while not self._stopped and not self._failure:
                if all(stem.ended for stem in self._stems):
                    break
                free = [
                    stem
                    for stem in self._stems
                    if not (stem.busy or stem.ended) and stem.played < self._taken + LEAD
                ]
                if free:
                    stem = min(free, key=lambda stem: stem.played)
                    stem.busy = True
                    return stem
                self._change.wait()
            return None


def cores() -> int:
    """How many processor cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
