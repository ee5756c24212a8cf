"""Plays the stems of a track in parallel, in threads that share the cores: pitched instruments on a
synthesiser each, strokes on drums from a pool for each soundfont.

The libraries release Python's lock while they play, so the threads truly run at once. The stem with
the most work left is played on first, so that no core is idle while it is finished; none gets far
ahead of the others.
"""

from __future__ import annotations

import ctypes
import sys
import threading
import time
from collections import deque
from contextlib import contextmanager
from typing import TYPE_CHECKING, Protocol

from groove.band.part import CLICK
from groove.sound.parallel import cores, start
from groove.sound.samples import BLOCK, NO_SOUND, SAMPLE_RATE
from groove.sound.synth.scores import Score
from groove.sound.synth.stroke_pool import StrokePool
from groove.sound.synth.strokes import StrokePlayer
from groove.sound.synth.synth import Synth, quiet_stderr

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Fonts, Soundfont

    Memory = ctypes.Array[ctypes.c_float]


LEAD = 12
"""Blocks that a stem may be ahead of the caller: 18 s, 6 MB."""

_BlockMemory = ctypes.c_float * (2 * BLOCK)
"""The memory of a block. It is made without the array library, which can then be loaded while the
stems are already being played."""

SWITCH_SECONDS = 0.001
"""Seconds that a thread waits at most for Python's lock while another computes; the usual 5 ms
would delay it at every note."""

SECONDS_A_NOTE, SECONDS_A_STROKE = 0.0006, 0.0002
"""Time to play a note, about, until it has been measured."""

LONGEST_TAIL_SECONDS = 12.0


@contextmanager
def play_stems(
    scores: Sequence[Score], fonts: Fonts
) -> Iterator[Iterator[tuple[Samples | None, ...]]]:
    """Play `scores` together from frame 0 until the last sound has died away, dry.

    The threads begin at once and play ahead of the caller. The iterator gives, for every
    `BLOCK` frames, a new block of each stem in the order of the scores, None for a stem that has
    ended: when a whole block after its last event is silent, or 12 seconds after it. At the end
    of the context the threads stop.
    """
    band = _Band(scores, fonts)
    interval = sys.getswitchinterval()
    sys.setswitchinterval(SWITCH_SECONDS)
    try:
        band.start()
        yield band.blocks()
    finally:
        band.stop()
        sys.setswitchinterval(interval)


class _Player(Protocol):
    """Fills blocks with the sound of a score, one after another; `frame` is the next one's."""

    frame: int

    def fill(self, block: Memory) -> None: ...

    def close(self) -> None: ...


class _Sounds:
    """The soundfonts of a band, as its players play on them."""

    def __init__(self, fonts: Fonts) -> None:
        self._fonts = fonts
        self._pools: dict[Soundfont, StrokePool] = {}
        self._lock = threading.Lock()

    def players(self, score: Score) -> list[_Player]:
        """The players of a score: for the strokes on drums in it, and for everything else."""
        font = self._fonts.of(score.name)
        players: list[_Player] = []
        for part in score.struck_and_others:
            if part.strikes:
                players.append(StrokePlayer(part, self._pool(font)))
            elif part.notes:  # the tuning note, in the click's stem, has its true pitch
                players.append(Synth(font, part.events, even=score.name == CLICK))
        return players

    def close(self) -> None:
        for pool in self._pools.values():
            pool.close()

    def _pool(self, font: Soundfont) -> StrokePool:
        with self._lock:
            if font not in self._pools:
                self._pools[font] = StrokePool(font)
            return self._pools[font]


class _Stem:
    """One stem: its players, and the blocks that are played and not yet taken."""

    def __init__(self, score: Score) -> None:
        self.score = score
        self.players: list[_Player] = []
        self.blocks: deque[Memory] = deque()
        self.played = 0
        self.seconds = 0.0
        self.busy = self.ended = False

    @property
    def work_left(self) -> float:
        """Seconds that the rest will take, estimated from the blocks played so far."""
        if not self.played:
            return self.score.notes * (SECONDS_A_STROKE if self.score.strikes else SECONDS_A_NOTE)
        return max(0.0, self.score.end / BLOCK - self.played) * self.seconds / self.played

    def open(self, sounds: _Sounds) -> None:
        """Get the players ready."""
        self.players = self.players or sounds.players(self.score)

    def play(self, sounds: _Sounds) -> tuple[Memory, bool]:
        """The next block, and whether it is the last one."""
        begun = time.thread_time()
        self.open(sounds)
        rung = (self.players[0].frame - self.score.end) / SAMPLE_RATE
        memory = _BlockMemory()
        first, *others = self.players
        first.fill(memory)
        for player in others:
            beside = _BlockMemory()
            player.fill(beside)
            _samples(memory)[:] += _samples(beside)
        self.seconds += time.thread_time() - begun
        return memory, rung >= 0 and (rung >= LONGEST_TAIL_SECONDS or _is_silent(memory))

    def close(self) -> None:
        for player in self.players:
            player.close()

    def take(self) -> Memory | None:
        return self.blocks.popleft() if self.blocks else None


