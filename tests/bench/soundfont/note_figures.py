"""Measures single notes: how loud, how high, on which side, and how fast they end."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from groove.rhythm.kit import INSTRUMENTS
from tests.bench.soundfont.playing import RATE

Sound = NDArray[np.float32]

SHELF = (3.999843853973347, 0.7071752369554196, 1681.974450955533)
HIGH_PASS = (0.5003270373238773, 38.13547087602444)
"""Gain in dB, Q and hertz of the two filters of ITU-R BS.1770-4's K-weighting, as pyloudnorm has
them; the numbers hold for any rate."""

LOUD_SECONDS = 0.4
PITCHED = (0.12, 0.9)
"""Seconds of a note over which it is weighed, and between which its pitch is taken."""

PARTIALS = 6
NEAR = 80.0
"""Cents from the pitch that is expected within which a partial is looked for."""

FAINT = 0.02
"""Share of a sound's power below which a partial is not asked for its pitch."""


def loudness(sound: Sound) -> float:
    """K-weighted level in LUFS of the loudest LOUD_SECONDS."""
    spectrum = np.fft.rfft(sound.astype(float), axis=0) * _weighting(len(sound))[:, None]
    weighted = np.fft.irfft(spectrum, len(sound), axis=0)
    return -0.691 + _loudest(weighted)


def level(sound: Sound) -> float:
    """Level in dB of the loudest LOUD_SECONDS, unweighted."""
    return _loudest(sound.astype(float))


def lean(sound: Sound) -> float:
    """Energy of the left side over the right in dB, over the whole sound."""
    left, right = (sound.astype(float) ** 2).sum(axis=0) + 1e-20
    return float(10 * np.log10(left / right))


def cents(sound: Sound, key: int) -> float:
    """How far a held note is above its key in cents: the mean of its partials' frequencies over
    time, weighed by their power; nan where none stands out.

    A mean over time, so that a vibrato or the beat of two strings counts with its middle.
    """
    start, end = (round(seconds * RATE) for seconds in PITCHED)
    mono = sound[start:end].astype(float).sum(axis=1)
    size = len(mono)
    spectrum = np.fft.fft(mono * np.hanning(size))
    total = (np.abs(spectrum) ** 2).sum() / 2
    expected = 440 * 2 ** ((key - 69) / 12)
    found, weights = [], []
    for partial in range(1, PARTIALS + 1):
        centre = expected * partial * size / RATE
        half = max(centre * (2 ** (NEAR / 1200) - 1), 4.0)
        low, high = round(centre - half), round(centre + half)
        if high >= size // 2:
            break
        band = np.zeros(size, complex)
        band[low : high + 1] = spectrum[low : high + 1]
        power = (np.abs(band) ** 2).sum()
        if power <= FAINT * total:
            continue
        wave = np.fft.ifft(band)
        turn = np.angle((wave[1:] * np.conj(wave[:-1])).sum())
        found.append(1200 * np.log2(turn * RATE / (2 * np.pi) / partial / expected))
        weights.append(power / partial)
    return float(np.average(found, weights=weights)) if found else float("nan")


def fall(sound: Sound, held: float, decibels: float) -> float:
    """Milliseconds in which a sound falls by some decibels after it is let go; nan if it does
    not."""
    at, window = round(held * RATE), round(0.005 * RATE)
    power = (sound.astype(float) ** 2).sum(axis=1)
    smooth = np.convolve(power, np.ones(window) / window, "same")
    reference = power[at - RATE // 20 : at].mean()
    below = np.flatnonzero(smooth[at:] < reference * 10 ** (-decibels / 10))
    return float(below[0] / RATE * 1000) if len(below) else float("nan")


def thirds(sound: Sound) -> NDArray[np.float64]:
    """Energy in the third-octave bands from 31.5 Hz to 16 kHz."""
    power = np.abs(np.fft.rfft(sound.astype(float), axis=0)) ** 2
    hertz = np.fft.rfftfreq(len(sound), 1 / RATE)
    centres = 1000 * 2.0 ** (np.arange(-15, 13) / 3)
    return np.array(
        [
            power[(hertz >= centre * 2 ** (-1 / 6)) & (hertz < centre * 2 ** (1 / 6))].sum()
            for centre in centres
        ]
    )


def keys_of(program: int) -> range:
    """The keys that an instrument has."""
    instrument = list(INSTRUMENTS.values())[program]
    return range(instrument.lowest, instrument.highest + 1)


def _loudest(sound: NDArray[np.float64]) -> float:
    """Level in dB of the loudest stretch, in steps of a tenth of it."""
    step = round(LOUD_SECONDS * RATE / 10)
    steps = len(sound) // step
    energy = (sound[: steps * step] ** 2).reshape(steps, step, -1).mean(axis=1).sum(axis=1)
    windows = np.convolve(energy, np.ones(10) / 10, "valid") if steps >= 10 else energy
    return float(10 * np.log10(windows.max() + 1e-20))


@cache
def _weighting(frames: int) -> NDArray[np.complex128]:
    """The K-weighting of the frequencies of a real transform of some frames."""
    turns = np.exp(-2j * np.pi * np.fft.rfftfreq(frames))
    gain, quality, hertz = SHELF
    slope = np.tan(np.pi * hertz / RATE)
    high, middle = 10 ** (gain / 20), 10 ** (gain / 20 * 0.4996667741545416)
    shelf = (
        high + middle * slope / quality + slope**2
        + 2 * (slope**2 - high) * turns
        + (high - middle * slope / quality + slope**2) * turns**2
    ) / (
        1 + slope / quality + slope**2
        + 2 * (slope**2 - 1) * turns
        + (1 - slope / quality + slope**2) * turns**2
    )  # fmt: skip
    quality, hertz = HIGH_PASS
    slope = np.tan(np.pi * hertz / RATE)
    below = (1 - 2 * turns + turns**2) / (
        1 + slope / quality + slope**2
        + 2 * (slope**2 - 1) * turns
        + (1 - slope / quality + slope**2) * turns**2
    )  # fmt: skip
    weighting: NDArray[np.complex128] = shelf * below * (1 + slope / quality + slope**2)
    return weighting
