"""Degrees of a chord as a bass line asks for them, and the notes that lead to another.

A line is written once for all chords: where a chord lacks the degree, the nearest thing
that a bassist would play stands in for it.
"""

from __future__ import annotations

from functools import cache, lru_cache
from random import Random

from groove.rhythm.kit import BASS_RANGE
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import Degree
from groove.theory.scales import chord_scale, scale_degrees

OCTAVE = "8"
WIDEST, EASY = 12, 9  # semitones: a line leaps an octave at most, a sixth without a cost
TO_HOME, TO_ROOT, OUT_OF_REACH = 0.8, 0.1, 10.0  # costs of a root, a semitone and once
TO_LAST = 0.4  # cost of a semitone over a sixth from the last note
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


def degree_in_key(chord: Chord, number: int, key: Key) -> int:
    """The degree that a bassist plays where a number is written, so that none lies outside the
    key that the chord does not name: the seventh for such a sixth (over Em in C no C sharp), the
    fifth for a ninth, and the root for a seventh that would be such a sixth (common practice).

    number: 3, 5, 6, 7 or 9; returned: one of those, or 1.
    """
    if _in_key(chord, number, key):
        return number
    if number == 6 and _in_key(chord, 7, key):
        return 7
    return 5 if number == 9 else 1


@lru_cache(maxsize=4096)
def _in_key(chord: Chord, number: int, key: Key) -> bool:
    degree, quality = chord_degree(chord, number), chord.quality
    if degree.number not in (6, 9, 2) or degree in quality.degrees:
        return True
    if quality.of_step(*((13, 6) if degree.number == 6 else (9, 2))):
        return True
    return (chord.root + degree).pitch_class in key_tones(key)


@cache
def key_tones(key: Key) -> frozenset[int]:
    """The pitch classes of a key's scale."""
    scale = scale_degrees("natural minor" if key.mode == "minor" else "major")
    return frozenset((key.tonic + degree).pitch_class for degree in scale)


@lru_cache(maxsize=4096)
def playing_scale(chord: Chord, key: frozenset[int]) -> frozenset[int]:
    """The pitch classes of a chord's scale: the key's for a chord that lies in the key, so that a
    line over the third degree has the key's sixth; else those of the chord's own.

    key: the pitch classes of the key.
    """
    if all(tone.pitch_class in key for tone in chord.notes):
        return key
    scale = scale_degrees(chord_scale(chord.quality))
    return frozenset((chord.root + degree).pitch_class for degree in scale)


def approach(
    target: int,
    before: int,
    steps: tuple[int, ...],
    chord: Chord,
    key: frozenset[int],
    rng: Random,
    chromatic: bool = True,
) -> int:
    """A note that leads into a target, another than the one before it.

    steps: how far from the target it may lie, in semitones. A semitone below leads in any
    case if `chromatic`; a step above or below if the key or the chord's scale has it; the better
    it fits both, the likelier. It lies within an octave of the note before it.
    """
    scale = playing_scale(chord, key)
    weights = {}
    for step in steps:
        pitch, tone = target + step, (target + step) % 12
        fits = (tone in scale) + (tone in key) + (chromatic and step == -1)
        new = (pitch - before) % 12 != 0
        played = pitch >= BASS_RANGE[0] and new and abs(pitch - before) <= WIDEST
        if fits and played:
            weights[pitch] = fits * fits
    if not weights:  # a third of the key leads there too
        found = [target + step for step in (-1, 1, -2, 2, -3, 3, -4, 4)]
        near = [pitch for pitch in found if pitch >= BASS_RANGE[0] and (pitch - before) % 12]
        return min(near, key=lambda p: (abs(p - before) > WIDEST, p % 12 not in key))
    return rng.choices(list(weights), list(weights.values()))[0]


def next_root(pitch_class: int, root: int, last: int, home: int, high: int) -> int:
    """The MIDI note for the next root: near home, the root before it and the last note, and up to
    ``high`` if it can."""
    lowest, highest = BASS_RANGE

    def cost(pitch: int) -> float:
        leap = TO_LAST * max(0, abs(pitch - last) - EASY)
        beyond = OUT_OF_REACH if pitch > high else 0.0
        return TO_HOME * abs(pitch - home) + TO_ROOT * abs(pitch - root) + leap + beyond

    return min(range(lowest + (pitch_class - lowest) % 12, highest + 1, 12), key=cost)
