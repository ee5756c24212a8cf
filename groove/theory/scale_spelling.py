"""Spells scales for readers, where their degrees alone would give signs that are not in use.

Common practice.
"""

from __future__ import annotations

from groove.theory.chords import Chord
from groove.theory.pitch import Degree, NoteName, degrees
from groove.theory.scales import scale_notes
from groove.theory.spelling import ROUND, plainly, single

FREELY_SPELLED = ("whole-half diminished", "whole tone")
READ_AS = {  # a major third; the flat ninth on the next letter, the sharp ninth as a minor third
    "altered": "1 b2 b3 3 b5 b6 b7",
    "half-whole diminished": "1 b2 b3 3 b5 5 6 b7",
}


def spelled_over(chord: Chord, root: NoteName, scale: str) -> tuple[NoteName, ...]:
    """A scale's notes; a scale without a spelling of its own is spelled to suit the chord, and no
    letter stands in it both with a sharp and with a flat. The tensions of a scale of READ_AS have
    the names of the chord where it has them: D# and F# over C7alt, but F for E#.

    >>> from groove.theory.chords import parse_chord
    >>> f7 = parse_chord("F7")
    >>> [str(n) for n in spelled_over(f7, f7.root, "altered")]
    ['F', 'Gb', 'Ab', 'A', 'B', 'Db', 'Eb']
    """
    own = {name.pitch_class: name for name in chord.notes}
    if scale in READ_AS:
        flat_fifth = root + Degree(5, -1)
        written = (root + degree for degree in degrees(READ_AS[scale]))
        raised = {pitch: plainly(single(n)) for pitch, n in own.items() if n.sharps > 0}
        plain = (plainly(n) if n == flat_fifth else single(n) for n in written)
        return tuple(raised.get(n.pitch_class, n) for n in plain)
    notes = scale_notes(root, scale)
    if scale not in FREELY_SPELLED:
        return notes
    spelled = [own.get(name.pitch_class) or plainly(name) for name in notes]
    flats = {name.letter for name in spelled if name.sharps < 0}
    return tuple(
        NoteName(name.fifths - ROUND) if name.sharps > 0 and name.letter in flats else name
        for name in spelled
    )


def plain_blues(root: NoteName, scale: str) -> tuple[NoteName, ...]:
    """A scale's notes, the flat fifth of a blues scale as players write it: B in F blues."""
    notes = scale_notes(root, scale)
    if scale != "blues":
        return notes
    fifth = root + Degree(5, -1)
    return tuple(plainly(name) if name == fifth else name for name in notes)
