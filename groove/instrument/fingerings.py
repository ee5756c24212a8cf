"""Finds every fingering of a phrase, the most comfortable first.

A place to play it is a string and a fret for each note, all stopped frets within one stretch of
the hand. An open string needs no finger: it counts in no stretch.
The phrase is looked for at its pitch and whole octaves up and down.

The cost ranks places by comfort: 2 for each fret that the hand opens beyond the first, 1 for
each change of string and 2 more for each string passed over, 4 for each time that a hand of four
fingers must shift, which within a stretch of five frets it does between the outermost two, and 2
for each open string under a hand that lies further up the neck than it can reach back from.
Equal costs are in the order of octaves (none, one up, one down, ...) and then up the neck.

There can be very many places. Counting them and finding the cheapest first is done note by note
(dynamic programming, then best-first search with the exact cost that remains), so no more of
them are made than are asked for.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from itertools import count as count_up
from itertools import pairwise
from math import inf

from groove.errors import GrooveError
from groove.instrument.fretboard import OCTAVE, Place, Tuning

OPENED, CHANGED, PASSED, SHIFTED, FAR_OPEN = 2, 1, 2, 4, 2
MOST_OCTAVES = 10
WIDEST = 12  # frets in a stretch


@dataclass(frozen=True, slots=True)
class Placement:
    """One way to play a phrase.

    places: one a note. octaves: up or down from the phrase as written. span: frets from the
    lowest stopped to the highest, both counted, 0 where all is open. crossings: changes of
    string. passed: strings passed over in them. shifts: of the hand. cost: see the module.
    """

    places: tuple[Place, ...]
    octaves: int
    span: int
    crossings: int
    passed: int
    shifts: int
    cost: int

    @property
    def fret(self) -> int:
        """The lowest stopped fret, 0 where all is open."""
        return min((place.fret for place in self.places if place.fret), default=0)


def placements(
    tuning: Tuning, pitches: Sequence[int], stretch: int | None = None
) -> Iterator[Placement]:
    """Every way to play some MIDI notes in order, the most comfortable first.

    stretch: frets that the hand covers; where left out, one more than lie under its fingers:
    five, or eight on short necks. Raises GrooveError for one that no hand has.

    >>> from groove.instrument.fretboard import read_tuning
    >>> best = next(placements(read_tuning("guitar"), [57, 60, 62, 64], 4))
    >>> [(p.string, p.fret) for p in best.places], best.cost
    ([(5, 0), (5, 3), (4, 0), (4, 2)], 3)
    """
    searches = _searches(tuning, pitches, stretch)
    return _cheapest_first([search.begun() for search in searches if search.count()])


def as_given(tuning: Tuning, places: Sequence[Place]) -> Placement:
    """The placement of a phrase at given places, however far they take the hand.

    >>> from groove.instrument.fretboard import read_tuning
    >>> given = as_given(read_tuning("guitar"), [Place(3, 5), Place(3, 7), Place(2, 5)])
    >>> given.span, given.cost
    (3, 5)
    """
    return measured(tuning.reach, tuple(places))


def measured(reach: int, places: tuple[Place, ...], octaves: int = 0) -> Placement:
    """A placement and what it costs. reach: frets under a hand that does not stretch."""
    stopped = [place.fret for place in places if place.fret]
    between = [abs(b.string - a.string) for a, b in pairwise(places) if a.string != b.string]
    shifts, low, high = 0, 0, 0
    for fret in stopped:
        low, high = min(low or fret, fret), max(high, fret)
        if high - low >= reach:
            shifts, low, high = shifts + 1, fret, fret
    lowest, highest = min(stopped, default=0), max(stopped, default=0)
    passed = sum(between) - len(between)
    cost = CHANGED * len(between) + PASSED * passed + SHIFTED * shifts
    cost += OPENED * (highest - lowest)
    cost += FAR_OPEN * (lowest > reach) * (len(places) - len(stopped))
    span = highest - lowest + 1 if stopped else 0
    return Placement(places, octaves, span, len(between), passed, shifts, cost)


def count(
    tuning: Tuning,
    pitches: Sequence[int],
    stretch: int | None = None,
    frets: Collection[int] | None = None,
) -> int:
    """The number of ways that ``placements`` would find; frets: those allowed, all if left out."""
    return sum(search.count() for search in _searches(tuning, pitches, stretch, frets))


def best_starts(
    tuning: Tuning,
    pitches: Sequence[int],
    stretch: int | None = None,
    frets: Collection[int] | None = None,
) -> tuple[Placement, ...]:
    """The most comfortable way from each place where the phrase can begin.

    This is what a player calls the places on the neck where a phrase is found: where it begins,
    the rest as it falls under the hand. frets: those allowed, all if left out; 0 for open strings.
    """
    begun: dict[Place, list[_Begun]] = {}
    for search in _searches(tuning, pitches, stretch, frets):
        for start in search.begun().next():
            begun.setdefault(start.places[0], []).append(start)
    best = [next(_cheapest_first(starts)) for starts in begun.values()]
    return tuple(sorted(best, key=lambda p: (p.cost, _octave_rank(p.octaves), p.fret)))


def best_hands(
    tuning: Tuning, pitches: Sequence[int], frets: Collection[int] | None = None
) -> tuple[Placement, ...]:
    """The most comfortable way for each octave and each lowest stopped fret.

    frets: those allowed, all if left out; 0 for open strings.
    """
    searches = _searches(tuning, pitches, None, frets)
    return tuple(next(_cheapest_first([s.begun()])) for s in searches if s.count())


@dataclass(frozen=True, slots=True)
class _State:
    """The state on which the rest of a placement depends.

    string: the last played, 0 before the first. touched: whether the lowest fret has been.
    top: the highest fret so far. low, high: of the frets since the hand last shifted, 0 before.
    """

    string: int
    touched: bool
    top: int
    low: int = 0
    high: int = 0


class _Search:
    """The phrase at one octave with one lowest stopped fret; 0 where every string is open."""

    def __init__(
        self, reach: int, choices: Sequence[Sequence[Place]], octaves: int, lowest: int, frets: int
    ) -> None:
        self.reach, self.octaves, self.lowest = reach, octaves, lowest
        stopped = range(lowest, lowest + frets) if lowest else range(0)
        self.notes = [[p for p in note if p.fret == 0 or p.fret in stopped] for note in choices]
        self.rank = (*_octave_rank(octaves), lowest)
        self.start = _State(0, lowest == 0, lowest)
        self._known: dict[tuple[int, _State], tuple[int, float]] = {}

    def begun(self) -> _Begun:
        return _Begun(self, self.rest(0, self.start)[1], self.start)

    def count(self) -> int:
        """The number of placements."""
        return self.rest(0, self.start)[0]

    def rest(self, note: int, state: _State) -> tuple[int, float]:
        """In how many ways the notes from one on can be played, and the least that costs."""
        if note == len(self.notes):
            return (1, 0) if state.touched else (0, inf)
        known = self._known.get((note, state))
        if known is None:
            ways, least = 0, inf
            for place in self.notes[note]:
                cost, after = self.step(state, place)
                more, rest = self.rest(note + 1, after)
                ways, least = ways + more, min(least, cost + rest)
            known = self._known[note, state] = (ways, least)
        return known

    def step(self, state: _State, place: Place) -> tuple[int, _State]:
        """The cost of playing a place next, and the state after it."""
        cost = 0
        if state.string and place.string != state.string:
            passed = abs(place.string - state.string) - 1
            cost += CHANGED + PASSED * passed
        if place.fret == 0:
            cost += FAR_OPEN * (self.lowest > self.reach)
            return cost, _State(place.string, state.touched, state.top, state.low, state.high)
        top = max(state.top, place.fret)
        cost += OPENED * (top - state.top)
        low = min(state.low or place.fret, place.fret)
        high = max(state.high, place.fret)
        if high - low >= self.reach:
            cost += SHIFTED
            low = high = place.fret
        touched = state.touched or place.fret == self.lowest
        return cost, _State(place.string, touched, top, low, high)


@dataclass(frozen=True, slots=True)
class _Begun:
    """A placement begun. total: the least that it costs when it is whole."""

    search: _Search
    total: float
    state: _State
    places: tuple[Place, ...] = ()

    @property
    def order(self) -> tuple[float, tuple[int, bool, int], int]:
        """The cheapest first; among equals the one that is furthest."""
        return self.total, self.search.rank, -len(self.places)

    def next(self) -> Iterator[_Begun]:
        """With one more note, each way that leads to the end."""
        search, note = self.search, len(self.places)
        spent = self.total - search.rest(note, self.state)[1]
        for place in search.notes[note]:
            cost, after = search.step(self.state, place)
            ways, rest = search.rest(note + 1, after)
            if ways:
                yield _Begun(search, spent + cost + rest, after, (*self.places, place))


def _cheapest_first(begun: Sequence[_Begun]) -> Iterator[Placement]:
    """Whole placements out of begun ones: each step takes the one that will cost least."""
    order = count_up()
    queue = [(start.order, next(order), start) for start in begun]
    heapify(queue)
    while queue:
        _, _, best = heappop(queue)
        if len(best.places) == len(best.search.notes):
            yield measured(best.search.reach, best.places, best.search.octaves)
            continue
        for longer in best.next():
            heappush(queue, (longer.order, next(order), longer))


def _searches(
    tuning: Tuning,
    pitches: Sequence[int],
    stretch: int | None,
    frets: Collection[int] | None = None,
) -> list[_Search]:
    """One search for each octave that is on the neck and each lowest stopped fret in it."""
    wide = stretch if stretch is not None else tuning.reach + 1
    if not 1 <= wide <= WIDEST:
        raise GrooveError(f"a stretch of {wide} frets; 1 to {WIDEST} are allowed")
    found = []
    for octaves in range(-MOST_OCTAVES, MOST_OCTAVES + 1):
        choices = [
            [p for p in tuning.places(pitch + OCTAVE * octaves) if frets is None or p.fret in frets]
            for pitch in pitches
        ]
        if all(choices):
            lowest = {0} | {place.fret for note in choices for place in note}
            found += [_Search(tuning.reach, choices, octaves, fret, wide) for fret in lowest]
    return found


def _octave_rank(octaves: int) -> tuple[int, bool]:
    return abs(octaves), octaves < 0
