"""The highest true peak of an encoded file once it is decoded.

Lossy encoders raise peaks; the amount is known only after the file is decoded.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from groove.sound.mix.gain_curve import SLICE
from groove.sound.mix.peaks import REACH, Peaks, slice_peaks, true_peaks

if TYPE_CHECKING:
    from pathlib import Path

    from groove.sound.samples import Samples

BLOCK = 1024 * SLICE
"""Frames."""
CONTEXT = -(-REACH // SLICE) * SLICE
"""Frames of the blocks before and after that the interpolation between samples needs."""


class InMemory:
    """Sound in memory, silent outside."""

    def __init__(self, sound: Samples) -> None:
        self._sound = sound

    def read(self, first: int, samples: Samples) -> None:
        samples[:] = 0
        begin, end = max(0, first), min(len(self._sound), first + len(samples))
        samples[begin - first : end - first] = self._sound[begin:end]


def decoded_peak(path: Path, level: float) -> float:
    """The highest true peak of an audio file in dB to full scale, decoded block by block.

    level: exact from this peak on (full scale 1); below it the samples themselves may count.
    """
    import soundfile

    highest = 0.0
    # The library takes no path that is not UTF-8, but any descriptor.
    with path.open("rb") as opened, soundfile.SoundFile(opened.fileno(), closefd=False) as file:
        blocks = file.blocks(BLOCK, 2 * CONTEXT, dtype="float32", always_2d=True)
        for sound in blocks:
            peaks = Peaks.of_samples(slice_peaks(sound))
            highest = max(highest, float(true_peaks(InMemory(sound), peaks, level).max()))
    return 20 * math.log10(highest) if highest else -math.inf
