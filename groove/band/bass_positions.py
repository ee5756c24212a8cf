"""Where a bassist plays a line: string and fret, the hand staying where it can.

Four strings in fourths, E1 A1 D2 G2 (common practice); four frets lie under the hand.
"""

from __future__ import annotations

from functools import cache

OPEN_STRINGS = (43, 38, 33, 28)  # the highest first, as players count
FRETS = 24
SPAN = 4  # frets under the hand
SHIFT, CROSS, HEIGHT = 1.0, 0.3, 0.15  # what moving a fret, a string, and playing high cost


def positions(pitches: list[int]) -> list[tuple[int, int]]:
    """String, from 1 (the highest) to 4, and fret for each of some pitches, E1 to G4.

    >>> positions([33, 36, 40, 43])
    [(3, 0), (3, 3), (2, 2), (1, 0)]
    """
    places = []
    string, hand = len(OPEN_STRINGS), 1
    for pitch in pitches:
        string, fret, hand = _nearest(pitch, string, hand)
        places.append((string, fret))
    return places


@cache
def _nearest(pitch: int, string: int, hand: int) -> tuple[int, int, int]:
    """The cheapest string and fret, and where the first finger is then.

    string: the last one played. hand: the fret of the first finger.
    """
    found = []
    for number, lowest in enumerate(OPEN_STRINGS, 1):
        fret = pitch - lowest
        if not 0 <= fret <= FRETS:
            continue
        moved = hand
        if fret:
            moved = min(max(hand, fret - SPAN + 1), fret)
        cost = SHIFT * abs(moved - hand) + CROSS * abs(number - string) + HEIGHT * fret
        found.append((cost, number, fret, max(1, moved)))
    return min(found)[1:]
