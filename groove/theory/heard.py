"""The chord that a slash chord is heard as, where its bass is no tone of the chord on top.

A bass note outside the chord is heard as a root where the tones over it say so: a major triad over
the note a whole step above its root is the suspended dominant on that note, D♭/E♭ for E♭9sus4; a
triad over the note a third below its root is the seventh chord there, Em/C for Cmaj7. A triad over
its seventh is the seventh chord turned over, D/C for D7/C. Others, as G/C, are heard as they are
written. All of it is common practice.
"""

from __future__ import annotations

from functools import lru_cache

from groove.theory.chords import Chord
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality, parse_quality

OCTAVE, FIFTH, SECOND, FLAT_SEVENTH = 12, 7, 2, 10  # semitones
THIRDS, FOURTH = (3, 4), 5
NAMES = (
    "m7", "maj7", "7", "m7b5", "m9", "maj9", "9", "m11", "maj9#11",
    "9sus4", "7sus4", "13sus4", "7sus4b9", "7sus2",
)  # fmt: skip


SEVENTHS = {  # above the root of a triad: the suffix of the chord with that seventh
    ("", 10): "7", ("", 11): "maj7", ("m", 10): "m7", ("m", 11): "m(maj7)",
    ("dim", 9): "dim7", ("dim", 10): "m7b5",
}  # fmt: skip


@lru_cache(maxsize=4096)
def heard(chord: Chord) -> Chord:
    """The chord that a slash chord is heard as, on its bass or turned over; others as they are.

    >>> from groove.theory.chords import parse_chord
    >>> [str(heard(parse_chord(c))) for c in ("Db/Eb", "Dm7/G", "Em/C", "D/C", "G/C")]
    ['Eb9sus4', 'G9sus4', 'Cmaj7', 'D7/C', 'G/C']
    """
    if chord.bass is None or chord.bass.pitch_class in _classes(chord.notes):
        return chord
    place = (chord.bass.pitch_class - chord.root.pitch_class) % OCTAVE
    if turned := SEVENTHS.get((chord.quality.suffix, place)):
        return Chord(chord.root, parse_quality(turned), chord.bass)
    over = {(note.pitch_class - chord.bass.pitch_class) % OCTAVE for note in chord.notes} | {0}
    for name in NAMES:
        quality = parse_quality(name)
        if over <= _places(quality) and _says(quality) <= over:
            return Chord(chord.bass, quality)
    return chord


def _places(quality: Quality) -> set[int]:
    return {degree.semitones % OCTAVE for degree in quality.degrees}


def _says(quality: Quality) -> set[int]:
    """The tones that a chord can't do without: all but the fifth; of a suspension its seventh,
    and its fourth or its ninth."""
    places = _places(quality)
    if places.isdisjoint(THIRDS):
        return places - {FIFTH, SECOND} if FOURTH in places else places - {FIFTH}
    return places - {FIFTH}


def _classes(notes: tuple[NoteName, ...]) -> set[int]:
    return {note.pitch_class for note in notes}
