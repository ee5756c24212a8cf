"""Walking bass: a line composed note by note between the chords.

The root stands on each change; the note before it lies a semitone or a scale step away;
between them the line moves by step and small leap through chord and scale tones, rising
and falling over four bars, never the same note three times (common practice). Among all
lines through the candidates the cheapest is found by dynamic programming; chance, in small
amounts, makes one chorus walk another way than the next.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import cos, pi
from random import Random

from groove.theory.chords import Chord
from groove.theory.scales import chord_scale, scale_degrees

# Cost of a melodic interval by its size in semitones.
LEAP = {0: 5.0, 1: 0.0, 2: 0.0, 3: 0.6, 4: 0.9, 5: 1.2, 6: 4.0, 7: 1.8, 8: 4.0, 9: 4.0, 12: 2.5}
WIDE_LEAP = 9.0
OUTSIDE_CHORD = 0.7  # a scale tone where a chord tone could stand
CHROMATIC = 0.3
OFF_STEP = 2.5  # into a new chord by anything but a step
STUCK = 20.0  # the same note a third time
BACK = 1.0  # back to the note before the last one
CONTOUR = 0.15  # pull towards the rising and falling line, a semitone away
CHANCE = 1.6
ARC_STEPS = 16  # the line rises and falls once in so many notes


@dataclass(frozen=True, slots=True)
class Step:
    """One note to be found: the chord, whether the chord begins here (the root is
    struck), and whether the next note begins a chord (this one leads to it)."""

    chord: Chord
    on_change: bool
    leads: bool


def walk(steps: list[Step], low: int, high: int, rng: Random) -> list[int]:
    """The pitches of a walking line, one a step, between low and high (an octave or more)."""
    middle = (low + high) / 2
    reach = (high - low) / 3
    phase = rng.random()
    best: list[dict[int, tuple[float, int]]] = []
    for number, step in enumerate(steps):
        arc = middle - reach * cos(2 * pi * (number / ARC_STEPS + phase))
        layer: dict[int, tuple[float, int]] = {}
        for pitch, cost in _candidates(step.chord, step.on_change, step.leads, low, high):
            own = cost + CONTOUR * abs(pitch - arc) + CHANCE * rng.random()
            layer[pitch] = _cheapest(pitch, own, best[-1] if best else None, step.on_change)
        best.append(layer)
    pitch = min(best[-1], key=lambda p: best[-1][p][0])
    line = [pitch]
    for layer in reversed(best[1:]):
        pitch = layer[pitch][1]
        line.append(pitch)
    return line[::-1]


def _cheapest(
    pitch: int, own: float, before: dict[int, tuple[float, int]] | None, arrives: bool
) -> tuple[float, int]:
    """The cost of the cheapest way to a pitch, and the pitch before it on that way."""
    if before is None:
        return own, pitch
    cost, came_from = min(
        (
            (
                spent
                + LEAP.get(abs(pitch - earlier), WIDE_LEAP)
                + (OFF_STEP if arrives and not 0 < abs(pitch - earlier) <= 2 else 0.0)
                + (STUCK if pitch == earlier == grand else 0.0)
                + (BACK if pitch == grand != earlier else 0.0),
                earlier,
            )
            for earlier, (spent, grand) in before.items()
        ),
    )
    return cost + own, came_from


@cache
def _candidates(
    chord: Chord, on_change: bool, leads: bool, low: int, high: int
) -> tuple[tuple[int, float], ...]:
    """The pitches that may stand at a step, each with what it costs there."""
    root = chord.lowest.pitch_class
    tones = {note.pitch_class for note in chord.notes if note != chord.root} | {root}
    simple = {(chord.root + d).pitch_class for d in chord.quality.degrees if d.number <= 7}
    scale = {
        (chord.root + degree).pitch_class for degree in scale_degrees(chord_scale(chord.quality))
    }
    found = []
    for pitch in range(low, high + 1):
        tone = pitch % 12
        if on_change:
            if tone == root:
                found.append((pitch, 0.0))
        elif tone in simple:
            found.append((pitch, 0.0))
        elif tone in tones | scale:
            found.append((pitch, OUTSIDE_CHORD))
        elif leads:
            found.append((pitch, OUTSIDE_CHORD + CHROMATIC))
    return tuple(found)
