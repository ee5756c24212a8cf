"""Finds places on the neck for a line of notes, some struck together, some joined on a string.

Dynamic programming over the places of each note: the cheapest way through them under each hand.
The cost counts frets outside the hand, changes of string, jumps, open strings under a hand that
lies further up, and how far the hand lies from where it was asked for; a note that is joined to
the one before it lies on its string, and a bent string is stopped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from groove.instrument.fretboard import Place, Tuning

OUTSIDE, JUMPED, OPENED, FAR_OPEN = 4.0, 2.0, 1.0, 4.0  # a fret outside, jumped, between two notes
CHANGED, TURNED, AWAY = 0.5, 1.0, 0.4  # a string changed, other than it was, a fret from home
HIGHEST = 19  # the fret above which no line goes
HOME = 5  # where a hand lies that may lie anywhere
LAST_HAND = 15


@dataclass(frozen=True, slots=True)
class LineStroke:
    """Notes that start together: MIDI pitches, whether they are joined to the last, and bent.

    strings: of a phrase that is moved, those on which it lay; they are kept where that is easy.
    """

    pitches: tuple[int, ...]
    joined: bool = False
    bent: bool = False
    strings: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class LinePlaces:
    """The places of each stroke, in the order of its pitches, and how uncomfortable they are."""

    cost: float
    places: tuple[tuple[Place, ...], ...]


def line_places(
    tuning: Tuning, strokes: Sequence[LineStroke], home: int | None = None
) -> LinePlaces | None:
    """The most comfortable places of some strokes; None where some note has none.

    home: the fret near which the first finger should lie, the fifth if left out.

    >>> from groove.instrument.fretboard import read_tuning
    >>> line = [LineStroke((60,)), LineStroke((62,), joined=True), LineStroke((64, 69))]
    >>> line_places(read_tuning("guitar"), line, 5).places[1:]
    ((Place(string=3, fret=7),), (Place(string=2, fret=5), Place(string=1, fret=5)))
    """
    held = [_held(tuning, stroke) for stroke in strokes]
    if not all(held):
        return None
    last = min(LAST_HAND, tuning.frets - tuning.reach + 1)
    ways = [_way(tuning, strokes, held, hand) for hand in range(1, last + 1)]
    near = HOME if home is None else home
    found = [
        LinePlaces(way[0] + AWAY * abs(hand - near), way[1])
        for hand, way in enumerate(ways, 1)
        if way
    ]
    return min(found, key=lambda way: way.cost, default=None)


_Path = tuple[float, tuple[tuple[Place, ...], ...]]


def _way(
    tuning: Tuning,
    strokes: Sequence[LineStroke],
    choices: Sequence[Sequence[tuple[Place, ...]]],
    hand: int,
) -> _Path | None:
    """The cheapest places under a hand with their cost."""
    ways: dict[tuple[Place, ...], _Path] = {}
    for number, (stroke, choice) in enumerate(zip(strokes, choices, strict=True)):
        coming: dict[tuple[Place, ...], _Path] = {}
        for held in choice:
            own = _reached(tuning, held, hand) + _turned(stroke, held)
            if not number:
                coming[held] = (own, (held,))
                continue
            from_ = [
                (cost + own + _step(before, held), path)
                for before, (cost, path) in ways.items()
                if not stroke.joined or before[0].string == held[0].string
            ]
            if from_:
                cost, path = min(from_)
                coming[held] = (cost, (*path, held))
        ways = coming
    return min(ways.values(), default=None)


def _held(tuning: Tuning, stroke: LineStroke) -> list[tuple[Place, ...]]:
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
    """The cost of reaching places from a hand, and of its span."""
    frets = [place.fret for place in held if place.fret]
    span = max(frets, default=0) - min(frets, default=0)
    last = hand + tuning.reach - 1
    outside = [max(hand - fret, fret - last, 0) for fret in frets]
    far = sum(FAR_OPEN for place in held if not place.fret and hand > tuning.reach)
    return OUTSIDE * max(outside, default=0) + OPENED * span + far


def _turned(stroke: LineStroke, held: tuple[Place, ...]) -> float:
    """The cost of strings other than those on which the stroke lay before it was moved."""
    pairs = zip(stroke.strings, (place.string for place in held), strict=False)
    return sum(TURNED for before, after in pairs if before != after)


def _step(before: tuple[Place, ...], held: tuple[Place, ...]) -> float:
    """The cost of going from one stroke to the next."""
    a, b = before[0], held[0]
    jumped = max(0, abs(a.fret - b.fret) - 3) if a.fret and b.fret else 0
    return CHANGED * abs(a.string - b.string) + JUMPED * jumped
