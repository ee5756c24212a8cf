"""What is found out about a track while it is played: how loud it is, and who takes which room."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from groove.sound.limiter import slice_peaks
from groove.sound.loudness import Meter
from groove.sound.midrange import Midrange

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from groove.sound.limiter import Levels
    from groove.sound.loudness import Energies
    from groove.sound.recording import Parts
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

    level: of all. midrange: how much of it the comping takes.
    """

    def __init__(self, parts: Parts, tell: Callable[[int], None]) -> None:
        self.level = Level()
        self._part_peaks: dict[str, list[Levels]] = {part: [] for part in parts}
        self.midrange = Midrange()
        self._frames = 0
        self._tell = tell

    def hear(self, whole: Samples, blocks: tuple[Samples | None, ...]) -> None:
        """Take in a block of the whole band and of each part."""
        self.level.hear(whole)
        for (part, peaks), block in zip(self._part_peaks.items(), blocks, strict=True):
            if block is not None:
                peaks.append(slice_peaks(block))
            if part == "comping":
                self.midrange.hear(whole, block)
        self._frames += len(whole)
        self._tell(self._frames)

    @property
    def part_peaks(self) -> dict[str, Levels]:
        """The peak of each of the limiter's slices of each part, as far as it plays."""
        return {part: np.concatenate(peaks) for part, peaks in self._part_peaks.items()}
