"""The dither of 16 bits is white noise, one for each seed."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from groove.sound.files.pcm import PIECE, Quantiser

FRAMES = 64 * PIECE
"""12 seconds: twice as many samples as there are in the table that the dither comes from."""


def error(seed: int) -> NDArray[np.float64]:
    """What dither and rounding add to a sound of a third of a code, in codes: (frames, 2)."""
    sound = np.full((FRAMES, 2), 1 / 3 / 2**15, np.float32)
    return Quantiser(16, seed).int16(sound).reshape(-1, 2) - 1 / 3


def share(first: NDArray[np.float64], second: NDArray[np.float64]) -> NDArray[np.float64]:
    """How much two noises are alike at every distance, -1 to 1."""
    spectra = np.fft.rfft(first, 2 * len(first)) * np.fft.rfft(second, 2 * len(second)).conj()
    alike: NDArray[np.float64] = np.fft.irfft(spectra)
    return alike / np.sqrt((first @ first) * (second @ second))


def test_it_is_as_strong_at_all_frequencies() -> None:
    spectrum = np.abs(np.fft.rfft(error(1)[:, 0])) ** 2
    bands = np.array([band.mean() for band in np.array_split(spectrum[1:], 40)])
    assert np.abs(10 * np.log10(bands / bands.mean())).max() < 0.2


def test_nothing_in_it_comes_back() -> None:
    """Not even where the same stretch is used again: that is a small part of the whole."""
    left = error(2)[:, 0]
    assert np.abs(share(left, left)[1:FRAMES]).max() < 0.03


@pytest.mark.parametrize(("one", "other"), [((3, 0), (3, 1)), ((3, 0), (4, 0))])
def test_sides_and_files_have_noises_of_their_own(
    one: tuple[int, int], other: tuple[int, int]
) -> None:
    first, second = (error(seed)[:, side] for seed, side in (one, other))
    assert np.abs(share(first, second)).max() < 0.03
