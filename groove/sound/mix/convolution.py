"""Convolution of stereo sound with long filters, block by block.

A block is cut into hops, the filter into pieces as long as a hop, and each hop goes through one
Fourier transform forth and one back (uniformly partitioned overlap-save: Stockham 1966, Kulp 1988;
from memory). A stereo frame is taken as one complex number. Two filters then lead from two sides
to two sides: one for the sound, one for its complex conjugate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.samples import BLOCK

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from groove.sound.samples import Samples

    Spectrum = NDArray[np.complex64]

HOP = BLOCK // 4
"""Frames: the transforms of two hops fit into a core's own cache, those of a block don't."""
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


class Convolver:
    """Filters sound that comes in blocks, and remembers what goes on sounding."""

    def __init__(self, through: Filters) -> None:
        self._through = through
        self._last = np.zeros(HOP, dtype=np.complex64)
        self._spectra = np.zeros((through.pieces, 2, SIZE), dtype=np.complex64)
        self._sounds = [False] * through.pieces
        self._newest = 0
        self._line = np.zeros(SIZE, dtype=np.complex64)
        self._sum = np.empty(SIZE, dtype=np.complex64)
        self._term = np.empty(SIZE, dtype=np.complex64)

    @property
    def rings(self) -> bool:
        """Whether anything of the sound so far may still be to come."""
        return any(self._sounds)

    def process(self, block: Samples | None) -> Samples | None:
        """The next block of `BLOCK` frames, filtered; None stands for silence."""
        silent = block is None or not block.any()
        if silent and not self.rings:
            return None
        filtered = np.zeros(BLOCK, dtype=np.complex64)
        if block is None or silent:
            hops = np.zeros((BLOCK // HOP, HOP), dtype=np.complex64)
        else:
            hops = np.ascontiguousarray(block).view(np.complex64).reshape(-1, HOP)
        for hop, out in zip(hops, filtered.reshape(-1, HOP), strict=True):
            self._take(hop)
            if self.rings:
                self._give(out)
        return filtered.view(np.float32).reshape(-1, 2)

    def _take(self, hop: Spectrum) -> None:
        """Take in the next hop."""
        self._newest = (self._newest - 1) % self._through.pieces
        line = self._line
        line[:HOP], line[HOP:] = self._last, hop
        self._last = line[HOP:].copy()
        self._sounds[self._newest] = bool(line.any())
        if self._sounds[self._newest]:
            spectrum, conjugate = self._spectra[self._newest]
            np.fft.fft(line, out=spectrum, norm="forward")
            conjugate[0], conjugate[1:] = spectrum[0], spectrum[:0:-1]
            np.conjugate(conjugate, out=conjugate)

    def _give(self, out: Spectrum) -> None:
        """Fill `out` with the hop that comes out."""
        whole, term = self._sum, self._term
        whole.fill(0)
        for piece in range(self._through.pieces):
            place = (self._newest + piece) % self._through.pieces
            if self._sounds[place]:
                spectrum, conjugate = self._spectra[place]
                whole += np.multiply(spectrum, self._through.straight[piece], out=term)
                whole += np.multiply(conjugate, self._through.crossed[piece], out=term)
        out[:] = np.fft.ifft(whole, out=term)[HOP:]  # type: ignore[arg-type]
