"""Degrees of a chord as a bass line asks for them, and the notes that lead to another.

A line is written once for all chords: where a chord lacks the degree, the nearest thing
that a bassist would play stands in for it.
"""

from __future__ import annotations

from functools import cache
from random import Random

from groove.rhythm.kit import BASS_RANGE
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import Degree
from groove.theory.scales import chord_scale, scale_degrees

OCTAVE = "8"
WIDEST, EASY = 19, 9  # semitones: a line leaps a twelfth at most, a sixth without a cost
TO_HOME, TO_ROOT, OUT_OF_REACH = 0.5, 0.3, 10.0  # costs of a root, a semitone and once
FLAT_SEVENTH, SIXTH, FIFTH = Degree(7, -1), Degree(6), Degree(5)


def above_bass(chord: Chord, number: int) -> int:
    """Semitones from the bass note of a chord up to one of its degrees, 0 to 11.

    number: 3, 5, 6, 7 or 9.

    >>> from groove.theory.chords import parse_chord
    >>> [above_bass(parse_chord(symbol), 7) for symbol in ("C7", "Cmaj7", "C", "Cm", "C/E")]
    [10, 11, 9, 10, 5]
    """
    degree = chord_degree(chord, number)
    return ((chord.root + degree).pitch_class - chord.lowest.pitch_class) % 12


def chord_degree(chord: Chord, number: int) -> Degree:
    """The degree of a chord that a bassist plays where its number is written.

    A third that is suspended is the fourth or second in its place, one that is missing the
    fifth. A seventh that is missing is the sixth in a major chord, which the major seventh
    would recolour; the minor one under a minor, suspended or bare fifth; else the root.
    """
    quality = chord.quality
    if number == 3:
        return quality.third or chord_degree(chord, 5)
    if number == 5:
        return quality.fifth or FIFTH
    if number == 7:
        return quality.seventh or _missing_seventh(chord)
    degree = quality.of_step(number)
    if degree:
        return degree
    step = (number - 1) % 7 + 1
    scale = scale_degrees(chord_scale(quality))
    return next((d for d in scale if d.number == step), chord_degree(chord, 5))


def _missing_seventh(chord: Chord) -> Degree:
    third, fifth = chord.quality.third, chord.quality.fifth
    if third != Degree(3):
        return Degree(1) if third == Degree(3, -1) and fifth == Degree(5, -1) else FLAT_SEVENTH
    return SIXTH if fifth in (None, FIFTH) else Degree(1)


def fits_key(chord: Chord, number: int, key: Key) -> bool:
    """True if a sixth or ninth that a chord does not name may sound over it: in a minor key a
    dominant takes only those of the key, for the V its natural ones are the major key's."""
    if number not in (6, 9) or key.mode != "minor":
        return True
    if not chord.quality.is_dominant or chord.quality.of_step(number, 13 if number == 6 else 9):
        return True
    return (chord.root + Degree(number)).pitch_class in key_tones(key)


@cache
def key_tones(key: Key) -> frozenset[int]:
    """The pitch classes of a key's scale."""
    scale = scale_degrees("natural minor" if key.mode == "minor" else "major")
    return frozenset((key.tonic + degree).pitch_class for degree in scale)


def approach(
    target: int,
    before: int,
    steps: tuple[int, ...],
    chord: Chord,
    key: frozenset[int],
    rng: Random,
) -> int:
    """A note that leads into a target, another than the one before it.

    steps: how far from the target it may lie, in semitones. A semitone below leads in any
    case; a step above or below if the key or the chord's scale has it; the better it fits
    both, the likelier.
    """
    scale = {
        (chord.root + degree).pitch_class for degree in scale_degrees(chord_scale(chord.quality))
    }
    weights = {}
    for step in steps:
        pitch, tone = target + step, (target + step) % 12
        fits = (tone in scale) + (tone in key) + (step == -1)
        played = pitch >= BASS_RANGE[0] and 0 < abs(pitch - before) <= WIDEST
        if fits and played:
            weights[pitch] = fits * fits
    if not weights:
        return target + (1 if target + 1 != before else 2)
    return rng.choices(list(weights), list(weights.values()))[0]


def next_root(pitch_class: int, root: int, last: int, home: int, high: int) -> int:
    """The MIDI note for the next root: near home, the root before it and the last note.

    It lies within a twelfth of the last note, and up to ``high`` if it can.
    """
    lowest, highest = BASS_RANGE

    def cost(pitch: int) -> float:
        leap = max(0, abs(pitch - last) - EASY)
        beyond = OUT_OF_REACH if pitch > high else 0.0
        return TO_HOME * abs(pitch - home) + TO_ROOT * abs(pitch - root) + leap + beyond

    octaves = range(lowest + (pitch_class - lowest) % 12, highest + 1, 12)
    return min((p for p in octaves if abs(p - last) <= WIDEST), key=cost)
