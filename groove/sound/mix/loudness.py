"""Loudness as ITU-R BS.1770-4 defines it, measured block by block.

The sound is K-weighted (a high-shelf filter for the head, a high-pass filter for the ear), its mean
square is taken every 100 ms, and the integrated loudness is that of the 400 ms windows that are
loud enough: above -70 LUFS, and above the mean of those less 10 LU. The loudness range is that of
EBU Tech 3342. The filters' constants are those from which pyloudnorm makes them at any sample rate.

The weighting is done by Fourier transforms of overlapping stretches, which is several times
faster than a filter that goes from sample to sample. A stereo frame is taken as one complex
number: the filter is real, so left and right do not mix.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.gain_curve import SLICE
from groove.sound.samples import BLOCK, SAMPLE_RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from groove.sound.samples import Samples

    Energies = NDArray[np.float64]

STEP = SAMPLE_RATE // 10
"""Frames in 100 ms, over which the energy is taken."""

WINDOW_STEPS, SHORT_TERM_STEPS = 4, 30
"""Steps in the 400 ms and 3 s windows; four quick ones are 372 ms."""

OFFSET = -0.691
ABSOLUTE_GATE, RELATIVE_GATE, RANGE_GATE = -70.0, -10.0, -20.0
"""LUFS, and LU below the mean."""

MEMORY, FORWARD = 2048, 8192
"""Frames that a transform looks back, after which the filters have died away by 96 dB, and that
it brings forward."""

STRETCH = 4096
"""Frames in 93 ms, over which the energy is taken for the estimate."""


class Meter:
    """Measures stereo samples: the K-weighted energy of every 100 ms."""

    def __init__(self) -> None:
        self._weighting = _k_weighting(MEMORY + FORWARD)
        self._history = np.zeros(MEMORY, dtype=np.complex64)
        self._left_over = np.zeros(0, dtype=np.float32)
        self._energies: list[NDArray[np.float32]] = []

    def add(self, block: Samples) -> None:
        """Add a block of shape (frames, 2), of any length."""
        frames = len(block)
        stretches = -(-frames // FORWARD)
        line = np.zeros(MEMORY + stretches * FORWARD, dtype=np.complex64)
        line[:MEMORY] = self._history
        line[MEMORY : MEMORY + frames] = np.ascontiguousarray(block).view(np.complex64)[:, 0]
        self._history = line[frames : frames + MEMORY].copy()
        rows = np.lib.stride_tricks.sliding_window_view(line, MEMORY + FORWARD)[::FORWARD]
        # Scaled both forwards and backwards, the transforms are computed in single precision.
        spectra = np.fft.fft(rows, norm="forward")
        spectra *= self._weighting
        weighted = np.fft.ifft(spectra)[:, MEMORY:].view(np.float32)
        power = np.square(weighted).reshape(-1)[: 2 * frames]
        if len(self._left_over):
            power = np.concatenate([self._left_over, power])
        whole = len(power) // (2 * STEP) * 2 * STEP
        self._energies.append(power[:whole].reshape(-1, 2 * STEP).sum(axis=1) / np.float32(STEP))
        self._left_over = power[whole:].copy()

    @property
    def energies(self) -> Energies:
        """The mean square of each 100 ms so far, both channels added."""
        return np.concatenate([np.zeros(0, np.float32), *self._energies]).astype(np.float64)


def exact_energies(sound: Samples) -> Energies:
    """The K-weighted energy of every 100 ms of a sound but the first, which is for the filters."""
    meter = Meter()
    meter.add(sound)
    return meter.energies[1:]


def quick_energies(sound: Samples) -> Energies:
    """An estimate of the K-weighted energy of every 93 ms of a sound.

    Each is weighted by its own spectrum alone, as if it went round in a circle. The loudness of a
    mix of a minute by it is within 0.03 LU of the meter's (measured).
    """
    return weighted(stretch_spectra(sound))


def weighted(spectra: NDArray[np.complex64]) -> Energies:
    """The K-weighted energy of each stretch from its spectrum, see `stretch_spectra`."""
    power = np.square(spectra.view(np.float32))
    return (power @ _power_weighting(STRETCH)).astype(np.float64)


def stretch_spectra(sound: Samples) -> NDArray[np.complex64]:
    """The spectrum of every 93 ms of a sound, a frame taken as one complex number: (stretches,
    `STRETCH`)."""
    rows = -(-len(sound) // STRETCH)
    if len(sound) < rows * STRETCH:
        sound = np.concatenate((sound, np.zeros((rows * STRETCH - len(sound), 2), np.float32)))
    line = np.ascontiguousarray(sound).view(np.complex64).reshape(-1, STRETCH)
    return np.fft.fft(line, norm="forward")  # type: ignore[return-value]


@dataclass(frozen=True)
class Gauge:
    """A way to measure energies. frames: of each; before: frames that it needs before the first;
    chunk: frames that are measured at once."""

    frames: int
    before: int
    chunk: int
    energies: Callable[[Samples], Energies]


EXACT = Gauge(STEP, STEP, math.lcm(STEP, SLICE), exact_energies)
QUICK = Gauge(STRETCH, 0, BLOCK, quick_energies)


def integrated(energies: Energies) -> float:
    """The integrated loudness in LUFS, by the energies of either gauge; minus infinity for
    silence."""
    return _gated(_windows(energies, WINDOW_STEPS))


def _gated(windows: Energies) -> float:
    """The loudness of the windows that pass both gates, from the energies of all."""
    loud = windows[windows > _energy(ABSOLUTE_GATE)]
    if not len(loud):
        return -math.inf
    gate = _energy(_loudness(float(loud.mean())) + RELATIVE_GATE)
    return _loudness(float(loud[loud > gate].mean()))


def loudness_range(energies: Energies) -> float:
    """The loudness range in LU: the distance from the 10th to the 95th percentile of the short-term
    loudness."""
    windows = _windows(energies, SHORT_TERM_STEPS)
    loud = windows[windows > _energy(ABSOLUTE_GATE)]
    if not len(loud):
        return 0.0
    gate = _energy(_loudness(float(loud.mean())) + RANGE_GATE)
    low, high = np.quantile(loud[loud > gate], [0.1, 0.95])
    return float(_loudness(float(high)) - _loudness(float(low)))


def _windows(energies: Energies, steps: int) -> Energies:
    """The mean of every run of `steps` energies; of all, where there are fewer."""
    steps = min(steps, len(energies))
    if not steps:
        return energies
    sums = np.concatenate([[0.0], np.cumsum(energies)])
    means: Energies = (sums[steps:] - sums[:-steps]) / steps
    return means


def _loudness(energy: float) -> float:
    return OFFSET + 10 * math.log10(energy)


def _energy(loudness: float) -> float:
    return float(10 ** ((loudness - OFFSET) / 10))


@cache
def _k_weighting(size: int) -> NDArray[np.complex64]:
    """The response of both filters at the frequencies of a transform of `size` frames, times
    `size`."""
    z = np.exp(-2j * np.pi * np.arange(size) / size)
    gain, q, hertz = 3.99984385397, 0.7071752369554193, 1681.9744509555319
    k = math.tan(math.pi * hertz / SAMPLE_RATE)
    high, band = 10 ** (gain / 20), 10 ** (gain / 20 * 0.4996667741545416)
    shelf = _biquad(
        z,
        (high + band * k / q + k * k, 2 * (k * k - high), high - band * k / q + k * k),
        (1 + k / q + k * k, 2 * (k * k - 1), 1 - k / q + k * k),
    )
    q, hertz = 0.5003270373238773, 38.13547087602444
    k = math.tan(math.pi * hertz / SAMPLE_RATE)
    scale = 1 + k / q + k * k
    high_pass = _biquad(z, (scale, -2 * scale, scale), (scale, 2 * (k * k - 1), 1 - k / q + k * k))
    response: NDArray[np.complex64] = (shelf * high_pass * size).astype(np.complex64)
    return response


@cache
def _power_weighting(size: int) -> NDArray[np.float32]:
    """The gain of both filters for the power at the frequencies of a transform of `size` frames,
    each twice: for the real and for the imaginary part."""
    weighting: NDArray[np.float32] = np.square(np.abs(_k_weighting(size)) / np.float32(size))
    return np.repeat(weighting, 2)


def _biquad(
    z: NDArray[np.complex128], over: tuple[float, ...], under: tuple[float, ...]
) -> NDArray[np.complex128]:
    top, bottom = (a + b * z + c * z * z for a, b, c in (over, under))
    response: NDArray[np.complex128] = top / bottom
    return response
