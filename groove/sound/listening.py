"""What is found out about a track while it is played: how loud it is, and who takes which room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groove.sound.midrange import Midrange

if TYPE_CHECKING:
    from collections.abc import Callable

    from groove.sound.recording import Parts
    from groove.sound.synth import Samples


class Listening:
    """Hears a track block by block.

    peaks: the highest sample of each part. frames: how many have been heard. midrange: how much
    of it the comping takes; only where it listens `closely`.
    """

    def __init__(self, parts: Parts, tell: Callable[[int], None], *, closely: bool) -> None:
        self.peaks = dict.fromkeys(parts, 0.0)
        self.frames = 0
        self.midrange = Midrange() if closely else None
        self._tell = tell

    def hear(self, whole: Samples, blocks: tuple[Samples | None, ...]) -> None:
        """Take in a block of the whole band and of each part."""
        for part, block in zip(self.peaks, blocks, strict=True):
            if block is not None:
                loudest = max(float(block.max()), -float(block.min()))
                self.peaks[part] = max(self.peaks[part], loudest)
            if self.midrange and part == "comping":
                self.midrange.hear(whole, block)
        self.frames += len(whole)
        self._tell(self.frames)
