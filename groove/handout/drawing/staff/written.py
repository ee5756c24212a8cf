"""A line as it is written: bar by bar in notes and rests that can be written, with their heads.

A line is one voice: what begins together is a double stop, and ends where the next note begins.
Notes are cut at the bar lines and beats and tied, as groove.handout.drawing.staff.rhythm does.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from groove.handout.drawing.staff.clefs import Accidentals, step_of
from groove.handout.drawing.staff.rhythm import SHORTEST, Note, Stroke, notes
from groove.instrument.fretboard import Tuning
from groove.lesson.line import LineBar, LineNote, NoteLine
from groove.rhythm.meter import METERS
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName, octave

# Common practice: guitars and basses are written an octave higher than they sound, mandolin and
# ukulele as they sound. So is what goes below G3 in the treble clef, or below C2 in the bass clef.
TREBLE_STRING = 55  # MIDI notes: a neck whose highest string is lower is written in the bass clef
AS_IT_SOUNDS = {"treble": 55, "bass": 36}
PLAIN_BAR = LineBar(
    0, METERS["4/4"].bar_ticks, METERS["4/4"], Key(NoteName(0)), ()
)  # where a line has no bars


@dataclass(frozen=True, slots=True)
class Clef:
    """A clef. name: ``"treble"`` or ``"bass"``. octaves: so many higher than it sounds is written,
    for which the clef has an 8 under it."""

    name: str
    octaves: int = 0


@dataclass(frozen=True, slots=True)
class Head:
    """A note head. step: over the middle line. octave: as written. sign: its accidental, empty for
    none. tied, ties: whether it goes on from the head before, and into the next."""

    note: LineNote
    step: int
    octave: int
    sign: str
    tied: bool
    ties: bool


@dataclass(frozen=True, slots=True)
class NoteColumn:
    """A column of the staff: a note's value and its heads, the lowest first, or a rest."""

    note: Note
    heads: tuple[Head, ...] = ()


@dataclass(frozen=True, slots=True)
class StaffBar:
    """A bar as written. number: in the line, from 1; 0 and less for a pick-up. start: the tick of
    the line from which the places of its notes and chords count; begins: that of its first
    column, later than 0 in a pick-up."""

    number: int
    start: int
    bar: LineBar
    columns: tuple[NoteColumn, ...]

    @property
    def begins(self) -> int:
        """The tick of the bar at which its first column begins."""
        return self.columns[0].note.start

    @property
    def chords(self) -> tuple[tuple[int, Chord], ...]:
        """The chords that are written over it; none over a pick-up."""
        return self.bar.chords if self.number > 0 else ()


def clef_for(tuning: Tuning | None, clef: str = "treble") -> Clef:
    """The clef for a neck, else one for a reader who writes what sounds.

    >>> from groove.instrument.fretboard import read_tuning
    >>> [clef_for(read_tuning(name)) for name in ("guitar", "bass", "mandolin")]
    [Clef(name='treble', octaves=1), Clef(name='bass', octaves=1), Clef(name='treble', octaves=0)]
    """
    if tuning is None:
        return Clef(clef)
    name = "treble" if max(tuning.open_strings) >= TREBLE_STRING else "bass"
    return Clef(name, int(min(tuning.open_strings) < AS_IT_SOUNDS[name]))


def written_line(line: NoteLine, clef: Clef) -> tuple[StaffBar, ...]:
    """The bars of a line as they are written, a pick-up before them, whose rests are left out.

    Chords that go on from the bar before are not written again.
    """
    groups = _groups(line.notes)
    bars = _bars(line)
    found = []
    for number, bar in bars:
        columns = _columns(bar, groups, clef)
        if number <= 0 and number == bars[0][0]:
            sounding = next(n for n, column in enumerate(columns) if column.heads)
            columns = columns[sounding:]
        found.append(StaffBar(number, bar.start, bar, columns))
    return _with_changes_only(found)


