"""Figures of sound: spectral centroid, likeness of strokes, pitch, decay, energy by bands.

Sound is float, full scale 1, of shape (frames,) or (frames, 2), at 44.1 kHz.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

RATE = 44_100
LAG = 0.002
"""Seconds by which two strokes are shifted at most to find where they are most alike."""

Sound = NDArray[np.float64]


def mono(sound: Sound) -> Sound:
    """The mean of left and right."""
    return sound if sound.ndim == 1 else sound.mean(axis=1)


def centroid(sound: Sound) -> float:
    """The spectral centroid in Hz: the mean frequency, each weighted by its magnitude, 20 Hz to
    20 kHz (Peeters, A large set of audio features for sound description, IRCAM, 2004, from
    memory). The start is taken as it is, the last quarter is faded out."""
    line = mono(sound).copy()
    fade = len(line) // 4
    line[-fade:] *= 0.5 * (1 + np.cos(np.linspace(0, np.pi, fade)))
    magnitude = np.abs(np.fft.rfft(line))
    hertz = np.fft.rfftfreq(len(line), 1 / RATE)
    heard = (hertz >= 20) & (hertz <= 20_000)
    return float(hertz[heard] @ magnitude[heard] / magnitude[heard].sum())


def likeness(one: Sound, other: Sound) -> float:
    """The normalised correlation of two strokes at the lag, 2 ms at most, at which it is highest.

    Both have `LAG` of context before and after.
    """
    margin = round(LAG * RATE)
    kept = mono(one)[margin:-margin]
    line = mono(other)
    length = len(kept)
    top = np.correlate(line, kept, "valid")
    squares = np.concatenate([[0.0], np.cumsum(line**2)])
    power = squares[length:] - squares[:-length]
    energy = math.sqrt(float(kept @ kept))
    return float(np.max(top / (energy * np.sqrt(power[: len(top)]) + 1e-20)))


def neighbours(sound: Sound, starts: list[float], seconds: float) -> list[float]:
    """The likeness of each stroke to the one before it; starts: of the strokes, in seconds."""
    margin = round(LAG * RATE)
    length = round(seconds * RATE)
    cut = []
    for start in starts:
        at = round(start * RATE)
        piece = sound[max(0, at - margin) : at + length + margin]
        if len(piece) == length + 2 * margin:
            cut.append(piece)
    return [likeness(one, other) for one, other in pairwise(cut)]


def pitch_cents(sound: Sound, hertz: float) -> float:
    """By how many cents the partial near `hertz` is higher than that; sound: a second or so."""
    line = mono(sound) * np.hanning(len(sound))
    points = 1 << 19
    magnitude = np.abs(np.fft.rfft(line, points))
    low, high = (round(hertz * 2 ** (cents / 1200) * points / RATE) for cents in (-70, 70))
    top = low + int(np.argmax(magnitude[low : high + 1]))
    before, at, after = np.log(magnitude[top - 1 : top + 2] + 1e-20)
    place = top + 0.5 * (before - after) / (before - 2 * at + after)
    return 1200 * math.log2(place * RATE / points / hertz)


def fall_times(sound: Sound, off: float, falls: tuple[float, ...]) -> list[float]:
    """Seconds from a note's end until its level, over 10 ms, stays so many dB below what it was.

    off: when the note ends, in seconds. The level before is that of the last 40 ms.
    """
    line = mono(sound)
    at = round(off * RATE)
    window = round(0.01 * RATE)
    before = math.sqrt(float(np.mean(line[at - 4 * window : at] ** 2)))
    after = line[at:]
    count = len(after) // window
    levels = np.sqrt(np.mean(after[: count * window].reshape(count, window) ** 2, axis=1))
    times = []
    for fall in falls:
        louder = np.flatnonzero(levels > before * 10 ** (-fall / 20))
        times.append((int(louder[-1]) + 1) * 0.01 if len(louder) else 0.0)
    return times


def t60(tail: Sound, low: float = -5.0, high: float = -25.0) -> float:
    """The time to fall by 60 dB: from a line through the energy still to come (Schroeder, New
    method of measuring reverberation time, JASA 37, 1965) between two levels in dB (ISO 3382)."""
    energy = np.sum(np.atleast_2d(tail.T) ** 2, axis=0)
    left = np.cumsum(energy[::-1])[::-1]
    decibels = 10 * np.log10(left / left[0] + 1e-20)
    inside = np.flatnonzero((decibels <= low) & (decibels >= high))
    if len(inside) < 100:
        return math.nan
    slope = np.polyfit(inside / RATE, decibels[inside], 1)[0]
    return float(-60 / slope)


def energies(sound: Sound, edges: tuple[float, ...]) -> list[float]:
    """The energy of both channels between neighbouring edges in Hz."""
    power = np.zeros(0)
    for first in range(0, len(sound), 1 << 16):
        block = sound[first : first + (1 << 16)]
        tapered = block * np.hanning(len(block))[:, np.newaxis]
        one = (np.abs(np.fft.rfft(tapered, 1 << 16, axis=0)) ** 2).sum(axis=1)
        power = one if not len(power) else power + one
    places = [min(len(power), round(edge * (1 << 16) / RATE)) for edge in edges]
    return [float(power[low:high].sum()) for low, high in pairwise(places)]


def decibels(ratio: float) -> float:
    """A ratio of powers in dB."""
    return 10 * math.log10(max(ratio, 1e-20))
