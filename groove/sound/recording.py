"""A recording: the stems on tape, as far as they are wanted, and any mix of them read back.

Stems that are always heard together share a tape; what nobody wants is not kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np

from groove.errors import GrooveError
from groove.sound.stems import BLOCK
from groove.sound.tape import Shelf, Tape

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from groove.sound.mixes import Mix
    from groove.sound.synth import Samples

    Parts = tuple[str, ...]

QUIET = 10 ** (-70 / 20)
"""What stays below this share of the track's peak (-70 dB) at its end is left away."""

WINDOW = 1024
"""Frames (23 ms) over which the end of a track is looked for; `BLOCK` is a multiple of it."""

FADE = 2205
"""Frames (50 ms) over which a track that has died away is taken to nothing."""

JOIN = 882
"""Frames (20 ms) over which the two approaches to a loop's start are blended."""


@dataclass(frozen=True)
class Loop:
    """What is repeated, from frame `start` up to but not including frame `end`."""

    start: int
    end: int

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end:
            raise ValueError(f"a loop needs 0 <= start < end, found {self.start} to {self.end}")


@dataclass(frozen=True)
class Recording:
    """Tapes by the parts that they hold; silent from frame `length` on, faded out before it."""

    tapes: Mapping[Parts, Tape]
    length: int
    peak: float

    def read(self, parts: Parts, first: int, samples: Samples) -> Samples:
        """Fill `samples` with the sum of some parts from frame `first`, which may lie outside."""
        samples.fill(0)
        for held, tape in self.tapes.items():
            if set(held) <= set(parts):
                tape.add_to(samples, first)
        last = first + len(samples)
        if last > self.length - FADE:
            left = self.length - np.arange(first, last)
            samples *= np.clip(left / FADE, 0, 1).astype(np.float32)[:, np.newaxis]
        return samples


@dataclass(frozen=True)
class Passage:
    """A recording of some parts from its first frame to its last, or as a loop that closes.

    With `loop` it ends at the loop's end, and after its last frame the loop's first follows
    without a seam: what rings on past the end is laid over the loop from its start, and the last
    moment before either way into the loop (from the lead-in, and from the loop's own end) blends
    in what comes before the other way in, so that both arrive at the same sound.
    """

    recording: Recording
    parts: Parts
    loop: Loop | None = None

    @property
    def frames(self) -> int:
        return self.loop.end if self.loop else self.recording.length

    def blocks(self) -> Iterator[Samples]:
        """Its frames by `BLOCK`, the last time fewer; each time in the same array."""
        array = np.empty((BLOCK, 2), dtype=np.float32)
        for first in range(0, self.frames, BLOCK):
            block = array[: self.frames - first]
            self.recording.read(self.parts, first, block)
            if self.loop:
                self._close(self.loop, first, block)
            yield block

    def _close(self, loop: Loop, first: int, block: Samples) -> None:
        """Make a block, which begins at frame `first`, part of a closed loop."""
        count, around = len(block), loop.end - loop.start
        blend = min(JOIN, around)
        frame = np.arange(first, first + count)[:, np.newaxis]
        other = np.empty_like(block)
        if first + count > loop.start - blend:
            arrived = np.clip((frame - loop.start) / blend + 1, 0, 1).astype(np.float32)
            for later in range(first + around, self.recording.length, around):
                block += arrived * self.recording.read(self.parts, later, other)
        if first + count > loop.end - blend:
            arrived = np.clip((frame - loop.end) / blend + 1, 0, 1).astype(np.float32)
            block += arrived * self.recording.read(self.parts, first - around, other)


def record(
    playing: Iterable[tuple[Samples | None, ...]],
    parts: Parts,
    mixes: Sequence[Mix],
    shelf: Shelf,
    hear: Callable[[Samples, tuple[Samples | None, ...]], None],
) -> Recording:
    """Put what is played onto tapes, as `mixes` need it.

    playing: for each of `parts` a block at a time. hear: is given each block of the whole band,
    and of each part.
    """
    tapes = {held: Tape(shelf) for held in _groups(parts, mixes)}
    places = {held: [parts.index(part) for part in held] for held in tapes}
    windows: list[Samples] = []
    whole = np.empty((BLOCK, 2), dtype=np.float32)
    for blocks in playing:
        for held, tape in tapes.items():
            tape.append(_sum([blocks[place] for place in places[held]]))
        whole.fill(0)
        for block in blocks:
            if block is not None:
                whole += block
        hear(whole, blocks)
        windows.append(_peaks(whole))
    levels = np.concatenate(windows)
    peak = float(levels.max())
    if not math.isfinite(peak):
        raise GrooveError("the soundfont is damaged: it makes no real sound")
    sounding = (int(np.flatnonzero(levels >= peak * QUIET)[-1]) + 1) * WINDOW
    return Recording(tapes, min(sounding + FADE, len(levels) * WINDOW), peak)


def _peaks(block: Samples) -> Samples:
    """The peak of each window."""
    windows = block.reshape(-1, 2 * WINDOW)
    peaks: Samples = np.maximum(windows.max(axis=1), -windows.min(axis=1))
    return peaks


def _sum(blocks: Sequence[Samples | None]) -> Samples | None:
    """The sum of those blocks that there are; the very block where it is one."""
    there = [block for block in blocks if block is not None]
    if len(there) < 2:
        return there[0] if there else None
    total = there[0] + there[1]
    for block in there[2:]:
        total += block
    return total


def _groups(parts: Parts, mixes: Sequence[Mix]) -> list[Parts]:
    """The parts that are wanted, those together that are heard in the same mixes."""

    def heard_in(part: str) -> tuple[bool, ...]:
        return tuple(part in mix.parts for mix in mixes)

    wanted = sorted((part for part in parts if any(heard_in(part))), key=heard_in)
    return [tuple(together) for _, together in groupby(wanted, key=heard_in)]
