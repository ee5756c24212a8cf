"""Strokes of a player of chords, and what sounds around them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from groove.band.part import GridNote
from groove.theory.chords import Chord

CHORD, LINE, TOP = "chord", "line", "top"  # rows; the others are voice-1 and so on
DEAD, MUTED = "o", "mM"  # marks; one of a palm-muted stroke
UNSTATED = DEAD + MUTED  # of which no chord can be told


@dataclass(frozen=True, slots=True)
class Hit:
    """A stroke in time: of the whole chord, of one voice of it, or of a figure in degrees."""

    start: int
    length: int
    chord: Chord
    row: str
    mark: str
    accent: bool

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length


class Spans:
    """The lowest and the highest pitch that a part has in a stretch of time."""

    def __init__(self, notes: Sequence[GridNote]) -> None:
        self._notes = notes
        self._starts = [note.start for note in notes]
        self._longest = max((note.length for note in notes), default=0)

    def at(self, start: int, end: int) -> tuple[int, int] | None:
        """The span from a tick to another; None where nothing sounds."""
        first = bisect_left(self._starts, start - self._longest)
        past = bisect_left(self._starts, end)
        pitches = [n.pitch for n in self._notes[first:past] if n.start + n.length > start]
        return (min(pitches), max(pitches)) if pitches else None


def let_go(notes: list[GridNote], tick: int) -> None:
    """End, in place, those of the last notes that would sound over a time."""
    for place in range(len(notes) - 1, max(-1, len(notes) - 24), -1):
        note = notes[place]
        if note.start + note.length > tick:
            notes[place] = replace(note, length=tick - note.start)