class _Band:
    """The stems and the threads that play them.

    `_change` guards everything that threads share, and is notified of every change to it.
    """

    def __init__(self, scores: Sequence[Score], fonts: Fonts) -> None:
        self._sounds = _Sounds(fonts)
        self._change = threading.Condition()
        self._stems = [_Stem(score) for score in scores]
        self._taken = 0
        self._failure: BaseException | None = None
        self._stopped = False
        self._threads: list[threading.Thread] = []

    def start(self) -> None:
        """Start the player threads, leaving one core to the caller."""
        first = max(self._stems, key=lambda stem: stem.work_left)
        with quiet_stderr():  # if the soundfont cannot be loaded, it turns out here
            first.open(self._sounds)
        self._threads += (
            threading.Thread(target=self._work, daemon=True)
            for _ in range(min(cores(), len(self._stems)) - 1)
        )
        start(self._threads)

    def blocks(self) -> Iterator[tuple[Samples | None, ...]]:
        """The played blocks of all stems, one of each at a time, as samples."""
        while taken := self.take():
            yield tuple(None if memory is None else _samples(memory) for memory in taken)

    def take(self) -> tuple[Memory | None, ...]:
        """The next block of each stem; an empty tuple when all have ended.

        Until all have theirs, the caller's thread plays too. Raises the error of a thread.
        """
        while not self._failure:
            with self._change:
                if all(stem.blocks or stem.ended for stem in self._stems):
                    if not any(stem.blocks for stem in self._stems):
                        return ()
                    self._taken += 1
                    self._change.notify_all()
                    return tuple(stem.take() for stem in self._stems)
                stem = self._free()
                if stem is None:
                    self._change.wait()
            if stem:
                self._play(stem)
        raise self._failure

    def stop(self) -> None:
        """End the threads, each after the block that it is playing, and free the synthesisers."""
        with self._change:
            self._stopped = True
            self._change.notify_all()
        for thread in self._threads:
            if thread.ident:
                thread.join()
        for stem in self._stems:
            stem.close()
        self._sounds.close()

    def _work(self) -> None:
        """Play blocks of the stems, until all have ended."""
        try:
            while stem := self._next():
                self._play(stem)
        except BaseException as failure:
            with self._change:
                self._failure = self._failure or failure
                self._change.notify_all()

    def _play(self, stem: _Stem) -> None:
        """Play a block of a stem that is this thread's."""
        block, is_last = stem.play(self._sounds)
        with self._change:
            stem.blocks.append(block)
            stem.played += 1
            stem.busy, stem.ended = False, is_last
            self._change.notify_all()

    def _next(self) -> _Stem | None:
        """A stem to play, as soon as there is one; None at the end."""
        with self._change:
            while not self._stopped and not self._failure:
                if all(stem.ended for stem in self._stems):
                    break
                stem = self._free()
                if stem:
                    return stem
                self._change.wait()
            return None

    def _free(self) -> _Stem | None:
        """Reserve the stem with the most work left among those that no thread plays now; None if
        there is none. To be called with `_change` held."""
        free = [
            stem
            for stem in self._stems
            if not (stem.busy or stem.ended) and stem.played < self._taken + LEAD
        ]
        if not free:
            return None
        stem = max(free, key=lambda stem: stem.work_left)
        stem.busy = True
        return stem


def _samples(memory: Memory) -> Samples:
    """The samples in a block's memory."""
    import numpy as np

    samples: Samples = np.frombuffer(memoryview(memory), dtype=np.float32).reshape(-1, 2)
    return samples


def _is_silent(memory: Memory) -> bool:
    samples = _samples(memory)
    return max(float(samples.max()), -float(samples.min())) < NO_SOUND
