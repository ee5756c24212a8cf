"""A phrase moved to another chord, and how its notes sit there.

Moved by root, every note keeps its distance from the root. Moved by degree, what belongs to the
first chord's scale becomes the same step of the second's: third to third, sixth to sixth; what
does not belong to it keeps its distance. How notes sit over a chord: common practice.

>>> from groove.handout.fretboard import read_tuning
>>> from groove.handout.phrase import read_phrase
>>> from groove.theory.chords import parse_chord
>>> a7, dm7 = parse_chord("A7"), parse_chord("Dm7")
>>> lick = read_phrase("C#4 E4 D4 A3", read_tuning("guitar"), a7.root)
>>> [note.name for note in by_root(lick, a7, dm7)]
['F#', 'A', 'G', 'D']
>>> [note.name for note in by_degree(lick, a7, dm7)]
['F', 'A', 'G', 'D']
>>> [str(seat) for seat in seats(by_root(lick, a7, dm7), dm7)]
['3 outside', '5 chord', '4 scale', '1 chord']
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from groove.handout.finder import Placement, best_starts
from groove.handout.fretboard import Tuning
from groove.handout.phrase import Note, Phrase
from groove.theory.chords import Chord
from groove.theory.motion import degree_between
from groove.theory.pitch import Degree, NoteName
from groove.theory.scale_choice import avoid_notes
from groove.theory.scales import chord_scale, scale_degrees, scale_notes

BLUE = (3, 6)  # semitones over the root: the thirds and fifths that blues players bend
TRITONE = 6
AN_OCTAVE = 8  # frets that are as far from home


@dataclass(frozen=True, slots=True)
class Seat:
    """How a note sits over a chord.

    how: ``"chord"`` one of its tones; ``"scale"`` one of its scale; ``"avoid"`` of its scale,
    but not to rest on; ``"blue"`` the flat third or fifth over a dominant chord, in a blues any
    note of the blues scale; ``"outside"`` none of these. clash: whether it is best passed over
    quickly.
    """

    degree: str
    how: str

    @property
    def clash(self) -> bool:
        return self.how in ("avoid", "outside")

    def __str__(self) -> str:
        return f"{self.degree} {self.how}"


@dataclass(frozen=True, slots=True)
class Over:
    """A phrase over another chord.

    way: how it was moved, ``"root"`` or ``"degree"``. seats: of each note. placement: None
    where the neck has no room for it under one hand.
    """

    chord: str
    way: str
    notes: Phrase
    seats: tuple[Seat, ...]
    placement: Placement | None


def over_chords(
    tuning: Tuning,
    phrase: Phrase,
    first: Chord,
    chords: Sequence[Chord],
    stretch: int | None = None,
) -> tuple[Over, ...]:
    """A phrase that belongs to one chord moved to others, by root and, where that differs, degree.

    Placed near to where the phrase is played first: as it was written, or in the most
    comfortable place; each fret away from there weighs as much as one of the finder's cost, and
    each octave up or down as much as eight.
    """
    home = _home(tuning, phrase, stretch)
    found = []
    for chord in chords:
        moved = {"root": by_root(phrase, first, chord)}
        adapted = by_degree(phrase, first, chord)
        if [n.pitch for n in adapted] != [n.pitch for n in moved["root"]]:
            moved["degree"] = adapted
        for way, notes in moved.items():
            starts = best_starts(tuning, [note.pitch for note in notes], stretch)
            near = min(starts, key=lambda p: _farness(p, home), default=None)
            found.append(Over(str(chord), way, notes, seats(notes, chord), near))
    return tuple(found)


def _farness(placement: Placement, home: int) -> int:
    return placement.cost + abs(placement.fret - home) + AN_OCTAVE * abs(placement.octaves)


def _home(tuning: Tuning, phrase: Phrase, stretch: int | None) -> int:
    """The fret where a phrase is played first."""
    written = [note.place.fret for note in phrase if note.place and note.place.fret]
    if written:
        return min(written)
    starts = best_starts(tuning, [note.pitch for note in phrase], stretch)
    return starts[0].fret if starts else 0


def by_root(phrase: Phrase, old: Chord, new: Chord) -> Phrase:
    """The phrase moved with the chord's root, the nearer way, a tritone up."""
    shift = _root_shift(old, new)
    fifths = new.root.fifths - old.root.fifths
    return tuple(_moved(note, shift, fifths) for note in phrase)


