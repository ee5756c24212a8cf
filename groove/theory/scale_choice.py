"""Finds scales that hold a chord, and the notes of a scale not to rest on.

A note of a scale is one to pass over quickly where it lies a half step above a chord tone, and
where it is the third that a suspension holds back; over a dominant the flat ninth and the flat
thirteenth are tensions instead, and wanted (common practice).
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.theory.chords import Chord
from groove.theory.motion import OCTAVE, above, degree_between
from groove.theory.pitch import Degree, NoteName
from groove.theory.quality import Quality
from groove.theory.scales import PERFECT_FIFTH, SCALES, scale_degrees

MAJOR_THIRD = 4  # semitones
ROUND = 12  # fifths from a name to the next one that sounds the same
TENSIONS = {1, 8}  # semitones above the root of a dominant: flat ninth, flat thirteenth


def holds(quality: Quality, name: str, *, fifth: bool = True) -> bool:
    """True if a scale on the chord's root has all its tones, or all but the perfect fifth."""
    wanted = {degree.semitones % OCTAVE for degree in quality.degrees}
    if not fifth:
        wanted -= {PERFECT_FIFTH}
    return wanted <= {degree.semitones % OCTAVE for degree in scale_degrees(name)}


def mode_on(root: NoteName, notes: Sequence[NoteName]) -> str | None:
    """The name of a scale begun on another of its notes; None where it has no name here.

    >>> from groove.theory.scales import scale_notes
    >>> c = NoteName.parse("C")
    >>> mode_on(NoteName.parse("D"), scale_notes(c, "major"))
    'dorian'
    """
    found = {degree_between(root, note) for note in notes}
    for name in SCALES:
        if set(scale_degrees(name)) == found:
            return name
    return None


def avoid_notes(
    chord: Chord, notes: Sequence[NoteName], *, leads: bool = False
) -> tuple[NoteName, ...]:
    """The notes of a scale that are not to rest on while the chord sounds.

    leads: whether a triad leads on as a dominant does, so that it takes tensions too.

    >>> from groove.theory.chords import parse_chord
    >>> from groove.theory.scales import scale_notes
    >>> home = parse_chord("Cmaj7")
    >>> [str(n) for n in avoid_notes(home, scale_notes(home.root, "major"))]
    ['F']
    """
    tones = {note.pitch_class for note in chord.notes}
    quality = chord.quality
    tense = leads or quality.is_dominant
    suspended = quality.of_step(3) is None and quality.of_step(4, 2) is not None
    avoided = []
    for note in notes:
        distance = above(chord.root, note)
        if note.pitch_class in tones or (tense and distance in TENSIONS):
            continue
        clashes = (note.pitch_class - 1) % OCTAVE in tones
        if clashes or (suspended and distance == MAJOR_THIRD):
            avoided.append(note)
    return tuple(avoided)


def clashes(chord: Chord, notes: Sequence[NoteName]) -> tuple[NoteName, ...]:
    """The notes of a scale not to rest on, and those that the chord or its bass has otherwise.

    >>> from groove.theory.chords import parse_chord
    >>> from groove.theory.scales import scale_notes
    >>> g7, b_flat = parse_chord("G7"), NoteName.parse("Bb")
    >>> [str(n) for n in clashes(g7, scale_notes(b_flat, "major pentatonic"))]
    ['Bb', 'C']
    """
    middle = sum(name.fifths for name in notes) / len(notes)
    near = min((0, -ROUND, ROUND), key=lambda turn: abs(chord.root.fifths + turn - middle))
    chord = chord.transposed(near)  # B major 7 beside flats is C flat major 7
    own = [*chord.notes, *([chord.bass] if chord.bass else [])]
    sounding = {name.pitch_class for name in own}
    letters = {name.letter for name in own}
    avoided = avoid_notes(chord, notes)
    sharp = chord.root + Degree(9, 1)
    if sharp.pitch_class in sounding:  # beside a sharp ninth stands a flat one
        letters.discard(sharp.letter)
    return tuple(
        note
        for note in notes
        if note.pitch_class not in sounding and (note in avoided or note.letter in letters)
    )
