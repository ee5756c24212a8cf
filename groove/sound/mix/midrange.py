"""The comping's share of the middle register, where a soloist plays too.

Most of what a horn, a voice or a guitar plays lies between 300 Hz and 3 kHz (common practice).
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from groove.sound.samples import Samples

LOW, HIGH = 300.0, 3000.0
"""Hertz."""


def register_energy(spectra: NDArray[np.complex64]) -> float:
    """The energy between 300 Hz and 3 kHz in `loudness.stretch_spectra`.

    Neighbouring frequencies are put together as a Hann window over the time would do: without one
    the low notes would spread into the band.
    """
    size = spectra.shape[1]
    low, high = (round(hertz * size / SAMPLE_RATE) for hertz in (LOW, HIGH))
    energy = 0.0
    for first, last in ((low, high), (size - high, size - low)):
        band = spectra[:, first - 1 : last + 1]
        smooth = band[:, 1:-1] - (band[:, :-2] + band[:, 2:]) / 2
        energy += float(np.square(smooth.view(np.float32)).sum())
    return energy


class Midrange:
    """The energy between 300 Hz and 3 kHz of the whole band and of one part, block by block."""

    def __init__(self) -> None:
        self._whole = self._part = 0.0

    def add(self, whole: Samples, part: Samples | None) -> None:
        """Add a block of the band, and that of the part."""
        self._whole += _energy(whole)
        self._part += 0.0 if part is None else _energy(part)

    @property
    def share(self) -> float:
        """The part's energy as a share of the band's; 0 where there is none."""
        return self._part / self._whole if self._whole else 0.0


def _energy(block: Samples) -> float:
    tapered = block.T * _taper(len(block))
    spectrum = np.fft.rfft(tapered, norm="forward").T  # the norm keeps single precision
    low, high = (round(hertz * len(block) / SAMPLE_RATE) for hertz in (LOW, HIGH))
    return float((np.abs(spectrum[low:high]) ** 2).sum())


@cache
def _taper(frames: int) -> NDArray[np.float32]:
    """A window that keeps the sound below and above out of the band."""
    return np.hanning(frames).astype(np.float32)
