"""A recording: the stored parts, and any mix of them read back."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from groove.errors import GrooveError
from groove.sound.mix.block_store import BlockStore, StoredPart
from groove.sound.mix.gain_curve import SLICE, apply_gains
from groove.sound.mix.levels import PartLevel, PartMeter
from groove.sound.samples import BLOCK, NO_SOUND

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from groove.sound.files.riff import Loop
    from groove.sound.mix.gain_curve import GainCurve, Levels
    from groove.sound.mix.peaks import Source
    from groove.sound.samples import Samples

    Parts = tuple[str, ...]

QUIET = 10 ** (-70 / 20)
"""The end of a track is cut where it stays 70 dB below its highest peak."""

WINDOW = 1024
"""Frames (23 ms) over which the end of a track is looked for; `BLOCK` is a multiple of it."""

FADE = 2205
"""Frames (50 ms) of the fade-out of a track that has died away."""

JOIN = 882
"""Frames (20 ms) over which the two approaches to a loop's start are blended."""


@dataclass(frozen=True)
class Recording:
    """The stored parts; silent from frame `length` on, faded out before it.

    limiters: gain curves for parts that would be too loud by themselves. faders: gains of the
    parts, factors. compressors: gain curves of the parts that have one.
    """

    stored: Mapping[str, StoredPart]
    length: int
    limiters: Mapping[str, GainCurve] = field(default_factory=dict)
    faders: Mapping[str, float] = field(default_factory=dict)
    compressors: Mapping[str, GainCurve] = field(default_factory=dict)

    def read(self, parts: Parts, first: int, samples: Samples) -> None:
        """Fill `samples` with the sum of some parts from frame `first`, which may lie outside."""
        if len(parts) != 1:
            samples.fill(0)
        alone = samples if len(parts) == 1 else np.empty_like(samples)
        for part in parts:
            self.stored[part].read(first, alone)
            curves = [on[part] for on in (self.compressors, self.limiters) if part in on]
            apply_gains(curves, alone, first, self.faders.get(part, 1.0))
            if alone is not samples:
                samples += alone
        last = first + len(samples)
        if last > self.length - FADE:
            left = self.length - np.arange(first, last)
            samples *= np.clip(left / FADE, 0, 1).astype(np.float32)[:, np.newaxis]


@dataclass(frozen=True)
class Passage:
    """A recording of some parts from its first frame to its last, or as a loop that closes.

    With `loop` it ends at the loop's end, and after its last frame the loop's first follows without
    a seam: sound that rings on past the end is added to the loop from its start, and the last
    moment before either way into the loop (from the lead-in, and from the loop's own end) blends in
    the sound before the other way in, so that both arrive at the same sound.
    """

    recording: Recording
    parts: Parts
    loop: Loop | None = None

    @property
    def frames(self) -> int:
        """The length in frames."""
        return self.loop.end if self.loop else self.recording.length

    @property
    def bounds(self) -> tuple[int, int] | None:
        """Start and end of the loop."""
        return (self.loop.start, self.loop.end) if self.loop else None

    def read(self, first: int, samples: Samples) -> None:
        """Fill `samples` with the sound from frame `first`, which may lie outside."""
        self.recording.read(self.parts, first, samples)
        if self.loop:
            self._close(self.loop, first, samples)

    def _close(self, loop: Loop, first: int, samples: Samples) -> None:
        """Make `samples`, which begin at frame `first`, part of a closed loop."""
        last, around = first + len(samples), loop.end - loop.start
        blend = min(JOIN, around)
        frame = np.arange(first, last)[:, np.newaxis]
        other = np.empty_like(samples)
        if last > loop.start - blend:
            arrived = np.clip((frame - loop.start) / blend + 1, 0, 1).astype(np.float32)
            for later in range(first + around, self.recording.length, around):
                self.recording.read(self.parts, later, other)
                samples += arrived * other
        if last > loop.end - blend:
            arrived = np.clip((frame - loop.end) / blend + 1, 0, 1).astype(np.float32)
            self.recording.read(self.parts, first - around, other)
            samples += arrived * other


def blocks_of(source: Source, frames: int) -> Iterator[Samples]:
    """The first `frames` of a source in blocks of `BLOCK`, the last shorter, all in one array."""
    array = np.empty((BLOCK, 2), dtype=np.float32)
    for first in range(0, frames, BLOCK):
        block = array[: frames - first]
        source.read(first, block)
        yield block


def record(
    playing: Iterable[tuple[Samples | None, ...]],
    parts: Parts,
    store: BlockStore,
    progress: Callable[[int], None],
) -> tuple[Recording, dict[str, PartLevel]]:
    """Store and measure what is playing; returns the recording and the level of each part.

    playing: for each of `parts` a block at a time. progress: called with the frames stored so far.
    Raises GrooveError for silence and for samples that are not numbers.
    """
    stored = {part: StoredPart(store) for part in parts}
    meters = {part: PartMeter() for part in parts}
    for number, blocks in enumerate(playing, 1):
        for part, block in zip(parts, blocks, strict=True):
            stored[part].append(block)
            if block is not None:
                meters[part].add(block)
        progress(number * BLOCK)
    levels = {part: meter.level for part, meter in meters.items()}
    return Recording(stored, _sounding([level.peaks for level in levels.values()])), levels


def _sounding(peaks: Sequence[Levels]) -> int:
    """The frame at which parts with these peaks have died away, the fade included; see `QUIET`."""
    highest = np.zeros(max(map(len, peaks)), dtype=np.float32)
    for each in peaks:
        np.maximum(highest[: len(each)], each, out=highest[: len(each)])
    peak = float(highest.max())
    if not math.isfinite(peak):
        raise GrooveError("the soundfont is damaged: it makes no real sound")
    if peak < NO_SOUND:
        raise GrooveError("the soundfont has no sound for anything in this track")
    windows = int(np.flatnonzero(highest >= peak * QUIET)[-1]) * SLICE // WINDOW + 1
    return min(windows * WINDOW + FADE, len(highest) * SLICE)
