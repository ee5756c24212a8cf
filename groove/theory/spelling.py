"""Spells chords for readers.

Numerals and transposition are sums on the line of fifths, which may come out at Ebb7 or Cb7 where
a player reads D7 and B7. Here a chord gets the root that is written in its key, and its tones are
spelled from there: no root has two signs; E#, B#, Cb and Fb stand only where the key itself has
them; none but the tonic makes the third a double flat, as Gbm7 would for F#m7; and a major seventh
stands on a root that can be a key's, Ebmaj7 for D#maj7, and Dbmaj7 for C#maj7 but in keys of many
sharps, F#maj7 for Gbmaj7 in keys of sharps. A chord that leads into the next by a fifth is spelled
to suit it: F#7 before Bmaj7 and not Gb7 (common practice).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from groove.theory.chords import Chord
from groove.theory.keys import SHARPEST, Key
from groove.theory.motion import degree_between
from groove.theory.pitch import Degree, NoteName
from groove.theory.quality import Quality

ROUND = 12  # fifths from a name to the next one that sounds the same
LEADING_NOTE = Degree(7)
FLAT_FIFTH = Degree(5, -1)
HALFWAY, FIFTH = 6, 7  # semitones
MANY_SHARPS = 4
G_FLAT = NoteName(-6)


def respelled(chord: Chord, key: Key) -> Chord:
    """The chord with the root, and the note in the bass, that are written in a key.

    >>> from groove.theory.chords import parse_chord
    >>> str(respelled(parse_chord("Ebb7/Gb"), Key.parse("Db")))
    'D7/F#'
    """
    root = _root(chord.root, chord.quality, key)
    if chord.bass is None:
        return chord if root == chord.root else replace(chord, root=root)
    bass = single(NoteName(chord.bass.fifths + root.fifths - chord.root.fifths))
    tones = {root + degree for degree in chord.quality.degrees}
    if bass not in tones and not _has(key, bass):
        bass = plainly(bass)
    return Chord(root, chord.quality, bass)


def _root(name: NoteName, quality: Quality, key: Key) -> NoteName:
    name = single(name)
    third = name + (quality.third or Degree(1))
    if third.sharps < -1 and name != key.tonic:
        return NoteName(name.fifths + ROUND)
    if {Degree(3), Degree(7)} <= set(quality.degrees):
        if name == G_FLAT and key.signature > 0:
            return NoteName(name.fifths + ROUND)
        if name.fifths > SHARPEST or (name.fifths == SHARPEST and key.signature < MANY_SHARPS):
            return NoteName(name.fifths - ROUND)
    return name if _has(key, name) and third.sharps < 2 else plainly(name)


def _has(key: Key, name: NoteName) -> bool:
    """True if a note is in the key; in minor the leading note is."""
    in_signature = -1 <= name.fifths - key.signature <= 5
    return in_signature or (key.mode == "minor" and name == key.tonic + LEADING_NOTE)


def led_to(chord: Chord, goal: Chord, key: Key) -> Chord:
    """A dominant or minor chord, spelled to suit the chord a fifth below that it leads to.

    >>> from groove.theory.chords import parse_chord
    >>> str(led_to(parse_chord("Gb7"), parse_chord("Bmaj7"), Key.parse("Eb")))
    'F#7'
    """
    leads = chord.quality.is_dominant or chord.quality.is_minor
    falls = (chord.root.pitch_class - goal.root.pitch_class) % ROUND == FIFTH
    root = NoteName(goal.root.fifths + 1)
    plain = abs(root.sharps) < 2 and (plainly(root) == root or _has(key, root))
    if not (leads and falls and plain) or chord.root in (root, key.tonic):
        return chord
    bass = chord.bass and single(NoteName(chord.bass.fifths + root.fifths - chord.root.fifths))
    return Chord(root, chord.quality, bass)


def in_context(chords: Iterable[tuple[Chord, Key]]) -> dict[Chord, Chord]:
    """The chords of a form that are spelled to suit the one that follows, each with that spelling.

    chords: in their order, each with the key that it stands in. A chord has one spelling, the one
    that suits where it comes first.
    """
    line = list(chords)
    pairs = dict.fromkeys((a, b, key) for (a, key), (b, _) in pairwise(line) if a != b)
    found: dict[Chord, Chord] = {}
    changed = True
    while changed:
        changed = False
        for chord, goal, key in pairs:
            spelled = led_to(chord, found.get(goal, goal), key)
            if chord not in found and spelled != chord:
                found[chord] = spelled
                changed = True
    return found


def degree_in(chord: Chord, key: Key) -> Degree:
    """The degree of a chord's root in a key, as its numeral counts it.

    Where the root may have been respelled, D7 in Db for one, or sounds as a degree of the major
    scale, that is the degree with the fewest signs. Of two as good a diminished chord is taken
    for the raised one, on its way up, and others for the lowered one, F#7 in Eb for a bIII; but
    halfway through the octave as it is written, or if that is unknown from below where the chord
    is minor (common practice).

    >>> from groove.theory.chords import parse_chord
    >>> [str(degree_in(parse_chord(c), Key.parse("Db"))) for c in ("D7", "Ddim7", "Ab7")]
    ['b2', '#1', '5']
    """
    chord = replace(chord, bass=None)
    written = respelled(chord, key).root
    names = [NoteName(chord.root.fifths + turn) for turn in (ROUND, -ROUND)]
    same = [name for name in names if respelled(replace(chord, root=name), key).root == written]
    natural = [name for name in names if degree_between(key.tonic, name).alter == 0]
    own = degree_between(key.tonic, chord.root)
    rises = chord.quality.is_minor and FLAT_FIFTH in chord.quality.degrees
    if own.alter > 0 and own.semitones != HALFWAY and not rises:
        same.append(NoteName(chord.root.fifths - ROUND))
    found = [own, *(degree_between(key.tonic, name) for name in (*same, *natural))]

    def strain(degree: Degree) -> tuple[int, bool]:
        up = rises or (chord.quality.is_minor and degree.semitones == HALFWAY)
        return abs(degree.alter), (degree.alter > 0) != up

    return min(found, key=strain)


def degree_over(chord: Chord, name: NoteName) -> Degree:
    """The degree of a note over a chord's root, as the chord has it; else with the fewest signs.

    >>> from groove.theory.chords import parse_chord
    >>> str(degree_over(parse_chord("D#7"), NoteName.parse("G")))
    '3'
    """
    for degree in chord.quality.degrees:
        if (chord.root + degree).pitch_class == name.pitch_class:
            return degree
    names = (NoteName(name.fifths + turn) for turn in (0, -ROUND, ROUND))
    return min((degree_between(chord.root, n) for n in names), key=lambda d: abs(d.alter))


def single(name: NoteName) -> NoteName:
    """The name; if it has two signs or more, one that sounds the same: D for Ebb.

    >>> str(single(NoteName.parse("Ebb"))), str(single(NoteName.parse("E##")))
    ('D', 'F#')
    """
    fifths = name.fifths
    while abs(NoteName(fifths).sharps) > 1:
        fifths -= ROUND if fifths > 0 else -ROUND
    return NoteName(fifths)


def plainly(name: NoteName) -> NoteName:
    """The natural that sounds the same, if there is one: A for Bbb, B for Cb, F for E#.

    >>> str(plainly(NoteName.parse("Cb"))), str(plainly(NoteName.parse("Bb")))
    ('B', 'Bb')
    """
    natural = NoteName((name.fifths + 1) % ROUND - 1)
    return natural if natural.sharps == 0 else name
