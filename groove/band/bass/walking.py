"""Walking bass: a line composed note by note between the chords.

The root stands on each change; the note before it lies a semitone or a scale step away;
between them the line moves by step and small leap, chord tones on the strong beats, scale
tones between them, rising and falling over four bars, never the same note three times
(common practice). Among all lines through the candidates the cheapest is found by dynamic
programming; chance, in small amounts, makes one chorus walk another way than the next.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import cos, pi
from random import Random

from groove.band.degrees import playing_scale
from groove.theory.chords import Chord
from groove.theory.pitch import Degree

# Where a note stands in the bar; a LONG one lasts over a beat.
SKIP, WEAK, STRONG, DOWNBEAT, LONG = range(5)

# Cost of a melodic interval by its size in semitones, up to two octaves; none is over one.
LEAP = (5.0, 0.0, 0.0, 0.5, 0.8, 1.2, 4.0, 1.8, 4.0, 4.0, 9.0, 9.0, 8.0, *[99.0] * 12)
# Cost of a tone that is not of the chord, by place.
OUTSIDE_CHORD = {SKIP: 0.6, WEAK: 0.5, STRONG: 2.8, DOWNBEAT: 9.0, LONG: 20.0}
NOT_THE_ROOT = 7.0  # on a downbeat while a chord lasts: rootless comping leans on the bass
OUTSIDE_KEY = 1.6  # a tone of the chord's scale that the key does not have
AVOIDED = 9.0  # the fourth against a major third where the beat is strong
CHROMATIC = 0.8  # a semitone from the root to come, and in no scale
OFF_STEP = 4.0  # into a new chord by anything but a step
STUCK = 60.0  # the same note a third time
BACK = 1.2  # back to the note before the last one
TURN = 1.4  # another direction after a step
SKIP_MOVES = 0.4  # a skip that does not repeat the note before it
CONTOUR = 0.15  # pull towards the rising and falling line, a semitone away
CHANCE = 3.2
ARC_BARS = 4  # the line rises and falls once in so many bars,
ARC_HEIGHTS = (0.4, 1.4)  # now less, now more, in parts of a third of its range


@dataclass(frozen=True, slots=True)
class Step:
    """One note to be found.

    key: the pitch classes of the key. place: SKIP, WEAK, STRONG, DOWNBEAT or LONG. bars: when, in
    bars. only: the pitch class it must have, -1 if it is free. leads_to: the pitch class that
    the next note must have, -1 if that is free.
    """

    chord: Chord
    key: frozenset[int]
    place: int
    bars: float
    only: int = -1
    leads_to: int = -1


# The cheapest way to each pitch: its cost and the pitch before it on that way.
_Layer = dict[int, tuple[float, int]]


def walk(steps: list[Step], low: int, high: int, comes_back: bool, rng: Random) -> list[int]:
    """The pitches of a walking line, one a step, between low and high (two octaves at most).

    comes_back: whether the line is repeated from its first
    note after its last.
    """
    middle = (low + high) / 2
    reach = (high - low) / 3
    phase = rng.random() * 0.3  # the line sets out low
    heights: dict[int, float] = {}
    layers: list[_Layer] = []
    for step in steps:
        arcs = step.bars / ARC_BARS + phase
        height = heights.setdefault(int(arcs), rng.uniform(*ARC_HEIGHTS))
        arc = middle - reach * height * cos(2 * pi * arcs)
        ceiling = high if layers else low + 11
        found = [
            (pitch, cost + CONTOUR * abs(pitch - arc) + CHANCE * rng.random())
            for pitch, cost in _candidates(step, low, ceiling)
        ]
        layers.append(_reached(found, layers[-1], step) if layers else _first(found))
    last = layers[-1]
    home = min(layers[0]) if comes_back else None
    pitch = min(last, key=lambda p: last[p][0] + (0.0 if home is None else _arrival(p, home)))
    line = [pitch]
    for layer in reversed(layers[1:]):
        pitch = layer[pitch][1]
        line.append(pitch)
    return line[::-1]


def _first(found: list[tuple[int, float]]) -> _Layer:
    return {pitch: (cost, pitch) for pitch, cost in found}


def _arrival(earlier: int, pitch: int) -> float:
    """The cost of coming into a pitch that is the root of a new chord."""
    apart = abs(pitch - earlier)
    return LEAP[apart] + (0.0 if 0 < apart <= 2 else OFF_STEP)


def _reached(found: list[tuple[int, float]], before: _Layer, step: Step) -> _Layer:
    """The cheapest way to each pitch, given the ways to those before it."""
    ways = [(earlier, spent, grand) for earlier, (spent, grand) in before.items()]
    layer: _Layer = {}
    for pitch, own in found:
        best, came_from = 1e9, pitch
        for earlier, spent, grand in ways:
            moved = pitch - earlier
            cost = spent
            if step.only >= 0:
                cost += _arrival(earlier, pitch)
            elif step.place == SKIP:
                cost += LEAP[abs(moved)] + SKIP_MOVES if moved else 0.0
            else:
                cost += LEAP[abs(moved)]
            if pitch == grand:
                cost += STUCK if not moved else BACK
            moving = earlier - grand
            if moving * moved < 0 and abs(moving) <= 4:
                cost += TURN
            if cost < best:
                best, came_from = cost, earlier
        layer[pitch] = (best + own, came_from)
    return layer


def _candidates(step: Step, low: int, high: int) -> tuple[tuple[int, float], ...]:
    return _tones(step.chord, step.place, step.only, step.leads_to, low, high, step.key)


@cache
def _tones(
    chord: Chord,
    place: int,
    only: int,
    leads_to: int,
    low: int,
    high: int,
    key: frozenset[int],
) -> tuple[tuple[int, float], ...]:
    """The pitches that may stand at a step, each with its cost there."""
    costs = {only: 0.0} if only >= 0 else _tone_costs(chord, place, leads_to, key)
    return tuple((p, costs[p % 12]) for p in range(low, high + 1) if p % 12 in costs)


def _tone_costs(chord: Chord, place: int, leads_to: int, key: frozenset[int]) -> dict[int, float]:
    """The pitch classes that may stand at a free step, each with its cost."""
    root = chord.lowest.pitch_class
    costs = {}
    if leads_to >= 0:
        for tone in (leads_to - 1, leads_to + 1):
            costs[tone % 12] = OUTSIDE_CHORD[place] + CHROMATIC
    for tone in playing_scale(chord, key):
        costs[tone] = OUTSIDE_CHORD[place] + (0.0 if tone in key else OUTSIDE_KEY)
    if chord.quality.third == Degree(3) and place in (STRONG, DOWNBEAT, LONG):
        costs[(chord.root + Degree(4)).pitch_class] = max(AVOIDED, OUTSIDE_CHORD[place])
    simple = {(chord.root + d).pitch_class for d in chord.quality.degrees if d.number <= 7}
    for tone in simple | {root}:
        costs[tone] = NOT_THE_ROOT if place in (DOWNBEAT, LONG) and tone != root else 0.0
    return costs
