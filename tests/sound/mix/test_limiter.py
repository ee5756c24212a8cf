"""The limiter keeps true peaks under its ceiling, and does nothing where it need not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.sound.mix.gain_curve import SLICE
from groove.sound.mix.limiter import (
    BACK,
    CEILING,
    DOWN,
    gain_curve,
)
from tests.examples import examples
from tests.sound.mix.peaks_material import RATE, bursts, decibels, peaks_of

if TYPE_CHECKING:
    from groove.sound.mix.gain_curve import GainCurve
    from groove.sound.samples import Samples


def limiter(samples: Samples) -> GainCurve:
    return gain_curve(peaks_of(samples, CEILING), 1.0)


@given(st.integers(0, 10_000), st.floats(1, 30))
@settings(max_examples=examples(25))
def test_no_true_peak_is_above_the_ceiling_afterwards(seed: int, loudest: float) -> None:
    sound = bursts(seed, loudest)
    limiter(sound).apply(sound, 0)
    assert decibels(float(peaks_of(sound).max())) <= decibels(CEILING) + 0.1


@given(st.integers(0, 10_000), st.integers(1, 5000), st.integers(-200, 200))
@settings(max_examples=examples(25))
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


def test_the_ceiling_is_1_1_db_below_full_scale() -> None:
    assert decibels(CEILING) == pytest.approx(-1.1, abs=1e-6)
