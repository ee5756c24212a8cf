"""The band set apart: each player wholly on one side, so that the balance knob turns it off.

Printed practice books with recordings have long done so (common practice).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from groove.sound.mix.recording import Parts
    from groove.sound.samples import Samples

LEFT, RIGHT = 0, 1
SIDES = {"drums": LEFT, "bass": LEFT, "comping": RIGHT}
"""The click stays where it is, on both sides: whoever turns one off still needs the count-in."""


def set_apart(
    playing: Iterable[tuple[Samples | None, ...]], parts: Parts
) -> Iterator[tuple[Samples | None, ...]]:
    """Blocks of each of `parts`, with every player moved to its side."""
    for blocks in playing:
        for part, block in zip(parts, blocks, strict=True):
            if block is not None and part in SIDES:
                _move(block, SIDES[part])
        yield blocks


def _move(block: Samples, side: int) -> None:
    """Put both channels into one; what stood in the middle keeps its energy."""
    mono = (block[:, LEFT] + block[:, RIGHT]) * math.sqrt(0.5)
    block[:, side] = mono
    block[:, 1 - side] = 0
