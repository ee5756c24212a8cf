"""Gains that change in time: one at every edge of slices of 1.5 ms, straight lines between them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from groove.sound.samples import Samples

    Levels = NDArray[np.float32]
    Marks = NDArray[np.bool_]

SLICE = 64
"""Frames."""

_WAY = np.repeat(np.arange(SLICE, dtype=np.float32) / SLICE, 2)
"""The part of its way that the gain has moved at each sample of a slice, left and right in turn."""

_SHARES: Levels = np.stack((1 - _WAY, _WAY))
"""The shares of the gains at the start and at the end of a slice in that at each of its samples."""


@dataclass(frozen=True)
class GainCurve:
    """The gain, a factor, at the start of each slice of a passage and at the end of the last."""

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
        """Multiply `samples`, which begin at frame `first`, by the gain."""
        apply_gains([self], samples, first)


def apply_gains(
    curves: Sequence[GainCurve], samples: Samples, first: int, factor: float = 1.0
) -> None:
    """Multiply `samples`, which begin at frame `first`, by a factor and the gains of all curves.

    Beyond the ends of a curve its gain goes to 1 within a slice. Where all gains are 1, samples
    pass unchanged.
    """
    begin, end = first // SLICE, -(-(first + len(samples)) // SLICE)
    gains = np.full(end + 1 - begin, factor, np.float32)
    for curve in curves:
        inside = slice(max(0, -begin), max(0, len(curve.gains) - begin))
        gains[inside] *= curve.gains[max(0, begin) : max(0, end + 1)]
    if gains.min() == gains.max():
        if gains[0] != 1:
            samples *= gains[0]
        return
    busy = np.flatnonzero((gains[:-1] != 1) | (gains[1:] != 1))
    here, there = int(busy[0]), int(busy[-1]) + 1
    gain, at = _by_sample(gains[here : there + 1]), (begin + here) * SLICE - first
    moved = samples[max(0, at) : at + len(gain) // 2].reshape(-1)
    moved *= gain[max(0, -2 * at) :][: len(moved)]


def _by_sample(gains: Levels) -> Levels:
    """The gain of every sample, left and right in turn, of the slices between these gains."""
    ends = np.stack((gains[:-1], gains[1:]), axis=1)
    moved: Levels = ends @ _SHARES  # five times as fast as lines, which numpy makes one by one
    return moved.reshape(-1)
