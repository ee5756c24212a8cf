"""The solo as a part of the track: example solos and answers as notes of the band's own time.

The part is made of lines, as ``groove.lesson.solo.make`` writes them, and handed to the band ready
made. Weights and distances: ``patterns/lines.toml``, `solo`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import attrgetter
from typing import Any

from groove import library
from groove.band.lines.pitches import octave_within
from groove.band.lines.programs import solo_instrument
from groove.band.part import SOLO, Gesture, GridNote, Part
from groove.form.chart import Chart, Round
from groove.form.lesson_fields import ANSWERS, EXAMPLE
from groove.instrument.fretboard import read_tuning
from groove.lesson.line import SLIDE, LineNote, NoteLine
from groove.lesson.solo.make import answers, example_solo
from groove.rhythm.kit import INSTRUMENTS


def solo_part(chart: Chart, what: str = "", *, again: bool = False) -> Part | None:
    """The solo that a chart's form asks for; None if it asks for none.

    An example is played the first time round the first open line that has no melody, else the first
    time round; the rest is the student's. Answers are played throughout, but not over melodies.
    what: ``example`` or ``answers``, in place of the form's own wish. again: whether an example is
    played again each time round its line.
    """
    what = what or chart.form.lesson.solo
    if what not in (EXAMPLE, ANSWERS):
        return None
    make = example_solo if what == EXAMPLE else answers
    guitar = read_tuning("guitar")
    lines: dict[int, NoteLine] = {}
    notes: list[GridNote] = []
    for number, written in _times(chart, what, again):
        if written not in lines:
            lines[written] = make(chart.form, guitar, round=written)
        notes += _in_time(lines[written].notes, chart.rounds[number], chart)
    return Part(SOLO, tuple(notes))


def rounds_played(chart: Chart, what: str) -> Sequence[int]:
    """The numbers of the rounds in which a solo is played."""
    free = [n for n, time in enumerate(chart.rounds) if not any(p.melody for p in time.passes)]
    if what == ANSWERS:
        return free or range(len(chart.rounds))
    lines = chart.form.lines
    are_open = [n for n in free if lines[chart.rounds[n].line].is_open]
    return (are_open or free or [0])[:1]


def _times(chart: Chart, what: str, again: bool) -> Iterator[tuple[int, int]]:
    """The rounds in which a solo is played, each with the number of that for which it is written;
    again: with the later ones of the same line and key."""
    rounds, played = chart.rounds, rounds_played(chart, what)
    yield from ((number, number) for number in played)
    if again and what == EXAMPLE:
        (first,) = played
        same = rounds[first].line, rounds[first].key
        later = range(first + 1, len(rounds))
        yield from ((n, first) for n in later if (rounds[n].line, rounds[n].key) == same)


def _in_time(notes: Sequence[LineNote], time: Round, chart: Chart) -> Iterator[GridNote]:
    """The notes of a line in the time of its round, none over its end, one stroke after another; a
    pick-up that the count-in has no room for is left out."""
    figures = library.table("lines")[SOLO]
    instrument = INSTRUMENTS[solo_instrument(chart, chart.bars[time.first])]
    octave = octave_within([int(note.sounding) for note in notes], instrument)
    groups = [tuple(group) for _, group in groupby(notes, key=attrgetter("start"))]
    for before, group, after in zip([(), *groups], groups, [*groups[1:], ()], strict=False):
        start = time.start + group[0].start
        if start < chart.count_in:
            continue
        latest = time.start + after[0].start if after else time.end
        bends = {note.bend for note in group}
        beat = chart.bar_at(start).meter.beat_ticks
        gesture = _gesture(before, group, after, figures["hand"]["far"], beat)
        for note in group:
            # A string that is bent beside another one that is not is played where it is heard: all
            # that sounds together bends together.
            pitch = note.pitch if len(bends) == 1 else int(note.sounding)
            yield GridNote(
                start,
                min(note.length, latest - start),
                pitch + octave,
                _weight(note, figures["weights"], beat),
                string=note.place.string if note.place else 0,
                fret=note.place.fret if note.place else -1,
                gesture=gesture,
            )


def _gesture(
    before: Sequence[LineNote],
    group: Sequence[LineNote],
    after: Sequence[LineNote],
    far: int,
    beat: int,
) -> Gesture:
    """The moves of the left hand while notes sound that are struck together.

    before, after: the notes before and after them. far: the semitones of a slide from nowhere.
    beat: in ticks; a note that lasts as long may have vibrato.
    """
    note = group[0]
    bend = note.bend if len({each.bend for each in group}) == 1 else 0
    joined = note.joined if _is_joined(before, group) else ""
    comes = 0 if joined or note.joined != SLIDE else -far
    leads = bool(after) and after[0].joined == SLIDE and _is_joined(group, after)
    goes = max(-far, min(far, after[0].pitch - note.pitch)) if leads and not bend else 0
    shaken = not bend and not goes and note.length >= beat
    return Gesture(float(bend), note.release, comes, goes, shaken, joined)


def _is_joined(before: Sequence[LineNote], group: Sequence[LineNote]) -> bool:
    """True if notes follow those before them without a gap and without a stroke."""
    return bool(group[0].joined and before) and before[0].end >= group[0].start


def _weight(note: LineNote, weights: dict[str, Any], beat: int) -> float:
    """The weight of a note's stroke; beat: in ticks."""
    if note.joined:
        return float(weights[note.joined])
    return float(weights["held" if note.length >= weights["long"] * beat else "stroke"])
