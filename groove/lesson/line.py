"""A line: notes to play over some bars, as a lick, an example solo or a teacher's phrase has them.

A line holds what is written, on the grid and without touch; the sheet draws it as staff and
tablature, and groove.track makes a part of it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from groove.instrument.fretboard import OCTAVE, Place
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName

JOINS = HAMMER, PULL, SLIDE = ("hammer", "pull", "slide")
"""The ways in which a note follows the one before it on its string without a new stroke."""
BENDS = (Fraction(1, 2), Fraction(1), Fraction(2))
"""Semitones by which a string is bent: a quarter tone, a half step, a whole step."""


STAFF_MIDDLE = {"treble": 71, "bass": 50}
"""The MIDI note on the middle line of a clef: B4, D3."""


@dataclass(frozen=True, slots=True)
class LineNote:
    """A note of a line; notes that start together are a double stop.

    start, length: in ticks from the first bar line; a pick-up starts before 0. name: as it is
    spelled. pitch: MIDI note as it is fretted; a bend sounds higher. place: on the neck, None
    where there is none; finger: 1 to 4 there, 0 for an open string or without a neck. joined: one
    of JOINS, empty for a stroke. bend: semitones by which the string is bent after the stroke, 0
    or one of BENDS; release: whether it comes back within the note.
    """

    start: int
    length: int
    name: NoteName
    pitch: int
    place: Place | None = None
    finger: int = 0
    joined: str = ""
    bend: Fraction = Fraction(0)
    release: bool = False

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length

    @property
    def sounding(self) -> Fraction:
        """The MIDI note that is heard at the top of its bend."""
        return self.pitch + self.bend


@dataclass(frozen=True, slots=True)
class LineBar:
    """A bar that a line goes over.

    start, length: in ticks from the first bar line of the line. chords: each with the tick in the
    bar at which it begins; a bar begins with the chord that holds on. straight: whether its feel
    is; else eighths (or sixteenths) are swung when played. section: the name of the section that
    begins with it, empty where none does or the form has but one.
    """

    start: int
    length: int
    meter: Meter
    key: Key
    chords: tuple[tuple[int, Chord], ...]
    straight: bool = True
    section: str = ""

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class NoteLine:
    """Notes over bars.

    name: of a phrase or the position of a lick, empty for others. notes: in order of time, at one
    time the lowest first. position: the fret of the first finger, 0 without a neck.
    """

    name: str
    notes: tuple[LineNote, ...]
    bars: tuple[LineBar, ...]
    position: int = 0

    @property
    def end(self) -> int:
        """The tick at which its last bar ends."""
        return self.bars[-1].end if self.bars else max(note.end for note in self.notes)

    def chord_at(self, tick: int) -> Chord | None:
        """The chord at a time; None outside the bars."""
        for bar in self.bars:
            if bar.start <= tick < bar.end:
                return [chord for at, chord in bar.chords if at <= tick - bar.start][-1]
        return None


def beginning(line: NoteLine, bars: int) -> NoteLine:
    """The first bars of a line, with what begins in them."""
    kept = line.bars[:bars]
    end = kept[-1].end if kept else line.end
    notes = [note for note in line.notes if note.start < end]
    return replace(
        line,
        bars=kept,
        notes=tuple(replace(note, length=min(note.length, end - note.start)) for note in notes),
    )


def one_voice(line: NoteLine) -> NoteLine:
    """The line with the highest note alone of those that start together, for horns and voices."""
    top = {note.start: note for note in sorted(line.notes, key=lambda note: note.pitch)}
    return replace(line, notes=tuple(note for note in line.notes if top[note.start] is note))


def on_staff(line: NoteLine, clef: str) -> NoteLine:
    """A line without a neck in the octave that lies nearest to the middle of a clef's staff."""
    pitches = [note.pitch for note in line.notes]
    if not pitches:
        return line
    middle = (min(pitches) + max(pitches)) / 2
    up = OCTAVE * round((STAFF_MIDDLE[clef] - middle) / OCTAVE)
    return replace(line, notes=tuple(replace(n, pitch=n.pitch + up) for n in line.notes))
