"""What is found out about a track while it is played: how loud it is, and who takes which room."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.limiter import slice_peaks, true_peaks
from groove.sound.loudness import Meter, integrated, loudness_range
from groove.sound.midrange import Midrange
from groove.sound.recording import blocks_of
from groove.sound.report import Heard

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from groove.sound.limiter import Levels, Source
    from groove.sound.loudness import Energies
    from groove.sound.recording import Parts
    from groove.sound.side_by_side import Step
    from groove.sound.synth import Samples


class Level:
    """How loud something is, heard block by block: for the loudness and for the limiter."""

    def __init__(self) -> None:
        self._meter = Meter()
        self._peaks: list[Levels] = []

    def hear(self, block: Samples) -> None:
        """Take in a block."""
        self._meter.hear(block)
        self._peaks.append(slice_peaks(block))

    @property
    def energies(self) -> Energies:
        """The K-weighted energy of each of the meter's steps."""
        return self._meter.energies

    @property
    def peaks(self) -> Levels:
        """The peak of each of the limiter's slices."""
        return np.concatenate(self._peaks)


def level_of(blocks: Iterable[Samples]) -> Level:
    """How loud some blocks are."""
    level = Level()
    for block in blocks:
        level.hear(block)
    return level


class Listening:
    """Hears a track while it is played, all of it and each part.

    level: of all. part_peaks: the highest sample of each block of each part. midrange: how much
    of it the
    comping takes; only where it listens `closely`.
    """

    def __init__(self, parts: Parts, tell: Callable[[int], None], *, closely: bool) -> None:
        self.level = Level()
        self.part_peaks: dict[str, list[float]] = {part: [] for part in parts}
        self.midrange = Midrange() if closely else None
        self._frames = 0
        self._tell = tell

    def hear(self, whole: Samples, blocks: tuple[Samples | None, ...]) -> None:
        """Take in a block of the whole band and of each part."""
        self.level.hear(whole)
        for (part, peaks), block in zip(self.part_peaks.items(), blocks, strict=True):
            if block is not None:
                peaks.append(max(float(block.max()), -float(block.min())))
            if self.midrange and part == "comping":
                self.midrange.hear(whole, block)
        self._frames += len(whole)
        self._tell(self._frames)


def hear(mix: Source, frames: int, step: Step) -> Heard:
    """Listen to a mix as it is written, once for its loudness and once for its peaks."""
    level = Level()
    for block in blocks_of(mix, frames):
        level.hear(block)
        step(len(block))
    peak = float(true_peaks(mix, level.peaks, float(level.peaks.max())).max())
    return Heard(
        integrated(level.energies),
        loudness_range(level.energies),
        20 * math.log10(max(peak, 1e-10)),
    )
