"""Hard panning: each player wholly on one side, so that the balance knob turns it off (common
practice of printed books with recordings).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from groove.band.part import BASS, CHORDAL, DRUMS, LINES, PERCUSSION

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from groove.sound.mix.recording import Parts
    from groove.sound.samples import Samples

LEFT, RIGHT = 0, 1
SIDES = dict.fromkeys((DRUMS, PERCUSSION, BASS), LEFT) | dict.fromkeys((*CHORDAL, *LINES), RIGHT)
"""The click stays on both sides, so that the count-in is heard with either of them turned off."""


def hard_panned(
    playing: Iterable[tuple[Samples | None, ...]], parts: Parts
) -> Iterator[tuple[Samples | None, ...]]:
    """The blocks of each of `parts`, with every player moved to its side."""
    for blocks in playing:
        for part, block in zip(parts, blocks, strict=True):
            if block is not None and part in SIDES:
                _move(block, SIDES[part])
        yield blocks


def _move(block: Samples, side: int) -> None:
    """Put both channels into one; sound from the middle keeps its energy."""
    mono = (block[:, LEFT] + block[:, RIGHT]) * math.sqrt(0.5)
    block[:, side] = mono
    block[:, 1 - side] = 0
