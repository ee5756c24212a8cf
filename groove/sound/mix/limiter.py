"""A look-ahead limiter that keeps true peaks under a ceiling.

The track is there as a whole before anything is written, so the limiter works from a gain curve
made beforehand: the peak of each slice of 1.5 ms says by how much that slice is too loud; before
it the gain goes down and after it the gain comes back, each at so many decibels a second. Between
slices the gain moves in straight lines. Where nothing is too loud, samples pass unchanged.

A true peak is the highest of the samples and of those between them (ITU-R BS.1770-4 annex 2).
It lies less than 3 dB above the samples in all but contrived sound, so only slices whose samples
come that near the ceiling are interpolated, at four points to a frame; where these come near it in
turn, at sixteen.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Protocol

import numpy as np

from groove.sound.parallel import for_each
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from groove.sound.samples import Samples

    Levels = NDArray[np.float32]
    Marks = NDArray[np.bool_]

CEILING_DB = -1.1
"""dBTP. The promise is -1; true-peak filters differ from one another by less than 0.1."""

CEILING = 10 ** (CEILING_DB / 20)

SLICE = 64
"""Frames."""

SECTION = 128
"""Slices that are measured together."""

NEAR_DB = 3.0
"""The most by which a true peak lies above the samples, in dB."""

OVERSAMPLING, FINE, REACH = 4, 16, 12
"""Interpolated points per frame, at first and near the ceiling, and samples of context on each
side."""

UNSEEN_DB = 0.6
"""The most by which a peak lies above the four points of a frame around it: 20 lg cos(pi f / 4) dB
for a sine of f times the sampling rate (ITU-R BS.1770-4 annex 2), 0.55 dB at 0.45. At sixteen
points it is 0.03 dB."""

DOWN, BACK = 1000 * SLICE / SAMPLE_RATE, 60 * SLICE / SAMPLE_RATE
"""The rates at which the gain goes down and comes back, in dB a slice: 1000 and 60 dB a second."""

CHUNK = 1 << 16
"""Slices worked on at once, which keeps the memory small."""


_MOVING = np.linspace(0, 1, SLICE, endpoint=False, dtype=np.float32)
"""The part of its way that the gain has moved at each frame of a slice, 0 to 1."""


@dataclass(frozen=True)
class GainCurve:
    """The gain, 0 to 1, at the start of each slice of a passage and at the end of the last."""

    gains: Levels

    @property
    def reduction_db(self) -> float:
        """The most by which the level is lowered, in dB."""
        return -20 * math.log10(float(self.gains.min())) if len(self.gains) else 0.0

    @property
    def lowered(self) -> Marks:
        """The slices in which the level is lowered at all."""
        marks: Marks = np.minimum(self.gains[:-1], self.gains[1:]) < 1
        return marks

    def apply(self, samples: Samples, first: int) -> None:
        """Multiply `samples`, which begin at frame `first`, by the gain; outside they stay."""
        begin, end = max(0, first // SLICE), max(0, -(-(first + len(samples)) // SLICE))
        gains = self.gains[begin : end + 1]
        busy = np.flatnonzero(np.minimum(gains[:-1], gains[1:]) < 1)[:, np.newaxis]
        if not len(busy):
            return
        frames = (begin + busy) * SLICE - first + np.arange(SLICE)
        curves = gains[busy] + np.diff(gains)[busy] * _MOVING
        inside = slice(*np.searchsorted(frames.reshape(-1), (0, len(samples))).tolist())
        samples[frames.reshape(-1)[inside]] *= curves.reshape(-1)[inside, np.newaxis]


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
    whole = block[:frames].reshape(-1, 2 * SLICE).view(np.uint32) & _ALL_BUT_SIGN
    peaks: Levels = whole.max(axis=1).view(np.float32)
    if frames < len(block):
        peaks = np.append(peaks, np.abs(block[frames:]).max())
    return peaks


def peaks_again(source: Source, peaks: Levels, changed: Marks) -> Levels:
    """The peaks of a source's slices, measured anew where they may have changed."""
    found = peaks.copy()
    for begin, end in _sections(changed):
        samples = np.empty(((end - begin) * SLICE, 2), dtype=np.float32)
        source.read(begin * SLICE, samples)
        found[begin:end] = slice_peaks(samples)
    return found


