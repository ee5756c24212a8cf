"""Peaks between the samples are found wherever they might matter."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.sound.mix.gain_curve import SLICE
from groove.sound.mix.peaks import Peaks, block_peaks, peaks_again, slice_peaks, true_peaks
from tests.examples import examples
from tests.sound.mix.peaks_material import RATE, bursts, decibels, peaks_of
from tests.sound.sound_material import Sound


def test_a_peak_between_two_samples_is_found() -> None:
    """A sine at a quarter of the sample rate, its samples 3 dB below its crests (BS.1770-4,
    annex 2, from memory)."""
    frames = np.arange(RATE)
    sine = np.sin(np.pi / 2 * frames + np.pi / 4).astype(np.float32)
    sound = np.repeat(sine[:, np.newaxis], 2, axis=1)
    assert decibels(float(slice_peaks(sound).max())) == pytest.approx(-3.01, abs=0.01)
    middle = peaks_of(sound)[10:-10]
    assert decibels(float(middle.max())) == pytest.approx(0, abs=0.1)


def test_a_crest_between_the_quarters_of_a_frame_is_found() -> None:
    """A sine at a quarter of the sample rate, its crests an eighth of a frame after a sample: at
    four points to a frame 0.17 dB of it are not seen (BS.1770-4, annex 2)."""
    frames = np.arange(RATE)
    sine = np.cos(np.pi / 2 * (frames - 1 / 8)).astype(np.float32)
    sound = np.repeat(sine[:, np.newaxis], 2, axis=1)
    assert decibels(float(peaks_of(sound, 1.0)[10:-10].max())) == pytest.approx(0, abs=0.05)


def test_a_peak_between_two_slices_counts_for_both() -> None:
    """Two equal samples alone: the wave between them is higher, by a sinc 4 / pi times."""
    sound = np.zeros((4 * SLICE, 2), dtype=np.float32)
    sound[2 * SLICE - 1 : 2 * SLICE + 1] = 0.5
    peaks = peaks_of(sound)
    assert peaks[1] == peaks[2] > 0.6


def test_a_peak_in_the_very_first_slice_is_found() -> None:
    sound = np.zeros((300 * SLICE, 2), dtype=np.float32)
    sound[20:22] = 0.5
    assert peaks_of(sound, 0.5)[0] > 0.6


def test_peaks_are_measured_anew_where_the_sound_has_changed() -> None:
    sound = bursts(3, 20)
    before = Peaks.of_samples(slice_peaks(sound))
    louder = sound.copy()
    louder[200 * SLICE : 210 * SLICE] *= 2
    changed = np.zeros(len(before.peaks), dtype=bool)
    changed[200:210] = True
    assert np.array_equal(peaks_again(Sound(louder), before, changed).peaks, slice_peaks(louder))


@given(st.integers(0, 10_000), st.floats(0.1, 2), st.floats(0.5, 2))
@settings(max_examples=examples(25))
def test_a_block_tells_the_true_peaks_that_its_source_does(
    seed: int, near: float, above: float
) -> None:
    """Measured first with a level in mind and then for another, above or below it. In noise some
    peaks are further above the samples than music's; those are found by chance."""
    sound = bursts(seed, 20)
    level = near * above
    found = true_peaks(Sound(sound), block_peaks(sound, near), level)
    wanted, all_there_is = peaks_of(sound, level), peaks_of(sound)
    high = wanted > level
    assert (found[high] >= wanted[high] * 0.999).all()
    assert (found <= all_there_is * 1.001).all()
