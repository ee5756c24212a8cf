"""Chord shapes on the guitar that one hand can hold.

Tuning, the span of a hand and the barre: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise, product

OPEN_STRINGS = (64, 59, 55, 50, 45, 40)  # MIDI notes, the highest string first: E4 to E2
LAST_FRET = 14
SPAN, HIGH_SPAN = 4, 5  # frets under a hand, and above the seventh fret
SEVENTH_FRET = 7
FINGERS = 4
MOST_DAMPED = 1  # strings between those that sound


@dataclass(frozen=True, slots=True)
class GuitarShape:
    """Fretted notes, one a string, the lowest first.

    strings: counted from the highest, 1 to 6, as players do. frets: of each string named.
    """

    strings: tuple[int, ...]
    frets: tuple[int, ...]

    @property
    def pitches(self) -> tuple[int, ...]:
        """MIDI notes, the lowest first."""
        return tuple(
            OPEN_STRINGS[string - 1] + fret
            for string, fret in zip(self.strings, self.frets, strict=True)
        )


def shapes(tones: frozenset[int], voices: int, low: int, high: int) -> tuple[GuitarShape, ...]:
    """All movable shapes, without open strings, that sound every one of some tones.

    tones: pitch classes. voices: how many strings sound, neighbours but for one that may be
    damped between. low, high: MIDI notes that no voice leaves.
    """
    frets_of = {
        string: [fret for fret in range(LAST_FRET, 0, -1)
                 if (lowest + fret) % 12 in tones and low <= lowest + fret <= high]
        for string, lowest in enumerate(OPEN_STRINGS, 1)
    }  # fmt: skip
    found = []
    for strings in _string_sets(voices):
        for position in range(1, LAST_FRET + 1):
            reach = range(position, position + _span(position))
            choices = [[fret for fret in frets_of[string] if fret in reach] for string in strings]
            for frets in product(*choices):
                shape = GuitarShape(strings, frets)
                pitches = shape.pitches
                rising = all(a < b for a, b in pairwise(pitches))
                whole = len({pitch % 12 for pitch in pitches}) == len(tones)
                if min(frets) == position and rising and whole and can_be_held(shape):
                    found.append(shape)
    return tuple(found)


@lru_cache(maxsize=4096)
def places(pitches: tuple[int, ...]) -> tuple[GuitarShape, ...]:
    """Every way to hold just these pitches, from the lowest up, on as many strings."""
    found = []
    for strings in combinations(range(len(OPEN_STRINGS), 0, -1), len(pitches)):
        if strings[0] - strings[-1] >= len(pitches) + MOST_DAMPED:
            continue
        frets = tuple(p - OPEN_STRINGS[s - 1] for p, s in zip(pitches, strings, strict=True))
        shape = GuitarShape(strings, frets)
        if all(0 <= fret <= LAST_FRET for fret in frets) and can_be_held(shape):
            found.append(shape)
    return tuple(found)


def can_be_held(shape: GuitarShape) -> bool:
    """True if one hand can hold a shape: within its span, with no more than four fingers."""
    stopped = [fret for fret in shape.frets if fret]
    if not stopped:
        return True
    lowest = min(stopped)
    return max(stopped) - lowest < _span(lowest) and fingers(shape) <= FINGERS


def _span(position: int) -> int:
    """Frets under a hand whose first finger plays at a position."""
    return HIGH_SPAN if position > SEVENTH_FRET else SPAN


def fingers(shape: GuitarShape) -> int:
    """Fingers that hold a shape; a barre over the lowest fret counts as one.

    No barre lies over a string that sounds open.
    """
    stopped = [fret for fret in shape.frets if fret]
    if len(stopped) <= FINGERS:
        return len(stopped)
    lowest = min(stopped)
    under = [s for s, f in zip(shape.strings, shape.frets, strict=True) if f == lowest]
    is_open = [s for s, f in zip(shape.strings, shape.frets, strict=True) if not f]
    if any(under[-1] < string < under[0] for string in is_open):
        return len(stopped)
    return 1 + sum(fret > lowest for fret in stopped)


@lru_cache(maxsize=8)
def _string_sets(voices: int) -> tuple[tuple[int, ...], ...]:
    every = combinations(range(len(OPEN_STRINGS), 0, -1), voices)
    return tuple(chosen for chosen in every if chosen[0] - chosen[-1] < voices + MOST_DAMPED)
