"""Saturation adds harmonics to loud sound, leaves soft sound alone, and hardly folds anything."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from groove.sound.mix.saturation import Saturation
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from groove.sound.samples import Samples

FRAMES = SAMPLE_RATE


def tone(hertz: int, level: float) -> Samples:
    line = level * np.sin(2 * np.pi * hertz * np.arange(FRAMES) / SAMPLE_RATE)
    return np.repeat(line.astype(np.float32)[:, np.newaxis], 2, axis=1)


def harmonics(samples: Samples) -> np.ndarray:
    """The level of each whole number of hertz."""
    return np.abs(np.fft.rfft(samples[:, 0].astype(float))) / (FRAMES / 2)


def db(ratio: float) -> float:
    return float(20 * np.log10(max(ratio, 1e-12)))


def test_soft_sound_passes_as_it_is() -> None:
    soft = tone(100, 1e-3)
    assert np.abs(Saturation(12, 0.3).apply(soft) - soft).max() < 1e-5


def test_loud_sound_gets_odd_harmonics_and_even_ones_as_asked() -> None:
    even, odd = (harmonics(Saturation(0, share).apply(tone(100, 0.6))) for share in (0.3, 0))
    assert -40 < db(odd[300] / odd[100]) < -25
    assert db(odd[200] / odd[100]) < -100
    assert -40 < db(even[200] / even[100]) < -15


def test_the_louder_the_more() -> None:
    soft, loud = (harmonics(Saturation(0).apply(tone(100, level))) for level in (0.2, 0.6))
    assert db(loud[300] / loud[100]) > db(soft[300] / soft[100]) + 15


@pytest.mark.parametrize("hertz", [1101, 2203, 4409])
def test_what_folds_back_is_60_db_down(hertz: int) -> None:
    """At a level that no bass or guitar reaches: -4 dB against the curve's full scale."""
    found = harmonics(Saturation(18, 0.3).apply(tone(hertz, 0.63 / 10**0.9)))
    true = np.zeros(len(found), dtype=bool)
    true[0::hertz] = True
    assert db(found[~true].max() / found[hertz]) < -60


def test_the_given_samples_stay() -> None:
    given = tone(100, 0.5)
    before = given.copy()
    Saturation(6).apply(given)
    assert np.array_equal(given, before)


@pytest.mark.parametrize("figures", [(-1, 0), (37, 0), (6, -0.1), (6, 0.7)])
def test_a_figure_out_of_range_is_refused(figures: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="are allowed"):
        Saturation(*figures)
