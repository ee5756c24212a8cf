"""Strings and frets for a bass line, with as few shifts of position as can be.

Four strings in fourths, E1 A1 D2 G2; a position has four frets (common practice).
"""

from __future__ import annotations

from functools import cache

OPEN_STRINGS = (43, 38, 33, 28)  # the highest first, as players count
FRETS = 24
SPAN = 4  # frets in a position
SHIFT, CROSS, HEIGHT = 1.0, 0.3, 0.15  # costs: a fret of shift, a string crossed, a fret up


def positions(pitches: list[int]) -> list[tuple[int, int]]:
    """String, from 1 (the highest) to 4, and fret for each of some pitches, E1 to G4.

    >>> positions([33, 36, 40, 43])
    [(3, 0), (3, 3), (2, 2), (1, 0)]
    """
    places = []
    string, position = len(OPEN_STRINGS), 1
    for pitch in pitches:
        string, fret, position = _nearest(pitch, string, position)
        places.append((string, fret))
    return places


@cache
def _nearest(pitch: int, string: int, position: int) -> tuple[int, int, int]:
    """The cheapest string and fret, and the position then.

    string: the last one played. position: the fret of the first finger.
    """
    found = []
    for number, lowest in enumerate(OPEN_STRINGS, 1):
        fret = pitch - lowest
        if not 0 <= fret <= FRETS:
            continue
        moved = position
        if fret:
            moved = min(max(position, fret - SPAN + 1), fret)
        cost = SHIFT * abs(moved - position) + CROSS * abs(number - string) + HEIGHT * fret
        found.append((cost, number, fret, max(1, moved)))
    return min(found)[1:]
