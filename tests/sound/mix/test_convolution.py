"""Convolution block by block is the convolution of the whole."""

from __future__ import annotations

import numpy as np
import pytest

from groove.sound.mix.convolution import HOP, Convolver, filters
from groove.sound.samples import BLOCK


def noise(seed: int, *shape: int) -> np.ndarray:
    return np.random.default_rng(seed).standard_normal(shape)


def whole(sound: np.ndarray, kernels: np.ndarray) -> np.ndarray:
    """The same by one transform in double precision."""
    size = len(sound) + kernels.shape[-1]
    spectra = np.fft.rfft(sound.T, size)
    through = np.einsum("oif,if->of", np.fft.rfft(kernels, size), spectra)
    return np.fft.irfft(through, size).T


@pytest.mark.parametrize("length", [1, HOP + 1, 3 * HOP + 17])
def test_it_is_the_convolution_of_the_whole(length: int) -> None:
    sound = noise(1, 2 * BLOCK, 2).astype(np.float32)
    kernels = noise(2, 2, 2, length) / length**0.5
    convolver = Convolver(filters(kernels))
    blocks = [sound[:BLOCK], sound[BLOCK:], None]
    found = np.concatenate([convolver.process(block) for block in blocks])
    expected = np.zeros_like(found, dtype=float)
    true = whole(sound, kernels)[: len(expected)]
    expected[: len(true)] = true
    assert np.abs(found - expected).max() < 1e-5 * np.abs(expected).max()


def test_sound_in_the_middle_is_filtered_as_any_other_and_stays_there() -> None:
    """And so is what comes after it, and it after other sound."""
    kernel = noise(5, 1000) / 1000**0.5
    kernels = np.zeros((2, 2, 1000))
    kernels[0, 0] = kernels[1, 1] = kernel
    sound = noise(6, 5 * BLOCK, 2).astype(np.float32)
    sound[BLOCK : 3 * BLOCK, 1] = sound[BLOCK : 3 * BLOCK, 0]
    sound[4 * BLOCK :, 1] = sound[4 * BLOCK :, 0]
    convolver = Convolver(filters(kernels))
    blocks = [convolver.process(sound[n * BLOCK : (n + 1) * BLOCK]) for n in range(5)]
    found = np.concatenate(
        [block for block in (*blocks, convolver.process(None)) if block is not None]
    )
    expected = whole(sound, kernels)
    assert np.abs(found[: len(expected)] - expected).max() < 1e-5 * np.abs(expected).max()
    middle = found[BLOCK + 1000 : 3 * BLOCK]
    assert np.abs(middle[:, 0] - middle[:, 1]).max() < 1e-5 * np.abs(expected).max()


def test_silence_gives_none_before_the_sound_and_after_its_end() -> None:
    convolver = Convolver(filters(noise(1, 2, 2, HOP)))
    silence = np.zeros((BLOCK, 2), np.float32)
    click = silence.copy()
    click[-1] = 1
    assert convolver.process(silence) is None
    assert convolver.process(click) is not None
    rung = convolver.process(None)
    assert rung is not None
    assert rung[: HOP - 1].any()
    assert not rung[2 * HOP :].any()
    assert convolver.process(None) is None


def test_the_given_samples_stay() -> None:
    sound = noise(3, BLOCK, 2).astype(np.float32)
    before = sound.copy()
    found = Convolver(filters(noise(4, 2, 2, 100))).process(sound)
    assert np.array_equal(sound, before)
    assert not np.shares_memory(found, sound)
