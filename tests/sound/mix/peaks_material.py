"""Sounds with peaks, and how high these are."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.peaks import Peaks, slice_peaks, true_peaks
from tests.sound.sound_material import Sound

if TYPE_CHECKING:
    from groove.sound.mix.gain_curve import Levels
    from groove.sound.samples import Samples

RATE = 44_100


def decibels(share: float) -> float:
    return 20 * float(np.log10(share))


def peaks_of(samples: Samples, level: float = 0.0) -> Levels:
    return true_peaks(Sound(samples), Peaks.of_samples(slice_peaks(samples)), level)


def bursts(seed: int, loudest: float) -> Samples:
    """A second of quiet noise with louder stretches in it."""
    dice = np.random.default_rng(seed)
    sound = 0.1 * dice.standard_normal((RATE, 2))
    for begin in dice.integers(0, RATE, 6):
        sound[begin : begin + dice.integers(1, 3000)] *= loudest * dice.random()
    return np.asarray(sound, dtype=np.float32)
