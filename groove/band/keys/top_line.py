"""The top line of a keys player: the melody that the highest notes of the strokes make.

Pianists who accompany strike the same top note again in about three strokes of ten and move it
by a third or less where it moves (figures of 81 accompaniments: POP909, Wang et al., ISMIR 2020).
Among all lines through the candidates the cheapest is found by dynamic programming: steps are
free, leaps and repeated notes cost, and a contour pulls that belongs to the phrase.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

# Cost of a melodic interval by its size in semitones; far ones lie between two registers.
INTERVAL = (0.0, 0.0, 0.0, 0.5, 0.8, 1.6, 3.2, 2.6, 4.0, 4.5, 5.5, 6.5, 5.0, *[12.0] * 60)
# The same for a figure that walks through the tones of a chord, as a montuno does.
FIGURE_INTERVAL = (0.9, 0.3, 0.1, 0.0, 0.0, 3.0, 5.0, 5.0, 6.0, *INTERVAL[9:])
SAME_NOTE = 0.45  # the same note again after a beat or more,
SAME_AT_ONCE = 0.0  # and where strokes follow each other at once
AGAIN_AND_AGAIN = 0.8  # for each time that the note was there already
BACK = 0.9  # back to the note before the last one
SEE_SAW = 2.0  # for each time that the line went back already
FIGURE_BACK = 0.7  # of which a figure counts a part
TURN = 0.25  # another direction
INTO_CHANGE, FIGURE_INTO_CHANGE = 4.0, 9.0  # more than a major third into another chord
MAJOR_THIRD, WHOLE_STEP = 4, 2  # semitones
UNRESOLVED = 9.0  # a passing tone that is left by anything but a step
PULL = 0.22  # towards the contour, a semitone away
FIGURE_PULL = 0.3
CHANCE = 0.5
FIGURE_CHANCE = 0.1  # for a figure, which is to come back as it was


@dataclass(frozen=True, slots=True)
class Step:
    """One note of the line to be found.

    candidates: MIDI notes that may stand here, each with its cost. passing: those of them that
    must be left by step. contour: the MIDI note that the phrase has here. gap: beats since the
    note before. change: whether another chord begins. figure: whether it belongs to a figure that
    walks through the tones of the chord.
    """

    candidates: tuple[tuple[int, float], ...]
    contour: float
    gap: float
    change: bool
    passing: frozenset[int] = frozenset()
    figure: bool = False


@dataclass(frozen=True, slots=True)
class _Way:
    """The cheapest way to a note: its cost, the note before, the last other note before, how often
    the note was there in a row, how often the line went back in a row."""

    cost: float
    before: int
    other: int
    same: int = 1
    backs: int = 0


def top_line(steps: list[Step], rng: Random) -> list[int]:
    """The line as MIDI notes, one a step. rng: the player's own."""
    if not steps:
        return []
    layers: list[dict[int, _Way]] = []
    passing: frozenset[int] = frozenset()
    for step in steps:
        chance = FIGURE_CHANCE if step.figure else CHANCE
        pull = FIGURE_PULL if step.figure else PULL
        found = [
            (pitch, cost + pull * abs(pitch - step.contour) + chance * rng.random())
            for pitch, cost in step.candidates
        ]
        if layers:
            layers.append(_reached(found, layers[-1], step, passing))
        else:
            layers.append({pitch: _Way(cost, pitch, pitch) for pitch, cost in found})
        passing = step.passing
    last = layers[-1]
    pitch = min(last, key=lambda at: last[at].cost)
    line = [pitch]
    for layer in reversed(layers[1:]):
        pitch = layer[pitch].before
        line.append(pitch)
    return line[::-1]


def is_step(before: int, after: int) -> bool:
    """True if one pitch leads to another by a half or a whole step."""
    return 0 < abs(after - before) <= WHOLE_STEP


def _reached(
    found: list[tuple[int, float]], before: dict[int, _Way], step: Step, passing: frozenset[int]
) -> dict[int, _Way]:
    """The cheapest way to each note, given the ways to those before it."""
    interval = FIGURE_INTERVAL if step.figure else INTERVAL
    back = FIGURE_BACK if step.figure else 1.0
    same_note = SAME_AT_ONCE + (SAME_NOTE - SAME_AT_ONCE) * min(1.0, step.gap)
    ways = [(pitch, way, pitch in passing) for pitch, way in before.items()]
    layer: dict[int, _Way] = {}
    for pitch, own in found:
        best: _Way | None = None
        least = 1e9
        for earlier, way, must_step in ways:
            moved = pitch - earlier
            size = abs(moved)
            cost = way.cost + interval[size]
            same, backs, other = 1, 0, earlier
            if not moved:
                same = way.same + 1
                backs, other = way.backs, way.other
                cost += same_note + AGAIN_AND_AGAIN * (way.same - 1)
            else:
                direction = earlier - way.other
                if pitch == way.other:
                    backs = way.backs + 1
                    cost += back * (BACK + SEE_SAW * way.backs)
                elif moved * direction < 0:
                    cost += TURN
            if step.change and size > MAJOR_THIRD:
                cost += FIGURE_INTO_CHANGE if step.figure else INTO_CHANGE
            if must_step and not is_step(earlier, pitch):
                cost += UNRESOLVED
            if cost < least:
                least, best = cost, _Way(cost + own, earlier, other, same, backs)
        assert best is not None
        layer[pitch] = best
    return layer
