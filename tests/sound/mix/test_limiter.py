"""The limiter keeps true peaks under its ceiling, and does nothing where it need not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.sound.mix.limiter import (
    BACK,
    CEILING,
    DOWN,
    SLICE,
    gain_curve,
    peaks_again,
    slice_peaks,
    true_peaks,
)
from tests.sound.sound_material import Sound

if TYPE_CHECKING:
    from groove.sound.mix.limiter import GainCurve
    from groove.sound.samples import Samples

RATE = 44_100


def decibels(share: float) -> float:
    return 20 * float(np.log10(share))


def peaks_of(samples: Samples, level: float = 0.0) -> Samples:
    return true_peaks(Sound(samples), slice_peaks(samples), level)


def limiter(samples: Samples) -> GainCurve:
    return gain_curve(peaks_of(samples, CEILING), 1.0)


def bursts(seed: int, loudest: float) -> Samples:
    """A second of quiet noise with louder stretches in it."""
    dice = np.random.default_rng(seed)
    sound = 0.1 * dice.standard_normal((RATE, 2))
    for begin in dice.integers(0, RATE, 6):
        sound[begin : begin + dice.integers(1, 3000)] *= loudest * dice.random()
    return np.asarray(sound, dtype=np.float32)


@given(st.integers(0, 10_000), st.floats(1, 30))
@settings(max_examples=25)
def test_no_true_peak_is_above_the_ceiling_afterwards(seed: int, loudest: float) -> None:
    sound = bursts(seed, loudest)
    limiter(sound).apply(sound, 0)
    assert decibels(float(peaks_of(sound).max())) <= decibels(CEILING) + 0.1


@given(st.integers(0, 10_000), st.integers(1, 5000), st.integers(-200, 200))
@settings(max_examples=25)
def test_any_stretch_is_lowered_as_it_is_in_the_whole(seed: int, count: int, start: int) -> None:
    sound = bursts(seed, 20)
    doing = limiter(sound)
    whole = np.zeros((RATE + 400, 2), dtype=np.float32)
    whole[200:-200] = sound
    part = whole[200 + start :][:count].copy()
    doing.apply(whole[200:-200], 0)
    doing.apply(part, start)
    inside = slice(max(0, -start), None)
    assert np.allclose(part[inside], whole[200 + start :][:count][inside], atol=1e-6)


def test_what_is_quiet_enough_passes_unchanged() -> None:
    sound = bursts(1, 1)
    before = sound.copy()
    limiter(sound).apply(sound, 0)
    assert np.array_equal(sound, before)


def test_the_level_comes_back_at_its_pace_after_a_peak() -> None:
    peaks = np.full(4000, 0.5, dtype=np.float32)
    peaks[1000] = 2.0
    gains = 20 * np.log10(gain_curve(peaks, 1.0).gains)
    assert gains.min() == pytest.approx(decibels(CEILING / 2), abs=0.01)
    coming_back = np.diff(gains[1001:1060])
    assert coming_back == pytest.approx(BACK, abs=1e-3)
    assert gains[-1] == 0


def test_the_level_is_down_before_the_peak_arrives() -> None:
    sound = np.full((40 * SLICE, 2), 0.1, dtype=np.float32)
    sound[20 * SLICE] = 3.0
    limiter(sound).apply(sound, 0)
    assert sound[20 * SLICE, 0] <= CEILING
    assert sound[20 * SLICE - 1, 0] < 0.04


def test_round_a_loop_the_gain_at_the_end_is_that_at_the_start() -> None:
    peaks = np.full(4000, 0.5, dtype=np.float32)
    peaks[[1000, 2990]] = 2.0
    gains = gain_curve(peaks, 1.0, loop=(1000 * SLICE, 3000 * SLICE)).gains
    assert len(gains) == 3001
    assert gains[3000] == gains[1000] == pytest.approx(CEILING / 2)
    steps = np.abs(np.diff(20 * np.log10(gains)))
    assert steps.max() <= DOWN + 1e-3


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


def test_the_ceiling_is_1_1_db_below_full_scale() -> None:
    assert decibels(CEILING) == pytest.approx(-1.1, abs=1e-6)


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
    before = slice_peaks(sound)
    louder = sound.copy()
    louder[200 * SLICE : 210 * SLICE] *= 2
    changed = np.zeros(len(before), dtype=bool)
    changed[200:210] = True
    assert np.array_equal(peaks_again(Sound(louder), before, changed), slice_peaks(louder))