def true_peaks(source: Source, peaks: Levels, level: float) -> Levels:
    """The peaks of a source's slices, as true peaks where those might lie above `level`."""
    near = peaks > level * 10 ** (-NEAR_DB / 20)
    found = peaks.copy()

    def look(begin: int, end: int) -> None:
        line = np.empty(((end - begin) * SLICE + 2 * REACH, 2), dtype=np.float32)
        source.read(begin * SLICE - REACH, line)
        windows = np.lib.stride_tricks.sliding_window_view(line, SLICE + 2 * REACH, axis=0)
        place = np.flatnonzero(near[begin:end])
        stretches = np.ascontiguousarray(windows[::SLICE][place])
        between = _between(stretches, OVERSAMPLING)
        high = between > level * 10 ** (-UNSEEN_DB / 20)
        between[high] = _between(stretches[high], FINE)
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


def gain_curve(
    peaks: Levels, gain: float, ceiling: float = CEILING, loop: tuple[int, int] | None = None
) -> GainCurve:
    """The gain curve for slices with these peaks, once they have `gain`.

    loop: the frames from and to which the sound goes round, so that its end leads to its start.
    """
    return lowered_by(decibels_over(peaks, ceiling / gain), loop)


def decibels_over(peaks: Levels, level: float) -> Levels:
    """The dB by which each of the peaks is above a level; 0 if it is not."""
    over: Levels = 20 * np.log10(np.maximum(peaks / np.float32(level), np.float32(1)))
    return over


def lowered_by(lowered: Levels, loop: tuple[int, int] | None = None) -> GainCurve:
    """The gain curve that lowers each slice by so many dB at least; loop: as of `gain_curve`."""
    if not lowered.any():
        return GainCurve(np.ones(len(lowered) + 1, dtype=np.float32))
    if loop is None:
        reduced = _before(_after(lowered))
        edges = np.maximum(np.append(reduced, _NOTHING), np.append(_NOTHING, reduced))
    else:
        start, end = loop[0] // SLICE, -(-loop[1] // SLICE)
        twice = _before(_after(np.append(lowered[:end], lowered[start:end])))
        twice[start:end] = np.maximum(twice[start:end], twice[end:])
        reduced = _before(twice[:end])
        edges = np.maximum(np.append(reduced, reduced[start]), np.append(_NOTHING, reduced))
        edges[start] = edges[end] = max(edges[start], edges[end])
    edges *= np.float32(-1 / 20)
    return GainCurve(np.power(np.float32(10), edges, out=edges))


_NOTHING = np.float32(0)


def _after(lowered: Levels, a_slice: float = BACK) -> Levels:
    """The reduction in dB, which falls after each peak by so many dB a slice."""
    after = np.empty_like(lowered)
    slope = np.arange(1, CHUNK + 1) * a_slice
    reached = 0.0
    for first in range(0, len(lowered), CHUNK):
        stretch = lowered[first : first + CHUNK]
        line = np.maximum.accumulate(stretch + slope[: len(stretch)])
        line = np.maximum(line, reached) - slope[: len(stretch)]
        line[line < 1e-6] = 0
        after[first : first + CHUNK] = line
        reached = float(line[-1])
    return after


def _before(lowered: Levels) -> Levels:
    """The reduction in dB, built up before each peak at the pace of `DOWN`."""
    return _after(lowered[::-1], DOWN)[::-1]


def _between(windows: Samples, points: int) -> Levels:
    """The highest value between the samples of some slices: (slices, 2, frames with reach);
    points: to a frame."""
    if not len(windows):
        return np.zeros(0, dtype=np.float32)
    lines = windows.reshape(-1, windows.shape[-1]) @ _interpolation(points)
    peaks: Levels = np.abs(lines).reshape(len(windows), -1).max(axis=1)
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
