"""The pitches of written notes: names in the key of their place, degrees of chord or key."""

from __future__ import annotations

from collections.abc import Sequence

from groove.band.degrees import chord_degree
from groove.rhythm.kit import MidiInstrument
from groove.rhythm.note_line import Riff
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import Degree, NoteName
from groove.theory.scales import chord_scale, scale_degrees

OCTAVE = 12


def moved(pitch: int, fifths: int) -> int:
    """A pitch moved by an interval on the line of fifths, in the nearest octave.

    >>> [moved(66, fifths) for fifths in (0, 2, -1, 1, 6)]
    [66, 68, 71, 61, 60]
    """
    return pitch + (7 * fifths + 6) % OCTAVE - 6


def of_chord(chord: Chord, degree: Degree) -> Degree:
    """The degree that sounds over a chord: a plain number is the chord's own, one with a sign as
    it is written. A degree that the chord does not have is the one of its scale."""
    if degree.alter or degree.step == 1:
        return degree
    if degree.step % 2:
        found = chord_degree(chord, degree.step)
        return Degree(found.number + degree.number - degree.step, found.alter)
    named = chord.quality.of_step(degree.step, degree.step + 7)
    scale = scale_degrees(chord_scale(chord.quality))
    own = named or next((d for d in scale if d.number == degree.step), degree)
    return Degree(degree.number, own.alter)


def of_key(key: Key, degree: Degree) -> Degree:
    """The degree that sounds in a key: a plain number is the key's own."""
    if degree.alter:
        return degree
    scale = scale_degrees("natural minor" if key.mode == "minor" else "major")
    own = next(d for d in scale if d.number == degree.step)
    return Degree(degree.number, own.alter)


class DegreePitches:
    """Finds the pitches of a line's degrees: the roots lie so that the line is in the middle of the
    instrument's range."""

    def __init__(self, line: Riff, instrument: MidiInstrument) -> None:
        self._from_key, self._instrument = line.from_key, instrument
        heights = [
            note.degree.semitones - OCTAVE * note.down for note in line.notes if note.degree
        ] or [0]
        middle = (instrument.lowest + instrument.highest) / 2
        self._home = round(middle - (min(heights) + max(heights)) / 2)

    def pitch(self, degree: Degree, down: int, chord: Chord, key: Key) -> int:
        """The MIDI note of a degree, so many octaves down."""
        root = key.tonic if self._from_key else chord.root
        found = of_key(key, degree) if self._from_key else of_chord(chord, degree)
        return within(self._root(root) + found.semitones - OCTAVE * down, self._instrument)

    def _root(self, name: NoteName) -> int:
        above = (name.pitch_class - self._home) % OCTAVE
        return self._home + (above if above <= OCTAVE // 2 else above - OCTAVE)


def within(pitch: int, instrument: MidiInstrument) -> int:
    """The pitch in the nearest octave that an instrument has."""
    while pitch < instrument.lowest:
        pitch += OCTAVE
    while pitch > instrument.highest:
        pitch -= OCTAVE
    return pitch


def octave_within(pitches: Sequence[int], instrument: MidiInstrument) -> int:
    """The octaves, in semitones, that bring most of some pitches into an instrument's range."""

    def outside(shift: int) -> int:
        return sum(not instrument.lowest <= p + shift <= instrument.highest for p in pitches)

    shifts = (0, -OCTAVE, OCTAVE, -2 * OCTAVE, 2 * OCTAVE)
    return min(shifts, key=lambda shift: (outside(shift), abs(shift)))
