"""One pair of strings: thirds or sixths of a row of chords, moved along it from one to the next.

Of all pairs of strings and of all ways along them the one is taken that moves least: at a change
to the nearest stop with the third or the seventh of the new chord, and while a chord goes on to a
neighbouring stop of it, up or down. It begins in the home position and rather goes up the neck
than behind it. Thirds lie on neighbouring strings, sixths on two with one between (common
practice); low down, on a bass, tenths take the place of sixths.

>>> from groove.instrument.fretboard import read_tuning
>>> from groove.theory.chords import parse_chord
>>> chords = [parse_chord(chord) for chord in ("A7", "A7", "D7", "E7")]
>>> along = moved_along(read_tuning("guitar"), chords, "sixth", 5)
>>> along.strings, [(stop.lower.fret, stop.upper.fret) for stop in along.stops]
((3, 1), [(6, 5), (9, 9), (11, 10), (13, 12)])
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from groove.instrument.double_stops import (
    CLEAR,
    INTERVALS,
    LAST_FRET,
    LOW_INTERVALS,
    WIDEST,
)
from groove.instrument.fretboard import Place, Tuning
from groove.instrument.grips.shapes import is_low
from groove.instrument.material import arpeggio
from groove.instrument.positions import Dot, dot_at
from groove.theory.chords import Chord

APART = {"third": (1, 2), "sixth": (2, 1), "tenth": (3, 2)}  # strings; the usual distance first
UNUSUAL, LOWER = 3.0, 1.2  # costs: of another distance; of each string below string 1
FROM_HOME, BEHIND, AT_NUT = 1.5, 0.8, 4.0  # of a fret at first; of one behind home; of open strings
PLAIN, UNCHANGED, LEAP = 2.0, 6.0, 1.0  # no third or seventh; the same again; a fret over EASY
EASY = 5  # frets that a hand slides at ease
LACKING = 12.0  # of a chord without a stop


@dataclass(frozen=True, slots=True)
class PairStop:
    """Two tones of a chord at once, the lower first."""

    lower: Dot
    upper: Dot

    @property
    def fret(self) -> int:
        """The lower of its frets."""
        return min(self.lower.fret, self.upper.fret)


@dataclass(frozen=True, slots=True)
class Along:
    """A double stop moved along two strings.

    interval: ``"third"``, ``"sixth"`` or ``"tenth"``. strings: that of the lower note first.
    stops: one for each chord, None where the pair has none.
    """

    interval: str
    strings: tuple[int, int]
    stops: tuple[PairStop | None, ...]


def intervals(tuning: Tuning) -> tuple[str, str]:
    """The two kinds of double stop that go along a neck: wide and close."""
    return ("tenth" if is_low(tuning) else "sixth"), "third"


def moved_along(tuning: Tuning, chords: Sequence[Chord], interval: str, home: int) -> Along | None:
    """The double stops of some chords in a row on one pair of strings; None where there are none.

    home: the fret of the hand in the home position, 0 at the nut.
    """
    found = []
    for pair, cost in _pairs(tuning, interval):
        spent, stops = _path(tuning, tuple(chords), pair, interval, home)
        if any(stops):
            found.append((cost * len(chords) ** 0.5 + spent, pair, stops))
    if not found:
        return None
    _, pair, stops = min(found, key=lambda each: each[:2])
    return Along(interval, pair, tuple(stops))


def _pairs(tuning: Tuning, interval: str) -> Iterator[tuple[tuple[int, int], float]]:
    """The pairs of strings for an interval, that of the lower note first, and their cost."""
    usual, other = APART[interval]
    for low in tuning.strings:
        for high in tuning.strings:
            apart = abs(low - high)
            if apart in (usual, other) and tuning.open(low) < tuning.open(high) + WIDEST:
                cost = UNUSUAL * (apart != usual) + LOWER * (min(low, high) - 1)
                yield (low, high), cost


@lru_cache(maxsize=4096)
def _stops(
    tuning: Tuning, chord: Chord, pair: tuple[int, int], interval: str
) -> tuple[PairStop, ...]:
    """The stops of a chord on two strings, from the nut up."""
    material, found = arpeggio(chord), []
    low, high = pair
    last = min(LAST_FRET, tuning.frets)
    for fret in range(last + 1):
        bottom = tuning.pitch(Place(low, fret))
        known = INTERVALS if bottom >= CLEAR else LOW_INTERVALS
        if interval == "tenth":
            known = LOW_INTERVALS
        for semitones, name in known.items():
            upper = bottom + semitones - tuning.open(high)
            near = 0 <= upper <= last and abs(upper - fret) <= WIDEST * tuning.frets_a_finger
            own = material.tone(bottom) and material.tone(bottom + semitones)
            if name == interval and near and own:
                hand = max(min(fret, upper), 1)
                lower, higher = (
                    dot_at(tuning, material, place, hand)
                    for place in (Place(low, fret), Place(high, upper))
                )
                found.append(PairStop(lower, higher))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Way:
    """A way along a pair of strings so far: what it costs, its last chord's stop, the last stop
    that there was, and the way before."""

    spent: float
    stop: PairStop | None
    last: PairStop | None
    before: _Way | None


def _path(
    tuning: Tuning, chords: tuple[Chord, ...], pair: tuple[int, int], interval: str, home: int
) -> tuple[float, list[PairStop | None]]:
    """The cheapest way along a pair of strings, and what it costs."""
    ways = [_Way(0.0, None, None, None)]
    for place, chord in enumerate(chords):
        new = place == 0 or chords[place - 1] != chord
        stops: tuple[PairStop | None, ...] = _stops(tuning, chord, pair, interval) or (None,)
        ways = [_nearest(ways, stop, home, new=new) for stop in stops]
    best: _Way | None = min(ways, key=lambda way: way.spent)
    spent, found = best.spent if best else 0.0, []
    while best and best.before:
        found.append(best.stop)
        best = best.before
    return spent, found[::-1]


def _nearest(ways: Sequence[_Way], stop: PairStop | None, home: int, *, new: bool) -> _Way:
    """The cheapest of some ways that goes on to a stop."""
    if stop is None:
        way = min(ways, key=lambda way: way.spent)
        return _Way(way.spent + LACKING, None, way.last, way)
    own = BEHIND * max(home - 1 - stop.fret, 0) + AT_NUT * (stop.fret == 0 and home > 1)
    told = {"third", "seventh"} & {stop.lower.role, stop.upper.role}
    own += PLAIN * (new and not told)
    spent, number = min(
        (way.spent + _moved(way.last, stop, home, new=new), number)
        for number, way in enumerate(ways)
    )
    return _Way(spent + own, stop, stop, ways[number])


def _moved(last: PairStop | None, stop: PairStop, home: int, *, new: bool) -> float:
    """The cost of a move from the last stop, or of a place to begin."""
    if last is None:
        return FROM_HOME * abs(stop.fret - home)
    far = abs(stop.lower.fret - last.lower.fret) + abs(stop.upper.fret - last.upper.fret)
    return far / 2 + LEAP * max(far / 2 - EASY, 0) + UNCHANGED * (far == 0 and not new)
