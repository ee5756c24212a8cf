"""Melodies of sections as written notes, bar by bar."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from groove.band.lines.written_lines import play_melody
from groove.form.chart import Chart
from groove.handout.chart.bar import MelodyNote
from groove.handout.drawing.staff.rhythm import SHORTEST, Stroke, notes
from groove.theory.keys import Key
from groove.theory.pitch import NoteName

OCTAVE = 12


def melodies(chart: Chart, keys: Chart, higher: int) -> Mapping[int, tuple[MelodyNote, ...]]:
    """The melody of each bar that has one, by its index in the chart.

    chart: as it sounds. keys: the same in the keys of a reader, whose notes stand so many
    semitones higher. A bar inside a melody in which nothing is played has a rest.
    """
    part = play_melody(chart)
    if part is None:
        return {}
    inside = [
        index
        for played in chart.passes
        if played.melody
        for index in range(played.first, played.last)
    ]
    strokes: dict[int, list[tuple[Stroke, int]]] = {index: [] for index in inside}
    places = {bar.start: index for index, bar in enumerate(chart.bars)}
    for note in part.notes:
        bar = chart.bar_at(note.start)
        at, left = note.start - bar.start, note.length
        tied = False
        while left > 0 and places[bar.start] in strokes:
            length = min(left, bar.length - at)
            left -= length
            stroke = Stroke(at, length, tied=tied, ties=left > 0)
            strokes[places[bar.start]].append((stroke, note.pitch + higher))
            tied, at = True, 0
            bar = chart.bar_at(bar.end)
    return {
        index: _written(found, keys.bars[index].key, chart, index)
        for index, found in strokes.items()
    }


def _written(
    strokes: list[tuple[Stroke, int]], key: Key, chart: Chart, index: int
) -> tuple[MelodyNote, ...]:
    """The notes and rests of a bar, each with its name and octave."""
    found: list[MelodyNote] = []
    for note in notes([stroke for stroke, _ in strokes], chart.bars[index].meter):
        name, octave = NoteName(0), 4
        if not note.rest:
            near = note.start + SHORTEST // 2  # places may be moved to ones that can be written
            pitch = [pitch for stroke, pitch in strokes if stroke.start <= near][-1]
            name = spelled(pitch, key)
            octave = (pitch - name.sharps) // OCTAVE - 1
        found.append(MelodyNote(replace(note, accent=False), name, octave))
    return tuple(found)


def spelled(pitch: int, key: Key) -> NoteName:
    """The name of a MIDI note in a key: raised fourth, lowered second, third, sixth and seventh.

    >>> [str(spelled(pitch, Key.parse("D"))) for pitch in (61, 63, 68)]
    ['C#', 'Eb', 'G#']
    """
    tonic = key.tonic.fifths
    names = (NoteName(fifths) for fifths in range(tonic - 5, tonic + 7))
    return next(name for name in names if name.pitch_class == pitch % OCTAVE)
