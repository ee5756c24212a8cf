"""The form: all fields of a form file, read, checked and complete."""

from __future__ import annotations

from dataclasses import dataclass

from groove.form.chordline import Span
from groove.form.intensity import Stretch
from groove.rhythm.meter import Meter
from groove.rhythm.patterns import ENDS, BassPattern, CompingPattern, DrumPattern
from groove.rhythm.patterns import FEELS as FEELS
from groove.theory.keys import Key

KEY_CYCLES = ("none", "fourths", "fifths", "up", "down")
ENDINGS = (*ENDS, "loop")
SLOWEST, FASTEST = 30, 320  # felt beats a minute
MOST_STEP = 100  # beats a minute from a chorus to the next
LOWEST_A4, USUAL_A4, HIGHEST_A4 = 415, 440, 466  # Hz
MOST_CHORUSES = 100
MOST_COUNT_IN = 8  # bars
MOST_MINUTES = 60
LEAST_SWING, MOST_SWING = 1.0, 4.0  # long : short


@dataclass(frozen=True, slots=True)
class Section:
    """A named stretch of the form with its chords."""

    name: str
    spans: tuple[Span, ...]

    @property
    def bars(self) -> int:
        """Bars of the section."""
        return int(sum(span.bars for span in self.spans))


@dataclass(frozen=True, slots=True)
class Form:
    """All fields of a form file and the command line, each decided.

    tempo: felt beats a minute. swing_ratio: long part of the beat to short, 1 is straight;
    swing_follows_tempo: whether it is the usual one of the feel and changes with the tempo.
    tempo_step: how much faster each chorus is; key_cycle: where it goes from the key before;
    key, tempo and swing_ratio are those of the first. tuning_note: whether one is sounded
    before the count-in. a4: the A above middle C in Hz.
    turnaround: the chords of the last bars, empty if off. intensity: how busy the band plays,
    empty for the usual slow rise. tightness: 0 as people play, 1 the bare grid. fifths: how far
    absolute symbols are moved on the line of fifths, when the key differs from the one they are
    written in. notes: remarks for people, though nothing is wrong. drums, bass,
    comping: the patterns, in a form file given by name.
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
    comping: CompingPattern
    seed: int
    tightness: float = 0.0
    fifths: int = 0
    tempo_step: float = 0.0
    key_cycle: str = "none"
    tuning_note: bool = False
    a4: float = USUAL_A4
    swing_follows_tempo: bool = False
    notes: tuple[str, ...] = ()

    @property
    def bars(self) -> int:
        """Bars of one chorus."""
        return sum(section.bars for section in self.sections)
