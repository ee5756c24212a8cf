"""The bass line: notes outside the key, runs, leaps, the one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from statistics import fmean
from typing import Any

from groove.band.part import BASS, GridNote
from groove.rhythm.patterns import BassPattern
from tests.bench.band.performance import (
    BLUES,
    SONG,
    Performance,
    drums_for,
    patterns,
    performances,
)
from tests.bench.band.table import Figure, Row, share

MAJOR = frozenset({0, 2, 4, 5, 7, 9, 11})
LONGEST_RUN = 12
OCTAVE = 12
LEAVES_ONE = ("one-drop",)


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each bass pattern, over a song with minor chords and a blues, in C."""
    found = []
    for pattern in patterns("bass", names):
        assert isinstance(pattern, BassPattern)
        drums = drums_for("bass", pattern)
        given = {"bass": pattern.name, "key": "C", "choruses": 5} | fields
        song = list(performances(drums, seeds, SONG, **given))
        blues = list(performances(drums, seeds, BLUES, **given))
        found.append(Row(pattern.name, tuple(_figures(pattern, song, blues))))
    return found


def _figures(
    pattern: BassPattern, song: list[Performance], blues: list[Performance]
) -> Iterator[Figure]:
    outside = [count for take in song for count in outside_key(take)]
    yield Figure("outside", 1000 * fmean(outside), None, 0, "{:.0f}/1000")
    leans = [lean for take in blues + song for lean in leaning(take)]
    yield Figure("leans", 1000 * fmean(leans), None, 0, "{:.0f}/1000")
    runs = [run for take in song + blues for run in equal_runs(take)]
    yield Figure("longest", max(runs), None, LONGEST_RUN, "{:.0f}")
    leaps = [abs(a.pitch - b.pitch) for take in song + blues for a, b in pairwise(notes_of(take))]
    yield Figure("over octave", sum(leap > OCTAVE for leap in leaps), None, 0, "{:.0f}")
    yield Figure("octaves", share(sum(leap == OCTAVE for leap in leaps), len(leaps)))
    free = [one for take in song + blues for one in one_is_free(take)]
    yield Figure("one free", fmean(free), 0.5 if pattern.name in LEAVES_ONE else None)
    steps = [near for take in song + blues for near in approaches(take)]
    yield Figure("approach", fmean(steps) if steps else None)


def notes_of(take: Performance) -> list[GridNote]:
    """The notes of the bass in the choruses."""
    return take.during(BASS, take.chart.start, take.bars[-1].end)


def outside_key(take: Performance) -> Iterator[bool]:
    """For each note over a chord of the key, whether it is outside the key and leads nowhere.

    An approach by a semitone to the next note, and a tone of the chord, are in place.
    """
    tonic = take.form.key.tonic.pitch_class
    for note, after in pairwise(notes_of(take)):
        chord = take.chart.bar_at(note.start).slots
        slot = next((s for s in chord if s.start <= note.start < s.end), chord[-1])
        tones = {tone.pitch_class for tone in slot.chord.notes}
        inside = (note.pitch - tonic) % 12 in MAJOR or note.pitch % 12 in tones
        yield not inside and abs(after.pitch - note.pitch) > 1


def leaning(take: Performance) -> Iterator[bool]:
    """For each note, whether it is outside its chord and held for half a bar or more."""
    for note in notes_of(take):
        bar = take.chart.bar_at(note.start)
        slot = next((s for s in bar.slots if s.start <= note.start < s.end), bar.slots[-1])
        tones = {tone.pitch_class for tone in (*slot.chord.notes, slot.lowest)}
        inside = min(slot.end, note.start + note.length) - note.start
        yield note.pitch % 12 not in tones and 2 * inside >= bar.length


def equal_runs(take: Performance) -> Iterator[int]:
    """The number of notes of one pitch in a row, where no pedal is asked for."""
    for _, run in groupby(note.pitch for note in notes_of(take)):
        yield len(list(run))


def one_is_free(take: Performance) -> Iterator[bool]:
    """For each bar, whether the bass neither begins a note on its first beat nor holds one."""
    ends = 0
    notes = iter(notes_of(take))
    note = next(notes, None)
    for bar in take.bars:
        while note and note.start < bar.start:
            ends, note = note.start + note.length, next(notes, None)
        yield ends <= bar.start and not (note and note.start == bar.start)


def approaches(take: Performance) -> Iterator[bool]:
    """At each change, whether the note before it lies a step or a fifth or fourth away."""
    notes = notes_of(take)
    starts = {note.start: place for place, note in enumerate(notes)}
    for slot in take.changes:
        place = starts.get(slot.start, 0)
        if place:
            yield abs(notes[place].pitch - notes[place - 1].pitch) in (1, 2, 5, 7)
