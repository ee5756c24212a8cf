"""The share of the middle register is that of the energy between 300 Hz and 3 kHz."""

from __future__ import annotations

import numpy as np
import pytest

from groove.sound.mix.loudness import STRETCH, stretch_spectra
from groove.sound.mix.midrange import Midrange, register_energy

FRAMES = 1 << 16


def tone(hertz: float, level: float) -> np.ndarray:
    wave = level * np.sin(2 * np.pi * hertz / 44_100 * np.arange(FRAMES))
    return np.repeat(wave[:, np.newaxis], 2, axis=1).astype(np.float32)


def share(part: np.ndarray, other: np.ndarray) -> float:
    heard = Midrange()
    heard.add(part + other, part)
    return heard.share


def test_half_the_amplitude_is_a_fifth_of_the_energy() -> None:
    assert share(tone(500, 0.1), tone(1500, 0.2)) == pytest.approx(0.2, abs=0.001)


@pytest.mark.parametrize("hertz", [100, 5000])
def test_what_is_lower_or_higher_does_not_count(hertz: float) -> None:
    assert share(tone(1000, 0.1), tone(hertz, 0.5)) == pytest.approx(1, abs=0.001)
    assert share(tone(hertz, 0.5), tone(1000, 0.1)) == pytest.approx(0, abs=0.001)


def test_silence_has_no_share() -> None:
    heard = Midrange()
    heard.add(np.zeros((FRAMES, 2), dtype=np.float32), None)
    assert heard.share == 0


def test_the_quick_measure_counts_the_same_even_beside_loud_low_notes() -> None:
    """Of frequencies that lie between those of its transform."""
    inside, low, high = (
        register_energy(stretch_spectra(tone(hertz, level)[: 4 * STRETCH]))
        for hertz, level in ((1000.3, 0.1), (102.3, 1.0), (4000.3, 1.0))
    )
    louder = register_energy(stretch_spectra(tone(1000.3, 0.2)[: 4 * STRETCH]))
    assert low + high < 1e-3 * inside
    assert louder == pytest.approx(4 * inside, rel=1e-3)
