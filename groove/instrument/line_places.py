"""Finds places on the neck for a line of notes, some struck together, some joined on a string.

Dynamic programming over the places of each note: the cheapest way through them. The cost counts
frets outside the hand, changes of string, and frets that the hand travels; a note that is joined
to the one before it lies on its string, and a bent string is stopped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from groove.instrument.fretboard import Place, Tuning

OUTSIDE, CHANGED, MOVED, OPEN, OPENED, TURNED = 4, 1, 1, 1, 2, 12
HIGHEST = 19  # the fret above which no line goes unless it was written there
HOME, FAR = 5, 0.1  # where a hand lies that may lie anywhere, and the cost of a fret from there


@dataclass(frozen=True, slots=True)
class Struck:
    """Notes that start together: MIDI pitches, whether they are joined to the last, and bent.

    strings: those of double notes before they were moved, on which they stay if they can.
    """

    pitches: tuple[int, ...]
    joined: bool = False
    bent: bool = False
    strings: tuple[int, ...] = ()


def line_places(
    tuning: Tuning, strokes: Sequence[Struck], hand: int | None = None
) -> tuple[tuple[Place, ...], ...] | None:
    """The places of each stroke, in the order of its pitches; None where some note has none.

    hand: the fret of the first finger, the best one if left out.

    >>> from groove.instrument.fretboard import read_tuning
    >>> line = [Struck((60,)), Struck((62,), joined=True), Struck((64, 69))]
    >>> line_places(read_tuning("guitar"), line, 5)[1:]
    ((Place(string=3, fret=7),), (Place(string=2, fret=5), Place(string=1, fret=5)))
    """
    hands = [hand] if hand is not None else range(1, 13)
    found = [way for each in hands if (way := _way(tuning, strokes, each))]
    return min(found, key=lambda way: way[0])[1] if found else None


def _way(
    tuning: Tuning, strokes: Sequence[Struck], hand: int
) -> tuple[float, tuple[tuple[Place, ...], ...]] | None:
    """The cheapest places under a hand with their cost."""
    ways: dict[tuple[Place, ...], tuple[float, tuple[tuple[Place, ...], ...]]] = {}
    for number, stroke in enumerate(strokes):
        coming: dict[tuple[Place, ...], tuple[float, tuple[tuple[Place, ...], ...]]] = {}
        for held in _held(tuning, stroke):
            own = _reached(tuning, held, hand) + _turned(stroke, held)
            if not number:
                coming[held] = (own + abs(hand - HOME) * FAR, (held,))
                continue
            from_ = [
                (cost + own + _step(before[0], held[0]), path)
                for before, (cost, path) in ways.items()
                if not stroke.joined or before[0].string == held[0].string
            ]
            if from_:
                cost, path = min(from_)
                coming[held] = (cost, (*path, held))
        ways = coming
    return min(ways.values(), default=None)


def _held(tuning: Tuning, stroke: Struck) -> list[tuple[Place, ...]]:
    """Every way to hold the notes of a stroke, each on a string of its own, within the hand."""
    found = []
    for held in product(*(tuning.places(pitch) for pitch in stroke.pitches)):
        frets = [place.fret for place in held if place.fret]
        apart = len({place.string for place in held}) == len(held)
        near = not frets or max(frets) - min(frets) < tuning.reach
        low = all(fret <= HIGHEST for fret in frets)
        if apart and near and low and (held[0].fret or not stroke.bent):
            found.append(held)
    return found


def _reached(tuning: Tuning, held: tuple[Place, ...], hand: int) -> float:
    """The cost of reaching places from a hand, which moves there at once, and of its span."""
    frets = [place.fret for place in held if place.fret]
    span = OPENED * (max(frets, default=0) - min(frets, default=0))
    return max(_outside(tuning, place, hand) for place in held) + span


def _turned(stroke: Struck, held: tuple[Place, ...]) -> float:
    """The cost of strings other than those of the double notes before they were moved."""
    pairs = zip(stroke.strings, (place.string for place in held), strict=False)
    return sum(TURNED for before, after in pairs if before != after)


def _outside(tuning: Tuning, place: Place, hand: int) -> float:
    if not place.fret:
        return OPEN + OUTSIDE * (hand > tuning.reach)
    return OUTSIDE * max(hand - place.fret, place.fret - (hand + tuning.reach - 1), 0)


def _step(before: Place, after: Place) -> float:
    frets = abs(before.fret - after.fret) if before.fret and after.fret else 0
    return CHANGED * abs(before.string - after.string) + MOVED * max(0, frets - 3)
