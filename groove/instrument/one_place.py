"""One place for a pitch: a position without the notes that its hand has nearer.

A hand that stretches for one note takes in whole frets, and with them places of notes that lie
under its fingers too: on a guitar the fifth fret from its first finger on string 3 is the note
under that finger on string 2. A player stays in place (common practice).
"""

from __future__ import annotations

from dataclasses import replace

from groove.instrument.fretboard import Tuning
from groove.instrument.positions import Dot, Position


def in_one_place(tuning: Tuning, position: Position) -> Position:
    """The position without stretches for what is also under the fingers or on an open string, and
    without stopped notes that an open string sounds.

    Two strings under the fingers that sound the same pitch are both kept, as where strings don't
    rise.
    """
    under = range(position.fret, position.fret + tuning.reach)
    ranks: dict[int, int] = {}

    def rank(dot: Dot) -> int:
        return 0 if dot.fret == 0 else 1 if dot.fret in under else 2

    for dot in position.dots:
        ranks[dot.pitch] = min(rank(dot), ranks.get(dot.pitch, 2))
    return replace(position, dots=tuple(d for d in position.dots if rank(d) == ranks[d.pitch]))
