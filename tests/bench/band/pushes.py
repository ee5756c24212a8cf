"""Pushes: changes that the band anticipates together, and what follows on the beat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from groove.band.part import BASS, COMPING, DRUMS
from groove.form.chart import Slot
from groove.rhythm.patterns import DrumPattern
from groove.theory.chords import Chord
from tests.bench.band.performance import SONG, Performance, patterns, performances
from tests.bench.band.table import Figure, Row, share

TOGETHER = ("rock", "soul", "swing")  # families that push together
GUIDES = (3, 7)


@dataclass(frozen=True, slots=True)
class Pushed:
    """The events at a change: whether comping, bass and drums sound it early and hold it over,
    on one tick; whether the chord is struck again on the beat."""

    comping: bool
    bass: bool
    together: bool
    again: bool


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each drum pattern, over a blues and a song at the levels 2 and 3."""
    found = []
    for pattern in patterns("drums", names):
        assert isinstance(pattern, DrumPattern)
        takes = [
            take
            for level in ("2", "3")
            for chords in ({}, {"chords": SONG})
            for take in performances(
                pattern.name, seeds, **{"intensity": level, "choruses": 4} | fields | chords
            )
        ]
        found.append(Row(pattern.name, tuple(_figures(pattern, takes))))
    return found


def _figures(pattern: DrumPattern, takes: list[Performance]) -> Iterator[Figure]:
    changes = [pushed_at(take, slot) for take in takes for slot in take.changes]
    of = len(changes)
    early = [change for change in changes if change.comping]
    limits = (0.1, 0.3) if pattern.family in TOGETHER else (None, None)
    yield Figure("together", share(sum(c.together for c in changes), of), *limits)
    yield Figure("comping early", share(len(early), of))
    yield Figure("bass early", share(sum(change.bass for change in changes), of))
    again = share(sum(change.again for change in early), len(early))
    yield Figure("struck again", again, None, 0.1)


def pushed_at(take: Performance, slot: Slot) -> Pushed:
    """The events at the written place of a chord."""
    beat = take.form.meter.beat_ticks
    at = slot.written_start
    before = take.chart.bar_at(at - 1).slots[-1].chord
    early = take.during(COMPING, at - beat // 2, at)
    last = max((note.start for note in early), default=-1)
    chord = {note.pitch % 12 for note in early if note.start == last}
    comping = bool(chord) and _sounds(slot.chord, chord) > _sounds(before, chord)
    notes = take.during(BASS, at - beat, at)
    low = notes[-1] if notes else None
    root = slot.lowest.pitch_class
    bass = low is not None and low.pitch % 12 == root and low.start + low.length > at
    hands = take.parts["comping"]
    over = any(note.start == last and note.start + note.length > at for note in hands.notes)
    again = any(note.start == at for note in take.during(COMPING, at, at + 1))
    drums = any(note.row in ("kick", "snare") for note in take.during(DRUMS, last, last + 1))
    swings = take.form.drums.family == "swing"
    lows = swings or (bass and low is not None and low.start == last)
    return Pushed(comping, bass, comping and over and not again and drums and lows, again)


def _sounds(chord: Chord, classes: set[int]) -> int:
    """How many of the chord's root, third and seventh are in some pitch classes."""
    tones = [chord.root, *chord.notes[1:2], *chord.notes[3:4]]
    return len({note.pitch_class for note in tones} & classes)
