"""Measures recordings: onset, level, pitch, brightness, likeness of two strokes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import signal

Frames = NDArray[np.float64]


def onset(sound: Frames, rate: int, below: float = 24.0) -> int:
    """The first frame around which the level over a millisecond, of both sides together, is at
    most `below` dB under the highest such level."""
    width = rate // 1000
    power = np.convolve((sound**2).sum(axis=1), np.ones(width) / width, mode="valid")
    return int(np.argmax(power > power.max() * 10 ** (-below / 10))) + width // 2


def weighted(sound: Frames, rate: int) -> Frames:
    """`sound` through the weighting of ITU-R BS.1770-5 (the figures at 48 kHz, moved to `rate` by
    the bilinear transform of the analogue filters; from memory)."""
    shelf = _biquad_shelf(1681.974450955533, 3.999843853973347, 0.7071752369554196, rate)
    high = signal.butter(2, 38.13547087602444, "highpass", fs=rate, output="sos")
    return signal.sosfilt(high, signal.lfilter(*shelf, sound, axis=0), axis=0)


def _biquad_shelf(
    corner: float, gain: float, q: float, rate: int
) -> tuple[list[float], list[float]]:
    k = np.tan(np.pi * corner / rate)
    high = 10 ** (gain / 20)
    band = high**0.4996667741545416
    scale = 1 + k / q + k * k
    numerator = [high + band * k / q + k * k, 2 * (k * k - high), high - band * k / q + k * k]
    return [n / scale for n in numerator], [
        1.0,
        2 * (k * k - 1) / scale,
        (1 - k / q + k * k) / scale,
    ]


def level(sound: Frames, rate: int, seconds: float) -> float:
    """Weighted level of the first `seconds`, dB; the powers of the sides are added."""
    part = weighted(sound, rate)[: round(seconds * rate)]
    return float(10 * np.log10((part**2).mean(axis=0).sum() + 1e-20))


def brightness(sound: Frames, rate: int) -> float:
    """Centre of gravity of the amplitude spectrum of both sides, Hz."""
    middle = sound.mean(axis=1)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    return float((spectrum * np.fft.rfftfreq(len(middle), 1 / rate)).sum() / spectrum.sum())


def thirds(sound: Frames, rate: int) -> NDArray[np.float64]:
    """Levels of the bands of a third of an octave from 40 Hz to 16 kHz, dB."""
    power = (np.abs(np.fft.rfft(sound, axis=0)) ** 2).sum(axis=1)
    edges = 1000 * 2 ** ((np.arange(-14, 14) - 0.5) / 3)
    ends = np.searchsorted(np.fft.rfftfreq(len(sound), 1 / rate), edges)
    sums = np.concatenate([[0.0], np.cumsum(power)])
    levels: NDArray[np.float64] = 10 * np.log10(np.diff(sums[ends]) + 1e-20)
    return levels


def likeness(first: Frames, second: Frames, rate: int, seconds: float) -> float:
    """Greatest correlation of two strokes' first `seconds`, in mono, moved by 5 ms at most."""
    count = round(seconds * rate)
    a, b = (np.pad(x.mean(axis=1)[:count], (0, max(0, count - len(x)))) for x in (first, second))
    both = np.fft.irfft(np.fft.rfft(a, 2 * count) * np.conj(np.fft.rfft(b, 2 * count)))
    reach = rate // 200
    highest = np.concatenate([both[: reach + 1], both[-reach:]]).max()
    return float(highest / np.sqrt((a**2).sum() * (b**2).sum()))


def mistuning(sound: Frames, rate: int, key: int) -> float:
    """Cents by which the first partial of a string is above `key` (A of 440 Hz is key 69).

    The partials are those of a stiff string, n f sqrt((1 + B n^2) / (1 + B)), fitted to the peaks
    of the spectrum of the frames given (from memory: Fletcher and Rossing, Physics of Musical
    Instruments).
    """
    nominal = 440 * 2 ** ((key - 69) / 12)
    size = 1 << 19
    window = np.hanning(len(sound))[:, None]
    spectrum = np.abs(np.fft.rfft(sound * window, size, axis=0)).sum(axis=1)
    stiffness = 10 ** (-4.0 + (key - 48) / 12 * 0.35)
    found = []
    for n in range(1, 7):
        guess = n * nominal * np.sqrt((1 + stiffness * n * n) / (1 + stiffness))
        low, high = (int(guess * 2 ** (c / 1200) * size / rate) for c in (-45, 45))
        at = low + int(np.argmax(spectrum[low:high]))
        found.append((n, at * rate / size, spectrum[at]))
    n, frequency, height = np.array(found).T
    cents = 1200 * np.log2(frequency / (n * nominal))
    weight = np.sqrt(height / height.max())
    fit = np.polyfit(n * n - 1, cents, 1, w=weight)
    return float(fit[1])