def by_degree(
    phrase: Phrase,
    old: Chord,
    new: Chord,
    old_scale: str | None = None,
    new_scale: str | None = None,
) -> Phrase:
    """The phrase moved with the root, and each step of the old scale to that of the new.

    The scales are those that the chords have where they stand; left out, their plainest.
    """
    shift = _root_shift(old, new)
    from_, to = _steps(old, old_scale), _steps(new, new_scale)
    moved = []
    for note in phrase:
        above = degree_between(old.root, NoteName.parse(note.name))
        here = next(
            (d for d in from_.values() if (d.semitones - above.semitones) % 12 == 0), None
        )  # fmt: skip
        there = to.get(here.step) if here else None
        if here is None or there is None:
            moved.append(_moved(note, shift, new.root.fifths - old.root.fifths))
            continue
        semitones = shift + _within(there) - _within(here)
        name = new.root + there
        moved.append(_with(note, note.pitch + semitones, name))
    return tuple(moved)


def seats(
    phrase: Phrase, chord: Chord, scale: str | None = None, blues: NoteName | None = None
) -> tuple[Seat, ...]:
    """How each note of a phrase sits over a chord and the scale it has there, its plainest if
    left out.

    blues: the tonic, in a blues, where its blues scale and that of the chord clash with nothing.
    """
    tones = {degree.semitones % 12: degree for degree in chord.quality.degrees}
    inside = scale_notes(chord.root, scale or chord_scale(chord.quality))
    sounds = {name.pitch_class for name in inside}
    avoided = {name.pitch_class for name in avoid_notes(chord, inside)}
    roots = (blues, chord.root) if blues else ()
    blue = {name.pitch_class for root in roots for name in scale_notes(root, "blues")}
    found = []
    for note in phrase:
        above = (note.pitch - chord.root.pitch_class) % 12
        degree = tones.get(above) or degree_between(chord.root, NoteName.parse(note.name))
        if above in tones:
            how = "chord"
        elif (chord.quality.is_dominant and above in BLUE) or note.pitch % 12 in blue:
            how = "blue"
        elif note.pitch % 12 not in sounds:
            how = "outside"
        else:
            how = "avoid" if note.pitch % 12 in avoided else "scale"
        found.append(Seat(str(degree), how))
    return tuple(found)


def _root_shift(old: Chord, new: Chord) -> int:
    """Semitones between two roots, -5 to 6."""
    return (new.root.pitch_class - old.root.pitch_class + TRITONE - 1) % 12 - (TRITONE - 1)


def _steps(chord: Chord, scale: str | None) -> dict[int, Degree]:
    """The chord's scale by step, 1 to 7; where two share one, the chord's own tone."""
    steps: dict[int, Degree] = {}
    scale = scale or chord_scale(chord.quality)
    for degree in (*chord.quality.degrees, *scale_degrees(scale)):
        steps.setdefault(degree.step, degree)
    return steps


def _within(degree: Degree) -> int:
    """Semitones over the root within an octave: a ninth is a second."""
    return Degree(degree.step, degree.alter).semitones


def _moved(note: Note, semitones: int, fifths: int) -> Note:
    return _with(note, note.pitch + semitones, NoteName(NoteName.parse(note.name).fifths + fifths))


def _with(note: Note, pitch: int, name: NoteName) -> Note:
    """The note at another pitch, spelled with at most two sharps or flats."""
    turn = -12 if name.sharps > 2 else 12 if name.sharps < -2 else 0
    return replace(note, pitch=pitch, name=str(NoteName(name.fifths + turn)), place=None)
