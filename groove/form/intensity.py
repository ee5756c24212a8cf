"""The intensity, how busy the band plays, bar by bar: ``1:12 2:12 2-3:12``.

Each word is a level from 1 (behind a quiet soloist) to 3 (flat out), or a rise or fall from one
level to another, and after a colon how many bars it lasts; one chorus if left out. The last
word holds to the end.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from groove.errors import quoted

LOWEST, HIGHEST = 1.0, 3.0
_WORD = re.compile(r"(\d(?:\.\d{1,3})?)(?:-(\d(?:\.\d{1,3})?))?(?::(\d{1,4}))?")
ALLOWED = 'write levels from 1 to 3, as in "1 2 3" chorus by chorus or "1:8 2-3:16" in bars'


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch that begins at one level and ends at another; bars is None for a chorus."""

    first: float
    last: float
    bars: int | None


def parse_intensity(text: str) -> tuple[Stretch, ...]:
    """Read the notation; raises ValueError, saying which word and what is allowed."""
    stretches = []
    for word in text.split():
        match = _WORD.fullmatch(word)
        first = float(match[1]) if match else 0.0
        last = float(match[2]) if match and match[2] else first
        if not match or not all(LOWEST <= level <= HIGHEST for level in (first, last)):
            raise ValueError(f"{quoted(word)} is no level; {ALLOWED}")
        if match[3] and int(match[3]) == 0:
            raise ValueError(f"{quoted(word)} lasts no bars; {ALLOWED}")
        stretches.append(Stretch(first, last, int(match[3]) if match[3] else None))
    if not stretches:
        raise ValueError(f"no level; {ALLOWED}")
    return tuple(stretches)


def levels(stretches: tuple[Stretch, ...], sizes: Sequence[int]) -> list[float]:
    """The level of each bar.

    sizes: bars of each chorus, or of each time round a line; a stretch without bars lasts one.

    >>> levels(parse_intensity("1 2-3"), [2, 2, 1])
    [1.0, 1.0, 2.0, 3.0, 3.0]
    """
    bars = sum(sizes)
    ends = list(accumulate(sizes))
    found: list[float] = []
    for stretch in stretches:
        if len(found) == bars:
            break
        if stretch.bars:
            size = stretch.bars
        else:
            chorus = bisect_right(ends, len(found))
            size = sizes[chorus]
        step = (stretch.last - stretch.first) / max(1, size - 1)
        found += [stretch.first + step * bar for bar in range(min(size, bars - len(found)))]
    return found + [stretches[-1].last] * (bars - len(found))


def slow_rise(sizes: Sequence[int]) -> list[float]:
    """The usual course, the level of each bar: a slow rise over the track, a little in each chorus.

    sizes: bars of each chorus, or of each time round a line.
    """
    if len(sizes) == 1:
        return [1.5 + bar / sizes[0] for bar in range(sizes[0])]
    return [
        1 + 2 * (chorus + 0.5 * bar / size) / (len(sizes) - 0.5)
        for chorus, size in enumerate(sizes)
        for bar in range(size)
    ]
