"""The phrases of a line, and whether one has the rhythm and the contour of another."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby, pairwise
from operator import attrgetter

from groove.lesson.line import LineNote, NoteLine
from groove.rhythm.meter import TICKS_PER_QUARTER

REST = TICKS_PER_QUARTER  # ticks of silence that end a phrase
ALIKE = Fraction(2, 3)  # of the intervals of a phrase go the same way
FEWEST = 3  # notes of a motif


def melody(line: NoteLine) -> list[LineNote]:
    """The melody of a line: of each double stop the upper note."""
    return [list(group)[-1] for _, group in groupby(line.notes, key=attrgetter("start"))]


def phrases(line: NoteLine) -> list[list[LineNote]]:
    """The melody cut where it is silent for a quarter note or more."""
    found: list[list[LineNote]] = []
    for note in melody(line):
        if found and note.start - found[-1][-1].end < REST:
            found[-1].append(note)
        else:
            found.append([note])
    return found


def alike(a: Sequence[LineNote], b: Sequence[LineNote]) -> bool:
    """True if two phrases have a rhythm in common, and rise and fall alike.

    A phrase may begin later in the bar than the other, or lack its first notes.
    """
    count = min(len(a), len(b))
    if count < FEWEST or abs(len(a) - len(b)) > 2:
        return False
    a, b = a[-count:], b[-count:]
    if [x.start - a[0].start for x in a] != [x.start - b[0].start for x in b]:
        return False
    same = sum(x == y for x, y in zip(_ways(a), _ways(b), strict=True))
    return Fraction(same, count - 1) >= ALIKE


def _ways(notes: Sequence[LineNote]) -> list[int]:
    return [(b.sounding > a.sounding) - (b.sounding < a.sounding) for a, b in pairwise(notes)]
