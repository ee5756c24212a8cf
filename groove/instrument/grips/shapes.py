"""All grips of a chord on a neck: the library's shapes, or those found on the strings.

The library (``patterns/guitar/``) is written for the guitar; its shapes are used where all
strings but the lowest are tuned as on a guitar. On other necks every shape is looked for that
one hand can hold: within four frets, above the seventh five (a bass four, a short neck five and
six), with no more than one string damped between those that sound, and clear low down. All of it
is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import pairwise

from groove.band.comping.voicing import guide_degrees
from groove.band.guitar.grips import MOST_ALTERED, serves
from groove.band.guitar.shape_library import OPEN_PITCHES, Shape, group
from groove.instrument.double_stops import CLEAR
from groove.instrument.fretboard import OCTAVE, Place, Tuning
from groove.instrument.grips.fingers import fingered, may_be_held
from groove.instrument.grips.grip import ChordGrip, grip_of
from groove.theory.chords import Chord
from groove.theory.quality import Quality

FOUND = "found"
LAST_FRET = 14
SPAN, SEVENTH_FRET, LAST_WITH_OPEN = 4, 7, 3
LOW_NECK = 48  # MIDI note: a neck whose highest string is lower has wide frets, as a bass has
LEAST, MOST = 3, 6  # strings that sound
WIDE = 7  # semitones between neighbouring notes below CLEAR
MAJOR_THIRD, FOURTH = 4, 5
TONES_OF_TRIAD = 3


@lru_cache(maxsize=1024)
def library_grips(tuning: Tuning, chord: Chord, groups: tuple[str, ...]) -> tuple[ChordGrip, ...]:
    """The library's shapes of some groups on a neck tuned as a guitar; else none."""
    if not like_a_guitar(tuning):
        return ()
    found = []
    for name in groups:
        for shape in _serving(name, chord.quality):
            fingers = dict(zip(shape.strings, shape.fingers, strict=True))
            found += [
                grip_of(tuning, chord, frets, fingers, name)
                for frets in _placed(shape, tuning, chord)
            ]
    return tuple(found)


def like_a_guitar(tuning: Tuning) -> bool:
    """True if all strings but the lowest are tuned as a guitar's."""
    own = tuning.open_strings[-len(OPEN_PITCHES) + 1 :]
    return tuning.frets_a_finger == 1 and own == OPEN_PITCHES[1:]


@lru_cache(maxsize=512)
def _serving(name: str, quality: Quality) -> tuple[Shape, ...]:
    """The shapes of a group that sound a quality, with its altered tones, under one hand."""
    altered = {d.semitones % OCTAVE for d in quality.degrees if d.alter and d.number not in (3, 7)}
    least = min(MOST_ALTERED, len(altered))
    return tuple(
        shape
        for shape in group(name).shapes
        if serves(shape, quality, coloured=False)
        and len(altered & {d.semitones % OCTAVE for d in shape.degrees}) >= least
        and may_be_held(
            dict(zip(shape.strings, shape.frets, strict=True)),
            dict(zip(shape.strings, shape.fingers, strict=True)),
        )
    )


def _placed(shape: Shape, tuning: Tuning, chord: Chord) -> Iterator[dict[int, int]]:
    """The frets of a shape, by string, wherever it sounds the chord."""
    up = (chord.root.pitch_class - shape.root) % OCTAVE
    as_written = all(
        string in tuning.strings and tuning.open(string) == OPEN_PITCHES[-string]
        for string in shape.strings
    )
    if not as_written or (up and not shape.movable):
        return
    for at in (up, up + OCTAVE) if shape.movable else (0,):
        if max(shape.frets) + at <= min(LAST_FRET, tuning.frets):
            yield {s: fret + at for s, fret in zip(shape.strings, shape.frets, strict=True)}


@lru_cache(maxsize=256)
def found_grips(tuning: Tuning, chord: Chord) -> tuple[ChordGrip, ...]:
    """Every grip of a chord that one hand can hold on a neck."""
    quality = chord.quality
    own = {
        (chord.root + d).pitch_class for d in quality.degrees if _may_sound(quality, d.semitones)
    }
    needed = {(chord.root + d).pitch_class for d in guide_degrees(quality)}
    distinct = min(TONES_OF_TRIAD, len(quality.degrees))
    last = min(LAST_FRET, tuning.frets - 1)
    found: dict[tuple[tuple[int, int], ...], ChordGrip] = {}
    for hand in range(last + 1):
        for frets in _held(tuning, own, hand):
            place = tuple(frets.items())
            heard = {tuning.pitch(Place(s, f)) % OCTAVE for s, f in place}
            if place in found or not needed <= heard or len(heard) < distinct:
                continue
            if not _clear(tuning, frets):
                continue
            fingers = fingered(frets)
            if fingers is not None:
                found[place] = grip_of(tuning, chord, frets, fingers, FOUND)
    return tuple(found.values())


def _may_sound(quality: Quality, semitones: int) -> bool:
    """True but for an eleventh over a major third, a ninth above it."""
    above = {degree.semitones % OCTAVE for degree in quality.degrees}
    return not (semitones % OCTAVE == FOURTH and MAJOR_THIRD in above)


def span_at(tuning: Tuning, fret: int) -> int:
    """Frets under a hand that holds a chord whose lowest pressed fret is given."""
    if tuning.frets_a_finger > 1:
        return SPAN + 1 + (fret > SEVENTH_FRET)
    return SPAN + (fret > SEVENTH_FRET and not is_low(tuning))


def rises(tuning: Tuning) -> bool:
    """True if each string is higher than the one before, so that there is a lowest one."""
    return all(low < high for low, high in pairwise(tuning.open_strings))


def is_low(tuning: Tuning) -> bool:
    """True for a neck as low as a bass's."""
    return max(tuning.open_strings) < LOW_NECK


def _held(tuning: Tuning, own: set[int], hand: int) -> Iterator[dict[int, int]]:
    """Sounding strings and their frets, the lowest pressed one where the hand is; hand 0 for open
    strings alone."""
    reach = range(hand, hand + span_at(tuning, hand)) if hand else ()
    strings = list(tuning.strings)
    choices = {
        string: [
            fret
            for fret in (*((0,) if hand <= LAST_WITH_OPEN else ()), *reach)
            if fret <= min(LAST_FRET, tuning.frets) and (tuning.open(string) + fret) % OCTAVE in own
        ]
        for string in strings
    }

    def go(at: int, held: dict[int, int], damped: int) -> Iterator[dict[int, int]]:
        if len(held) >= LEAST and hand in held.values():
            yield dict(held)
        if at == len(strings) or len(held) == MOST:
            return
        string = strings[at]
        for fret in choices[string]:
            held[string] = fret
            yield from go(at + 1, held, damped)
            del held[string]
        if not held:
            yield from go(at + 1, held, damped)
        elif not damped and at + 1 < len(strings):
            for fret in choices[strings[at + 1]]:
                held[strings[at + 1]] = fret
                yield from go(at + 2, held, 1)
                del held[strings[at + 1]]

    yield from go(0, {}, 0)


def _clear(tuning: Tuning, frets: Mapping[int, int]) -> bool:
    """True if low notes lie wide apart and no pitch is stopped twice, but where strings don't rise
    one after the other."""
    twice = not rises(tuning)
    notes = sorted((tuning.pitch(Place(s, f)), f) for s, f in frets.items())
    return all(
        high - low >= (1 if low >= CLEAR else WIDE) or (high == low and (twice or not fret))
        for (low, fret), (high, _) in pairwise(notes)
    )
