"""Convolution of stereo sound with long filters, block by block.

A block is cut into hops, the filter into pieces as long as a hop, and each hop goes through one
Fourier transform forth and one back (uniformly partitioned overlap-save: Stockham 1966, Kulp 1988;
from memory). A stereo frame is taken as one complex number. Two filters then lead from two sides
to two sides: one for the sound, one for its complex conjugate.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.samples import BLOCK

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from groove.sound.samples import Samples

    Spectrum = NDArray[np.complex64]

HOP = BLOCK // 4
"""Frames: the transform of two hops fits into a core's own cache, that of two blocks does not."""
HOPS = BLOCK // HOP
SIZE = 2 * HOP


@dataclass(frozen=True)
class Filters:
    """The spectra of a filter's pieces, for the sound and for its conjugate: (pieces, `SIZE`)."""

    straight: Spectrum
    crossed: Spectrum

    @property
    def pieces(self) -> int:
        """The number of pieces."""
        return len(self.straight)

    @cached_property
    def plain(self) -> bool:
        """True if they do the same to each side alone, in one piece."""
        return self.pieces == 1 and not self.crossed.any()


def filters(kernels: NDArray[np.float64]) -> Filters:
    """Filters from kernels of shape (2, 2, frames): to left and right, each from left and right.

    They are as long as one likes; memory and time grow with their length.
    """
    (left, left_of_right), (right_of_left, right) = kernels
    pieces = -(-kernels.shape[-1] // HOP)
    both = np.zeros((2, pieces * HOP), dtype=np.complex128)
    both[0, : len(left)] = (left + right + 1j * (right_of_left - left_of_right)) / 2
    both[1, : len(left)] = (left - right + 1j * (right_of_left + left_of_right)) / 2
    # The forward transforms are scaled by their size: only so they keep single precision.
    spectra = np.fft.fft(both.reshape(2, pieces, HOP), SIZE) * SIZE
    straight, crossed = spectra.astype(np.complex64)
    return Filters(straight, crossed)


class Workspace:
    """Memory to work in, for convolvers of one thread; nothing is kept in it."""

    def __init__(self) -> None:
        self.lines = np.empty((HOPS, SIZE), dtype=np.complex64)
        self.term = np.empty(SIZE, dtype=np.complex64)
        self._spectra = np.empty((2, 0, SIZE), dtype=np.complex64)

    def spectra(self, count: int) -> Spectrum:
        """Room for spectra and those of the conjugates: (2, count, `SIZE`)."""
        if self._spectra.shape[1] < count:
            self._spectra = np.empty((2, count, SIZE), dtype=np.complex64)
        return self._spectra[:, :count]


class Convolver:
    """Filters sound that comes in blocks, and remembers what goes on sounding."""

    def __init__(self, through: Filters, workspace: Workspace | None = None) -> None:
        self._through = through
        self._work = workspace or Workspace()
        self._before = np.zeros(HOP, dtype=np.complex64)
        self._history = np.zeros((2, through.pieces - 1, SIZE), dtype=np.complex64)
        self._sounded = [False] * through.pieces  # the last hops, the newest last

    @property
    def rings(self) -> bool:
        """True if anything of the sound so far may still be to come."""
        return any(self._sounded)

    def process(self, block: Samples | None) -> Samples | None:
        """The next block of `BLOCK` frames, filtered; None stands for silence."""
        silent = block is None or not block.any()
        if silent and not self.rings:
            return None
        hops = np.zeros((HOPS, HOP), dtype=np.complex64)
        if block is not None and not silent:
            hops = np.ascontiguousarray(block).view(np.complex64).reshape(HOPS, HOP)
        if self._through.plain and _is_mono(self._before) and _is_mono(hops):
            return self._process_mono(hops)
        lines, pieces = self._work.lines, self._through.pieces
        lines[:, HOP:] = hops
        lines[0, :HOP], lines[1:, :HOP] = self._before, hops[:-1]
        self._before = hops[-1].copy()
        sounds = [*self._sounded[1:], *(bool(line.any()) for line in lines)]
        spectra = self._work.spectra(pieces - 1 + HOPS)
        spectra[:, : pieces - 1] = self._history
        straight, crossed = spectra[:, pieces - 1 :]
        np.fft.fft(lines, out=straight, norm="forward")
        crossed[:, 0], crossed[:, 1:] = straight[:, 0], straight[:, :0:-1]
        np.conjugate(crossed, out=crossed)
        self._history[:] = spectra[:, HOPS:]
        self._sounded = sounds[HOPS - 1 :]
        for hop, line in enumerate(lines):
            line.fill(0)
            for piece in range(pieces):
                place = hop + pieces - 1 - piece
                if sounds[place]:
                    term = self._work.term
                    line += np.multiply(spectra[0, place], self._through.straight[piece], out=term)
                    line += np.multiply(spectra[1, place], self._through.crossed[piece], out=term)
        np.fft.ifft(lines, out=lines)  # type: ignore[arg-type]
        return np.ascontiguousarray(lines[:, HOP:]).reshape(-1).view(np.float32).reshape(-1, 2)

    def _process_mono(self, hops: Spectrum) -> Samples:
        """The same for sound in the middle, through plain filters: as real numbers, at half the
        cost."""
        sound = np.concatenate((self._before.real, hops.real.reshape(-1)))
        rows = np.lib.stride_tricks.sliding_window_view(sound, SIZE)[::HOP]
        self._before = hops[-1].copy()
        self._sounded = [bool(rows[-1].any())]
        spectra = np.fft.rfft(rows, norm="forward")
        spectra *= self._through.straight[:, : HOP + 1]
        filtered = np.empty((HOPS, HOP, 2), dtype=np.float32)
        filtered[:] = np.fft.irfft(spectra)[:, HOP:, np.newaxis]
        return filtered.reshape(-1, 2)


def _is_mono(frames: Spectrum) -> bool:
    return np.array_equal(frames.real, frames.imag)
