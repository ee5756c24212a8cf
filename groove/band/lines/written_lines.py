"""Plays the melodies of the sections and the riffs behind them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from groove import library
from groove.band.changes import Changes
from groove.band.lines.pitches import DegreePitches, moved, octave_within, within
from groove.band.part import MELODY, RIFF, GridNote, Part
from groove.form.chart import Bar, Chart, Pass
from groove.form.written_chords import bar_meters
from groove.rhythm.box_notation import STROKE
from groove.rhythm.kit import INSTRUMENTS
from groove.rhythm.note_line import PlacedNote, Riff, WrittenNote, in_bars
from groove.theory.keys import Key


@dataclass(frozen=True, slots=True)
class _Note:
    """A written note in time."""

    start: int
    length: int
    note: WrittenNote

    @property
    def end(self) -> int:
        return self.start + self.length


def play_melody(chart: Chart) -> Part | None:
    """The melodies of the sections as they are played; None if there are none."""
    notes: list[GridNote] = []
    changes = Changes(chart)
    for played in chart.passes:
        if played.melody:
            timed = list(_melody_notes(chart, played, played.melody))
            notes += _pitched(timed, chart, changes, played, played.melody, MELODY)
    return Part(MELODY, tuple(_one_at_a_time(notes))) if notes else None


def play_riffs(chart: Chart) -> Part | None:
    """The riffs of the passes that name one, going round from the first bar of each; None if
    there are none. A note on a pushed chord comes with the push."""
    notes: list[GridNote] = []
    changes = Changes(chart)
    for played in chart.passes:
        if played.riff:
            timed = _pushed(list(_riff_notes(chart, played, played.riff)), changes)
            notes += _pitched(timed, chart, changes, played, played.riff, RIFF)
    return Part(RIFF, tuple(_one_at_a_time(notes))) if notes else None


def line_instrument(name: str, bar: Bar, line: Riff | None) -> str:
    """The instrument of riff or melody in a bar: the one chosen for the player, else the line's
    own, else the usual one."""
    usual: str = library.table("lines")[name]["instrument"]
    return dict(bar.setting.instruments).get(name) or (line.instrument if line else "") or usual


def _melody_notes(chart: Chart, played: Pass, melody: Riff) -> Iterator[_Note]:
    usual = chart.usual_meter(played)
    section = played.section
    meters = bar_meters(section.spans_with(played.ending), usual)
    most = max(section.bars_with(ending) for ending in range(max(1, len(section.time_bars))))
    written = in_bars(melody.notes, meters + [usual] * (most - len(meters)))
    first = chart.form.lines[played.line].plays[played.place].first
    for bar, notes in zip(chart.bars_of(played), written[first:], strict=False):
        yield from _in_time(bar, notes, played.end)


def _riff_notes(chart: Chart, played: Pass, riff: Riff) -> Iterator[_Note]:
    bars = in_bars(riff.notes, [chart.usual_meter(played)], around=True)
    for index, bar in enumerate(chart.bars_of(played)):
        yield from _in_time(bar, bars[index % len(bars)], played.end)


def _in_time(bar: Bar, notes: tuple[PlacedNote, ...], end: int) -> Iterator[_Note]:
    """The notes of a bar that it has room for, none over the end of its pass."""
    for placed in notes:
        start = bar.start + placed.at
        if placed.at < bar.length:
            yield _Note(start, min(placed.length, end - start), placed.note)


def _pushed(notes: list[_Note], changes: Changes) -> list[_Note]:
    """The notes, one at the place of a pushed chord as early as the chord."""
    early = {slot.written_start: slot.start for slot in changes.slots if slot.early}
    if not early:
        return notes
    timed = []
    for note in notes:
        start = early.get(note.start, note.start)
        timed.append(replace(note, start=start, length=note.end - start))
    kept = [
        note if note.end <= after.start else replace(note, length=after.start - note.start)
        for note, after in pairwise(timed)
    ] + timed[-1:]
    return [note for note in kept if note.length > 0]


def _pitched(
    notes: list[_Note], chart: Chart, changes: Changes, played: Pass, line: Riff, name: str
) -> Iterator[GridNote]:
    """The notes that sound, with their pitches.

    Note names move with the key of the pass, all in one octave if the instrument has them there.
    """
    instrument = INSTRUMENTS[line_instrument(name, chart.bars[played.first], line)]
    degrees = DegreePitches(line, instrument)
    fifths = played.key.tonic.fifths - _written_key(chart, played).tonic.fifths
    named = [moved(note.note.pitch, fifths) for note in notes if note.note.name]
    octave = octave_within(named, instrument)
    for note in notes:
        written = note.note
        if written.degree:
            chord = changes.slot_at(note.start).chord
            pitch = degrees.pitch(written.degree, written.down, chord, played.key)
        elif written.name:
            pitch = within(moved(written.pitch, fifths) + octave, instrument)
        else:
            continue
        yield GridNote(note.start, note.length, pitch, STROKE)


def _written_key(chart: Chart, played: Pass) -> Key:
    """The key that the note names of a section are written in."""
    own = played.section.own.get("key")
    return Key.parse(own) if own else chart.form.written_key


def _one_at_a_time(notes: list[GridNote]) -> list[GridNote]:
    """The notes in order, each ended where the next begins."""
    ordered = sorted(notes, key=lambda note: note.start)
    starts = [note.start for note in ordered]
    kept = []
    for note in ordered:
        place = bisect_left(starts, note.start + 1)
        end = min(note.start + note.length, starts[place] if place < len(starts) else 1 << 60)
        kept.append(replace(note, length=end - note.start))
    return kept
