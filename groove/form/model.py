"""The form: all fields of a form file, read, checked and complete."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from groove.form.chordline import Span
from groove.form.intensity import Stretch
from groove.form.lesson_fields import NO_LESSON, LessonFields
from groove.rhythm.meter import Meter
from groove.rhythm.note_line import Riff
from groove.rhythm.patterns import FEELS as FEELS
from groove.rhythm.patterns import BassPattern, CompingPattern, DrumPattern
from groove.theory.keys import Key
from groove.theory.pitch import NoteName

KEY_CYCLES = ("none", "fourths", "fifths", "up", "down")
SLOWEST, FASTEST = 30, 320  # felt beats a minute
MOST_STEP = 100  # beats a minute from a chorus to the next
LOWEST_A4, USUAL_A4, HIGHEST_A4 = 415, 440, 466  # Hz
MOST_CHORUSES = 100
MOST_COUNT_IN = 8  # bars
MOST_MINUTES = 60
LEAST_SWING, MOST_SWING = 1.0, 4.0  # long : short
APART = ("key", "meter", "drums", "feel", "swing_ratio")
"""The fields of its own by which a section stands apart from the others."""


@dataclass(frozen=True, slots=True)
class Own:
    """The fields that a section or a line has of its own, checked, by name."""

    fields: tuple[tuple[str, Any], ...] = ()

    def get(self, name: str, default: Any = None) -> Any:
        """The value of a field, or `default` where it is left out."""
        return next((value for field, value in self.fields if field == name), default)

    def __contains__(self, name: str) -> bool:
        return any(field == name for field, _ in self.fields)


NOTHING = Own()
C_MAJOR = Key(NoteName(0))


@dataclass(frozen=True, slots=True)
class Section:
    """A named stretch of the form with its chords.

    time_bars: what follows the chords the first time, the second and so on; the last holds for all
    later times.
    """

    name: str
    spans: tuple[Span, ...]
    time_bars: tuple[tuple[Span, ...], ...] = ()
    own: Own = NOTHING

    @property
    def bars(self) -> int:
        """Bars of the section, its first-time bars included."""
        return self.bars_with(0)

    def bars_with(self, ending: int) -> int:
        """Bars of the section with the time bars of that number, counted from 0."""
        return bars_of(self.spans_with(ending))

    def spans_with(self, ending: int) -> tuple[Span, ...]:
        """The chords with the time bars of that number, counted from 0."""
        if not self.time_bars:
            return self.spans
        return self.spans + self.time_bars[min(ending, len(self.time_bars) - 1)]

    @property
    def all_spans(self) -> tuple[Span, ...]:
        """The chords, and those of all time bars, as they stand in the file."""
        return sum(self.time_bars, self.spans)


def bars_of(spans: Sequence[Span]) -> int:
    """The bars that some chords fill."""
    return int(sum(span.bars for span in spans))


@dataclass(frozen=True, slots=True)
class Play:
    """A section, or a part of one, played once.

    first, last: its bars that are played, counted from 0, the last not included. ending: its time
    bars, counted from 0.
    """

    section: Section
    first: int
    last: int
    ending: int = 0


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the order of play: what is played, and how many times.

    name: as the line is called, such as solos; empty if it has no name. is_open: whether it goes on
    as long as the band wants, and an option may say how many times.
    """

    plays: tuple[Play, ...]
    times: int = 1
    name: str = ""
    is_open: bool = False
    own: Own = NOTHING

    @property
    def bars(self) -> int:
        """Bars of one time round."""
        return sum(play.last - play.first for play in self.plays)


@dataclass(frozen=True, slots=True)
class Form:
    """All fields of a form file and the command line, each decided.

    tempo: felt beats a minute. swing_ratio: long part of the beat to short, 1 is straight;
    swing_follows_tempo: whether it is the usual one of the feel and changes with the tempo.
    tempo_step: how much faster each chorus is; key_cycle: where it goes from the key before; key,
    tempo and swing_ratio are those of the first. tuning_note: whether one is sounded before the
    count-in. a4: the A above middle C in Hz. pickup: chords under the end of the count-in. order:
    the lines of the road, empty where the form is played as it stands. turnaround: the chords of
    the last bars, empty if off. intensity: how busy the band plays, empty for the usual slow rise.
    tightness: 0 as people play, 1 the bare grid. plain: the players who leave out their
    articulation. levels: by player the dB by which it is louder than the mix has it; places: by
    player its place from left, -100, to right, 100. written_key, written_tempo: those that the
    file's own keys, absolute symbols and tempi are in. unsaid: of count_in and ending those that
    the file leaves open, so that they suit another tempo. notes: remarks for people, though nothing
    is wrong. drums, bass, comping: the patterns, in a form file given by name. named: the fields on
    which patterns, metre and feel depend, as file and options say them. own: the fields of the
    whole form that a section may have as well. lesson: the fields of the lesson sheet and the solo
    part.
    """

    title: str
    key: Key
    tempo: float
    meter: Meter
    feel: str
    swing_ratio: float
    sections: tuple[Section, ...]
    quick_change: bool
    turnaround: tuple[Span, ...]
    choruses: int
    intensity: tuple[Stretch, ...]
    count_in: int
    ending: str
    drums: DrumPattern
    bass: BassPattern
    comping: tuple[CompingPattern, ...]
    seed: int
    tightness: float = 0.0
    plain: tuple[str, ...] = ()
    written_key: Key = C_MAJOR
    written_tempo: float = 0.0
    tempo_step: float = 0.0
    key_cycle: str = "none"
    tuning_note: bool = False
    a4: float = USUAL_A4
    swing_follows_tempo: bool = False
    by: str = ""
    percussion: tuple[str, ...] = ()
    pickup: tuple[Span, ...] = ()
    order: tuple[Line, ...] = ()
    riffs: tuple[Riff, ...] = ()
    levels: tuple[tuple[str, float], ...] = ()
    places: tuple[tuple[str, int], ...] = ()
    named: Own = NOTHING
    own: Own = NOTHING
    unsaid: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    lesson: LessonFields = NO_LESSON

    def is_plain(self, player: str, kind: str = "") -> bool:
        """True if a player leaves out grace notes, slides, flams, pedal, swell and rotary.

        kind: guitar or keys, of a player of chords whose part is called comping.
        """
        return player in self.plain or kind in self.plain

    @property
    def bars(self) -> int:
        """Bars of one chorus; with an order, of all sections as they stand in the file."""
        return sum(play.last - play.first for play in self.all_sections)

    @property
    def all_sections(self) -> tuple[Play, ...]:
        """The sections one after the other as they stand in the file."""
        return plays_of(self.sections)

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines of the road; without an order one that is played as often as there are
        choruses."""
        if self.order:
            return self.order
        return (Line(self.all_sections, self.choruses, is_open=True),)

    @property
    def by_section(self) -> bool:
        """Whether an order says what is played, or sections differ in key, metre or feel."""
        apart = any(field in section.own for section in self.sections for field in APART)
        return bool(self.order) or apart

    @property
    def fifths(self) -> int:
        """How far the file's own keys and absolute symbols move on the line of fifths."""
        return self.key.tonic.fifths - self.written_key.tonic.fifths


def plays_of(sections: Sequence[Section]) -> tuple[Play, ...]:
    """Whole sections one after the other, with the bars of the first time, second and so on."""
    times: dict[str, int] = {}
    plays = []
    for section in sections:
        ending = times.get(section.name, 0)
        times[section.name] = ending + 1
        plays.append(Play(section, 0, section.bars_with(ending), ending))
    return tuple(plays)
