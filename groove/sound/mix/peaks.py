"""Peaks of sound in slices of 1.5 ms: those of its samples, and true peaks where it matters.

A true peak is the highest of the samples and of those between them (ITU-R BS.1770-4 annex 2).
It lies less than 3 dB above the samples in all but contrived sound, so only slices whose samples
come that near the level in question are interpolated, at four points to a frame; where these come
near it in turn, at sixteen.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Protocol

import numpy as np

from groove.sound.mix.gain_curve import SLICE
from groove.sound.parallel import for_each

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groove.sound.mix.gain_curve import Levels, Marks
    from groove.sound.samples import Samples

SECTION = 128
"""Slices that are measured together."""

NEAR_DB = 3.0
"""The most by which a true peak lies above the samples, in dB."""

_NEAR = 10 ** (-NEAR_DB / 20)

OVERSAMPLING, FINE, REACH = 4, 16, 12
"""Interpolated points per frame, at first and near the ceiling, and samples of context on each
side."""

UNSEEN_DB = 0.6
"""The most by which a peak lies above the four points of a frame around it: 20 lg cos(pi f / 4) dB
for a sine of f times the sampling rate (ITU-R BS.1770-4 annex 2), 0.55 dB at 0.45. At sixteen
points it is 0.03 dB."""

_UNSEEN = 10 ** (-UNSEEN_DB / 20)


class Source(Protocol):
    """Sound that can be read from any frame on; silent outside."""

    def read(self, first: int, samples: Samples) -> None:
        """Fill `samples` with the sound from frame `first`."""


_ALL_BUT_SIGN = np.uint32(0x7FFFFFFF)


def slice_peaks(block: Samples) -> Levels:
    """The highest sample of each slice; a last slice may be shorter."""
    frames = len(block) // SLICE * SLICE
    # Without their sign bits floats are in the order of the whole numbers that share their bytes,
    # which are compared several times as fast.
    whole = block[:frames].reshape(-1).view(np.uint32) & _ALL_BUT_SIGN
    starts = np.arange(0, len(whole), 2 * SLICE)
    peaks: Levels = np.maximum.reduceat(whole, starts).view(np.float32)
    if frames < len(block):
        peaks = np.append(peaks, np.abs(block[frames:]).max())
    return peaks


@dataclass(frozen=True)
class Peaks:
    """The peak of each slice. true: the slices whose true peak it is, as far as that might lie
    above `level`."""

    peaks: Levels
    true: Marks
    level: float = 0.0

    @classmethod
    def of_samples(cls, peaks: Levels) -> Peaks:
        """Peaks that are those of samples, all of them."""
        return cls(peaks, np.zeros(len(peaks), dtype=bool))

    @classmethod
    def joined(cls, blocks: Sequence[Peaks]) -> Peaks:
        """The peaks of blocks that follow one another, all measured for the same level."""
        peaks = np.concatenate([block.peaks for block in blocks])
        return cls(peaks, np.concatenate([block.true for block in blocks]), blocks[0].level)


def block_peaks(block: Samples, level: float) -> Peaks:
    """The peaks of a block's slices, as true peaks where those might lie above `level`; not so in
    slices at its ends, for which the block does not say enough."""
    peaks, true = slice_peaks(block), np.zeros(-(-len(block) // SLICE), dtype=bool)
    near = np.flatnonzero(peaks[1 : len(block) // SLICE - 1] > level * _NEAR) + 1
    if len(near):
        around = _around(block)[near * SLICE - REACH]
        peaks[near] = np.maximum(peaks[near], _highest_between(around, level))
        true[near] = True
    return Peaks(peaks, true, level)


def peaks_again(source: Source, before: Peaks, changed: Marks) -> Peaks:
    """The peaks of a source's slices, measured anew where they may have changed."""
    peaks, true = before.peaks.copy(), before.true.copy()
    for begin, end in _sections(changed):
        samples = np.empty(((end - begin) * SLICE, 2), dtype=np.float32)
        source.read(begin * SLICE, samples)
        peaks[begin:end] = slice_peaks(samples)
        true[begin:end] = False
    return Peaks(peaks, true, before.level)


def true_peaks(source: Source, before: Peaks, level: float) -> Levels:
    """The peaks of a source's slices, as true peaks where those might lie above `level`."""
    near: Marks = before.peaks > level * _NEAR
    if before.level <= level:
        near &= ~before.true
    found = before.peaks.copy()

    def look(begin: int, end: int) -> None:
        line = np.empty(((end - begin) * SLICE + 2 * REACH, 2), dtype=np.float32)
        source.read(begin * SLICE - REACH, line)
        place = np.flatnonzero(near[begin:end])
        between = _highest_between(_around(line)[place * SLICE], level)
        found[begin + place] = np.maximum(found[begin + place], between)

    for_each(lambda section: look(*section), list(_sections(near)))
    return found


def _sections(marked: Marks) -> Iterator[tuple[int, int]]:
    """The stretches of `SECTION` slices, from the first up to but not including the last, in
    which any is marked."""
    if len(marked):
        any_marked = np.logical_or.reduceat(marked, range(0, len(marked), SECTION))
        for number in np.flatnonzero(any_marked).tolist():
            yield number * SECTION, min(len(marked), (number + 1) * SECTION)


def _around(line: Samples) -> Samples:
    """A slice and its surroundings from each frame of a line on: (frames, 2, slice with reach)."""
    return np.lib.stride_tricks.sliding_window_view(line, SLICE + 2 * REACH, axis=0)


def _highest_between(slices: Samples, level: float) -> Levels:
    """The highest value between the samples of some slices, from their surroundings."""
    between = _between(slices, OVERSAMPLING)
    high = between > level * _UNSEEN
    between[high] = _between(slices[high], FINE)
    return between


def _between(slices: Samples, points: int) -> Levels:
    """The highest of so many points to a frame."""
    if not len(slices):
        return np.zeros(0, dtype=np.float32)
    lines = slices.reshape(-1, slices.shape[-1]) @ _interpolation(points)
    np.abs(lines, out=lines)
    peaks: Levels = lines.reshape(len(slices), -1).max(axis=1)
    return peaks


@cache
def _interpolation(oversampling: int) -> Levels:
    """The matrix that turns a slice with its context into the points between its samples.

    Each is the sum of the samples around it, weighted by a windowed sinc.
    """
    points = np.arange(1, oversampling) / oversampling
    distance = np.arange(-REACH + 1, REACH + 1)[:, np.newaxis] - points
    weights = np.sinc(distance) * np.cos(np.pi / 2 * distance / REACH) ** 2
    weights /= weights.sum(axis=0)
    places, more = SLICE + 1, len(points)  # from before the first sample to after the last
    matrix = np.zeros((SLICE + 2 * REACH, places * more), dtype=np.float32)
    for place in range(places):
        matrix[place : place + 2 * REACH, place * more : (place + 1) * more] = weights
    return matrix