def _groups(given: Sequence[LineNote]) -> list[tuple[int, int, tuple[LineNote, ...]]]:
    """The notes that begin together, with their start and end; none goes on under the next."""
    ordered = sorted(given, key=lambda note: (note.start, note.pitch))
    groups = [(s, tuple(found)) for s, found in groupby(ordered, key=lambda note: note.start)]
    groups = [
        groups[n] if not n else _all_joined(groups[n - 1], groups[n]) for n in range(len(groups))
    ]
    ends = [*(start for start, _ in groups[1:]), max((n.end for n in given), default=0)]
    return [
        (start, min(end, max(note.end for note in found)), found)
        for (start, found), end in zip(groups, ends, strict=False)
    ]


def _all_joined(
    before: tuple[int, tuple[LineNote, ...]], here: tuple[int, tuple[LineNote, ...]]
) -> tuple[int, tuple[LineNote, ...]]:
    """Notes that begin together, all of them joined as one is, where the ones before lie on the
    same strings: a double stop is slid as a whole."""
    joined = next((note.joined for note in here[1] if note.joined), "")
    strings = {note.place.string for note in before[1] if note.place}
    if not joined or any(not n.place or n.place.string not in strings for n in here[1]):
        return here
    return here[0], tuple(replace(note, joined=joined) for note in here[1])


def _bars(line: NoteLine) -> list[tuple[int, LineBar]]:
    """The bars of a line by number, with those of a pick-up and as many as its notes need."""
    bars = list(line.bars) or [PLAIN_BAR]
    last = max((note.end for note in line.notes), default=0)
    while bars[-1].end < last:
        bars.append(replace(bars[-1], start=bars[-1].end, chords=bars[-1].chords[-1:]))
    numbered = list(enumerate(bars, 1))
    first = min((note.start for note in line.notes), default=0)
    while numbered[0][1].start > first:
        number, bar = numbered[0]
        numbered.insert(0, (number - 1, replace(bar, start=bar.start - bar.length)))
    return numbered


def _columns(
    bar: LineBar, groups: Sequence[tuple[int, int, tuple[LineNote, ...]]], clef: Clef
) -> tuple[NoteColumn, ...]:
    here = [group for group in groups if group[0] < bar.end and group[1] > bar.start]
    strokes = [
        Stroke(
            max(start - bar.start, 0),
            min(end, bar.end) - max(start, bar.start),
            tied=start < bar.start,
            ties=end > bar.end,
        )
        for start, end, _ in here
    ]
    signs = Accidentals(bar.key.signature)
    columns = []
    for note in notes(strokes, bar.meter):
        if note.rest:
            columns.append(NoteColumn(note))
            continue
        near = note.start + SHORTEST // 2  # places may be moved to ones that can be written
        struck = [n for n, stroke in enumerate(strokes) if stroke.start <= near][-1]
        heads = tuple(_head(each, note, signs, clef) for each in here[struck][2])
        columns.append(NoteColumn(note, heads))
    return tuple(columns)


def _head(sounding: LineNote, note: Note, signs: Accidentals, clef: Clef) -> Head:
    written = octave(sounding.name, sounding.pitch) + clef.octaves
    over = note.tied and note.start == 0
    sign = signs.sign(sounding.name, written, tied_over=over)
    step = step_of(sounding.name, written, clef.name)
    return Head(sounding, step, written, sign, note.tied, note.ties)


def _with_changes_only(bars: list[StaffBar]) -> tuple[StaffBar, ...]:
    """The bars without the chord at their beginning where it goes on from the bar before."""
    found = bars[:1]
    for before, staff_bar in pairwise(bars):
        chords, last = staff_bar.bar.chords, before.chords[-1:]
        if last and chords and chords[0][1] == last[0][1] and staff_bar.number % 4 != 1:
            chords = chords[1:]
        found.append(replace(staff_bar, bar=replace(staff_bar.bar, chords=chords)))
    return tuple(found)


def joined_from(head: Head, before: NoteColumn | None) -> Head | None:
    """The head from which one is hammered, pulled or slid, of the column before: on its string,
    else the nearest."""
    if before is None or not before.heads:
        return None
    place = head.note.place

    def away(other: Head) -> tuple[bool, int]:
        same = place and other.note.place and place.string == other.note.place.string
        return not same, abs(other.step - head.step)

    return min(before.heads, key=away)
