"""Floats to whole-number samples: rounded to the nearest code, held at full scale."""

from __future__ import annotations

import random
import threading
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from groove.sound.samples import Samples

PIECE = 8192
"""Frames that are worked on at once: all arrays together stay in a core's own cache."""

DITHER = 1 << 19
"""Samples of dither that are made once and used again and again."""

_MAKING = threading.Lock()


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
        self._dither = None if seed is None else _Dither(seed)
        self._scaled = np.empty(2 * PIECE, np.float32)
        self._made: NDArray[np.uint8] = np.empty(0, np.uint8)

    def whole(self, piece: Samples) -> Samples:
        """At most `PIECE` frames, as one line of samples, in whole numbers, still as floats; good
        until the next call."""
        scaled = self._scaled[: len(piece)]
        np.multiply(piece, self._scale, out=scaled)
        if self._dither:
            self._dither.add_to(scaled)
            np.copyto(scaled, 0, where=piece == 0)
        np.rint(scaled, out=scaled)
        return np.clip(scaled, -self._scale, self._scale - 1, out=scaled)

    def int16(self, block: Samples) -> NDArray[np.int16]:
        """A block of (frames, 2) in 16 bits; good until the next call."""
        codes: NDArray[np.int16] = np.ndarray(block.size, "<i2", self._room(2 * block.size))
        self._fill(codes, block)
        return codes

    def packed24(self, block: Samples) -> NDArray[np.uint8]:
        """A block of (frames, 2) in 24 bits, three bytes a sample; good until the next call.

        Each sample is stored in four bytes, three after the one before, whose top byte it covers:
        four times as fast as the conversion of libsndfile.
        """
        made = self._room(3 * block.size + 1)
        self._fill(np.ndarray(block.size, "<i4", made, 0, (3,)), block)
        return made[: 3 * block.size]

    def int32(self, block: Samples) -> NDArray[np.int32]:
        """A block of (frames, 2) in 24 bits, at the top of 32; good until the next call."""
        codes: NDArray[np.int32] = np.ndarray(block.size, "<i4", self._room(4 * block.size))
        self._fill(codes, block)
        codes <<= 8
        return codes

    def _room(self, count: int) -> NDArray[np.uint8]:
        """Memory for so many bytes, the same again as long as it is enough."""
        if len(self._made) < count:
            self._made = np.empty(count, np.uint8)
        return self._made

    def _fill(self, codes: NDArray[Any], block: Samples) -> None:
        """Fill `codes` with those of a block."""
        flat = np.ascontiguousarray(block, np.float32).reshape(-1)
        for at in range(0, len(flat), 2 * PIECE):
            whole = self.whole(flat[at : at + 2 * PIECE])
            np.copyto(codes[at : at + 2 * PIECE], whole, casting="unsafe")


class _Dither:
    """Triangular dither, -1 to 1 code, for one sample after another.

    It is made of stretches of one table, each `2 * PIECE` samples long, from a place and with a
    sign by chance: as white as the table, and nothing in it comes back at a distance that could be
    heard. The same seed makes the same dither.
    """

    def __init__(self, seed: int) -> None:
        self._chance = random.Random(seed)
        self._table = _table()
        self._stretch, self._used = self._table[:0], 0
        self._combine: np.ufunc = np.add

    def add_to(self, codes: Samples) -> None:
        """Add the dither of the next samples."""
        done = 0
        while done < len(codes):
            if self._used == len(self._stretch):
                start = self._chance.randrange(DITHER - 2 * PIECE)
                self._stretch, self._used = self._table[start : start + 2 * PIECE], 0
                self._combine = np.add if self._chance.random() < 0.5 else np.subtract
            count = min(len(codes) - done, len(self._stretch) - self._used)
            some = codes[done : done + count]
            self._combine(some, self._stretch[self._used :][:count], out=some)
            done, self._used = done + count, self._used + count


def _table() -> Samples:
    """`DITHER` samples of triangular dither, the same ones always."""
    with _MAKING:  # threads that begin together make it once
        return _made_table()


@cache
def _made_table() -> Samples:
    draws = np.frombuffer(random.Random(0).randbytes(4 * DITHER), np.uint16)
    first, second = draws.reshape(2, -1).astype(np.float32)
    first -= second
    first *= np.float32(2**-16)
    return first
