"""Finds the notes of a phrase: the cheapest melody over its chords for a rhythm and a contour.

Each note is chosen from the scale over its chord so that the whole phrase costs least (dynamic
programming): intervals as the contour has them, chord tones where chords change, no wide leaps, a
last note that is one of the goals. The costs are data, patterns/lesson/solo/rules.toml.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from random import Random

from groove.lesson.solo.ladders import Ladder
from groove.lesson.solo.rhythms import rules
from groove.theory.motion import OCTAVE

FIFTH, TRITONE = 7, 6  # semitones
IMPOSSIBLE = 1e6


@dataclass(frozen=True, slots=True)
class Sung:
    """A note to be found. ladder: over the chord that it belongs to.

    strong: whether it must be a chord tone. on_beat: whether it had better be. long: whether it
    lasts so long that it must not be one to pass over. fresh: whether its chord begins with it.
    held: over the chord into which it is held. colour: whether a tension is welcome. barred:
    whether a bar line is between the note before and it. aim: degrees that it is drawn to, with
    costs; missed: that of any other.
    """

    ladder: Ladder
    strong: bool
    on_beat: bool
    long: bool
    fresh: bool = False
    held: Ladder | None = None
    colour: bool = False
    barred: bool = False
    aim: Mapping[str, float] | None = None
    missed: float = 0.0


@dataclass(frozen=True, slots=True)
class Range:
    """The notes that may be used: those under the hand from floor to ceiling.

    middle: where the phrase lies. top: the note that its highest one is, if it is asked for.
    """

    pitches: Sequence[int]
    middle: float
    top: int | None = None


def sing(
    notes: Sequence[Sung],
    contour: Sequence[int],
    span: Range,
    rng: Random,
    *,
    before: int | None = None,
    guide: float = 0.0,
    like: Sequence[int] | None = None,
    firm: float = 1.0,
    other: int | None = None,
) -> list[int]:
    """The pitches of a phrase, sounding.

    contour: steps of each note above the last. before: the last note of the phrase before. guide:
    the cost of a new chord that is met on neither its third nor its seventh. like: pitches to
    keep to where they fit; other: the note of these that becomes another. firm: how much more than
    usual the contour counts.
    """
    costs = rules()["costs"]
    peak = _peak(notes, contour, span.top)
    taste = [rng.random() * 0.4 for _ in range(OCTAVE * 3)]
    lowest = span.pitches[0]
    rungs: dict[int, list[int]] = {}
    options: list[dict[int, float]] = []
    for place, note in enumerate(notes):
        ladder = note.ladder
        if id(ladder) not in rungs:
            rungs[id(ladder)] = [p for p in span.pitches if p % OCTAVE in ladder.names]
        own: dict[int, float] = {}
        for pitch in rungs[id(ladder)] or span.pitches:
            own[pitch] = _own_cost(note, pitch, costs, guide)
            own[pitch] += costs["far"] * abs(pitch - span.middle)
            own[pitch] += taste[(pitch - lowest + 7 * place) % len(taste)]
            if like is not None:
                near = costs["unlike"] * min(abs(pitch - like[place]), 4)
                own[pitch] += near if place != other else costs["same"] * (pitch == like[place])
            if span.top is not None:
                own[pitch] += costs["peak"] * abs(pitch - span.top) if place == peak else 0
                own[pitch] += costs["above"] * (pitch >= span.top and place != peak)
        options.append(own)
    return _cheapest(notes, contour, options, rungs, costs, before, firm)


def _peak(notes: Sequence[Sung], contour: Sequence[int], top: int | None) -> int:
    """The place of the highest note: the highest of the contour over a chord that has it."""
    if top is None:
        return -1
    pc = top % OCTAVE
    fitting = [
        n
        for n, note in enumerate(notes)
        if pc in (note.ladder.tones if note.strong else note.ladder.names)
    ]
    return max(fitting, key=lambda n: (contour[n], -n), default=-1)


def _own_cost(note: Sung, pitch: int, costs: Mapping[str, float], guide: float) -> float:
    pc = pitch % OCTAVE
    ladder = note.ladder
    inside = pc in ladder.tones
    cost = 0.0
    if note.strong and not inside and ladder.tones:
        cost += costs["outside"]
    if note.colour and not inside and pc not in ladder.avoid:
        cost -= costs["tension"]
    elif note.on_beat and not inside:
        cost += costs["weak"]
    if note.long and pc in ladder.avoid:
        cost += costs["avoid"]
    elif note.on_beat and pc in ladder.avoid:
        cost += costs["accented"]
    if note.fresh and inside and pc not in ladder.guides:
        cost += guide
    if note.held is not None and pc not in note.held.tones:
        cost += costs["held"] * (2 if pc in note.held.avoid else 1)
    if note.aim is not None:
        degree = ladder.degree(pitch)
        cost += note.aim.get(degree, note.missed)
    return cost


def _cheapest(
    notes: Sequence[Sung],
    contour: Sequence[int],
    options: Sequence[dict[int, float]],
    rungs: Mapping[int, list[int]],
    costs: Mapping[str, float],
    before: int | None,
    firm: float,
) -> list[int]:
    sizes = _size_costs(costs["leap"], costs["tritone"])
    step, turned, repeat = (firm * costs[name] for name in ("step", "turned", "repeat"))
    doubled, struck = costs["doubled"], costs["struck"]
    best: list[dict[int, tuple[float, int]]] = []
    for place, own in enumerate(options):
        here: dict[int, tuple[float, int]] = {}
        scale = rungs[id(notes[place].ladder)] or sorted(own)
        wanted = contour[place] - contour[place - 1] if place else 0
        avoid = notes[place].ladder.avoid
        again = place and (notes[place].barred or place == len(notes) - 1)
        earlier = [(p, bisect_left(scale, p), best[-1][p][0]) for p in best[-1]] if place else []
        for pitch, cost in own.items():
            if not place:
                far = abs(pitch - before) if before is not None else 0
                here[pitch] = (cost + (IMPOSSIBLE if far > OCTAVE else 0.1 * far), 0)
                continue
            rung = bisect_left(scale, pitch)
            least, source = 2 * IMPOSSIBLE, earlier[0][0]
            for other, low, spent in earlier:
                if spent >= least:  # a step only adds to it
                    continue
                steps = rung - low
                spent += sizes[abs(pitch - other)] + step * abs(steps - wanted)
                if steps * wanted < 0:
                    spent += turned
                elif pitch == other:
                    spent += repeat if wanted else 0
                    spent += struck if again else 0
                    spent += doubled if pitch % OCTAVE in avoid else 0
                if spent < least:
                    least, source = spent, other
            here[pitch] = (least + cost, source)
        best.append(here)
    pitch = min(best[-1], key=lambda p: (best[-1][p][0], p))
    found: list[int] = []
    for here in reversed(best):
        found.append(pitch)
        pitch = here[pitch][1]
    return found[::-1]


def contour_of(pitches: Sequence[int], notes: Sequence[Sung]) -> tuple[int, ...]:
    """The contour of a phrase as it came out: steps of each note above the last."""
    found = [0]
    for a, b, note in zip(pitches[-2::-1], pitches[:0:-1], notes[:0:-1], strict=True):
        low, high = min(a, b), max(a, b)
        steps = sum(p % OCTAVE in note.ladder.names for p in range(low, high))
        found.append(found[-1] + (steps if a > b else -steps))
    return tuple(found[::-1])


@cache
def _size_costs(leap: float, tritone: float) -> list[float]:
    """The cost of an interval by its size alone, in semitones."""
    found = []
    for size in range(128):
        cost = leap * max(size - FIFTH, 0) + tritone * (size == TRITONE)
        found.append(cost if size <= OCTAVE else IMPOSSIBLE)
    return found
