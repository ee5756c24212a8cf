"""A look-ahead limiter that keeps true peaks under a ceiling.

The track is there as a whole before anything is written, so the limiter works from a gain curve
made beforehand: the peak of each slice of 1.5 ms says by how much that slice is too loud; before
it the gain goes down and after it the gain comes back, each at so many decibels a second. Between
slices the gain moves in straight lines. Where nothing is too loud, samples pass unchanged.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.gain_curve import SLICE, GainCurve
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from groove.sound.mix.gain_curve import Levels

CEILING_DB = -1.1
"""dBTP. The promise is -1; true-peak filters differ from one another by less than 0.1."""

CEILING = 10 ** (CEILING_DB / 20)

DOWN, BACK = 1000 * SLICE / SAMPLE_RATE, 60 * SLICE / SAMPLE_RATE
"""The rates at which the gain goes down and comes back, in dB a slice: 1000 and 60 dB a second."""

CHUNK = 1 << 16
"""Slices worked on at once, which keeps the memory small."""


def gain_curve(
    peaks: Levels, gain: float, ceiling: float = CEILING, loop: tuple[int, int] | None = None
) -> GainCurve:
    """The gain curve for slices with these peaks, once they have `gain`.

    loop: the frames from and to which the sound goes round, so that its end leads to its start.
    """
    return lowered_by(decibels_over(peaks, ceiling / gain), loop)


def decibels_over(peaks: Levels, level: float) -> Levels:
    """The dB by which each of the peaks is above a level; 0 if it is not."""
    over: Levels = peaks / np.float32(level)  # in place from here on: an hour has 10 MB of it
    np.maximum(over, np.float32(1), out=over)
    np.log10(over, out=over)
    over *= np.float32(20)
    return over


def lowered_by(lowered: Levels, loop: tuple[int, int] | None = None) -> GainCurve:
    """The gain curve that lowers each slice by so many dB at least; loop: as of `gain_curve`.

    `lowered` is used up: an hour has 10 MB of it.
    """
    if not lowered.any():
        return GainCurve(np.ones(len(lowered) + 1, dtype=np.float32))
    if loop is None:
        reduced = _before(_after(lowered))
        edges = np.append(reduced, _NOTHING)
        np.maximum(edges[1:], reduced, out=edges[1:])
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
    """The reduction in dB, which falls after each peak by so many dB a slice; in place."""
    slope = np.arange(1, CHUNK + 1) * a_slice
    reached = 0.0
    for first in range(0, len(lowered), CHUNK):
        stretch = lowered[first : first + CHUNK]
        line = np.maximum.accumulate(stretch + slope[: len(stretch)])
        line = np.maximum(line, reached) - slope[: len(stretch)]
        line[line < 1e-6] = 0
        stretch[:] = line
        reached = float(line[-1])
    return lowered


def _before(lowered: Levels) -> Levels:
    """The reduction in dB, built up before each peak at the pace of `DOWN`; in place."""
    return _after(lowered[::-1], DOWN)[::-1]
