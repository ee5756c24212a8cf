"""The bassist: the root at every change, the idiom's line between, walking where asked.

The line agrees with the kick, accents the notes that the kick strikes too, and is plain while
the drummer fills.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import replace
from itertools import groupby, pairwise
from random import Random

from groove.band.bass.bass_pitches import (
    APPROACH,
    DEAD,
    ROOT,
    TO_COME,
    WALK,
    LineNote,
    line_pitches,
    walked_pitches,
)
from groove.band.bass.bass_positions import positions
from groove.band.bass.kick_lock import KickLock
from groove.band.changes import Changes
from groove.band.figures import with_figures
from groove.band.marked_chords import bass_roots, with_pushes, without_silent
from groove.band.part import BASS, GridNote, Part, weight
from groove.band.plan.plan import Plan
from groove.form.chart import Bar, Chart, FigureStroke, Slot
from groove.rhythm.box_notation import Cell

WITH_KICK = 0.06  # weight that a note gains from the kick


def play_bass(plan: Plan, drums: Part, rng: Random) -> Part:
    """The bass part of a performance, with the drummer's; rng is the bassist's own."""
    chart = plan.chart_for(BASS)
    changes, beat = Changes(chart), chart.bars[0].meter.beat_ticks
    lock = KickLock(drums, changes, rng)
    events = _line(chart, lock, changes)
    fills = tuple(fill for fill in drums.fills if not chart.bar_at(fill[0]).bass.is_tied)
    events = _plain_in_fills(events, fills, changes, beat)
    events = _with_roots(events, changes, chart)
    events = with_pushes(events, changes, beat, _pushed)
    events = _one_after_the_other(with_figures(events, chart, changes, _together, keeps_time=True))
    events = [_on_pedal(event, changes) for event in events]
    pitches: list[int] = []
    for pattern, group in groupby(events, key=lambda event: chart.bar_at(event.start).bass):
        stretch = list(group)
        walks = any(event.mark == WALK for event in stretch)
        find = walked_pitches if walks else line_pitches
        pitches += find(stretch, changes, chart, pattern.range, rng)
    kicks = frozenset(lock.kicks)
    notes = tuple(
        GridNote(event.start, event.length, pitch, _weight(event, kicks), "", string, fret)
        for event, pitch, (string, fret) in zip(events, pitches, positions(pitches), strict=True)
    )
    return Part(BASS, tuple(without_silent(bass_roots(notes, changes), changes)))


def _pushed(slot: Slot, length: int) -> LineNote:
    return LineNote(slot.start, length, ROOT, True)


def _together(_slot: Slot, stroke: FigureStroke) -> LineNote:
    return LineNote(stroke.start, stroke.length, ROOT, stroke.accent)


def _on_pedal(event: LineNote, changes: Changes) -> LineNote:
    """A note of the line, its approach left out over a pedal note."""
    if event.mark == APPROACH and changes.slot_at(event.start).pedal:
        return replace(event, mark=ROOT, octave=0)
    return event


def _one_after_the_other(events: list[LineNote]) -> list[LineNote]:
    """The line with each note ended where the next begins."""
    cut = [
        replace(event, length=min(event.length, later.start - event.start))
        for event, later in pairwise(events)
    ]
    return [*cut, *events[-1:]]


def _weight(event: LineNote, kicks: frozenset[int]) -> float:
    if event.mark == DEAD:
        return weight("o", False)
    return weight("x", event.accent) + (WITH_KICK if event.start in kicks else 0.0)


def _line(chart: Chart, lock: KickLock, changes: Changes) -> list[LineNote]:
    """The marks of all bars in time, notes held over the bar line joined up."""
    events: list[LineNote] = []
    pattern = chart.bars[0].bass
    cell, offset = pattern.cells[0], 0
    for index, bar in enumerate(chart.bars):
        if not bar.number:
            short = bar.meter.beat_ticks // 2
            length = short if chart.form.ending == "hit" else bar.length
            events.append(LineNote(bar.start, length, ROOT, True))
            continue
        offset += pattern.grid.lines
        if not bar.pair or index == 0 or offset >= cell.lines or bar.bass != pattern:
            pattern = bar.bass
            cell, offset = lock.cell(bar, bar.pair), 0
        if all(slot.pedal for slot in bar.slots) and any(s.mark == WALK for s in cell.strokes):
            events.append(LineNote(bar.start, bar.length, ROOT))
            continue
        for start, end, line in _stretches(bar, offset, changes):
            placed = list(_placed(cell, pattern.grid.line_ticks, start, end, line))
            if events and _holds(cell, line):
                first = placed[0].start if placed else end
                events[-1] = replace(events[-1], length=first - events[-1].start)
            events += placed
    return events


def _stretches(bar: Bar, offset: int, changes: Changes) -> Iterator[tuple[int, int, int]]:
    """Start and end of each stretch of a bar with the line of the cell that it begins on: a
    chord that begins is played from the cell's beginning, unless the idiom is tied."""
    if bar.bass.is_tied:
        yield bar.start, bar.end, offset
        return
    for slot in bar.slots:
        begins = changes.slot_at(slot.start).start == slot.start
        yield slot.start, slot.end, 0 if begins else offset


def _placed(cell: Cell, ticks: int, start: int, end: int, line: int) -> Iterator[LineNote]:
    """The strokes of a cell from one of its lines on, in the time from start to end."""
    for stroke in cell.strokes:
        at = start + (stroke.line - line) * ticks
        if start <= at < end:
            length = ticks if stroke.mark == DEAD else stroke.lines * ticks
            yield LineNote(at, length, stroke.mark, stroke.accent, stroke.octave)


def _holds(cell: Cell, line: int) -> bool:
    """True if the note before a line of the cell is held there."""
    if line == 0:
        return cell.held
    return any(s.line < line < s.line + s.lines for s in cell.strokes)


def _plain_in_fills(
    events: list[LineNote], fills: tuple[tuple[int, int], ...], changes: Changes, beat: int
) -> list[LineNote]:
    """The line with only its notes on the beat while the drummer fills, each held for those
    left out after it; the last of them leads into the chord that follows."""
    starts = [start for start, _ in fills]
    kept: list[LineNote] = []
    for event in events:
        place = bisect_right(starts, event.start) - 1
        end = fills[place][1] if place >= 0 else 0
        slot = changes.slot_at(event.start)
        if event.start >= end or event.start == slot.start:
            kept.append(event)
        elif (event.start - fills[place][0]) % beat or event.mark == DEAD:
            if kept and kept[-1].end == event.start:
                kept[-1] = replace(kept[-1], length=event.end - kept[-1].start)
        elif event.start + beat == end == slot.end and event.mark != WALK:
            kept.append(replace(event, mark=APPROACH, octave=0))
        else:
            kept.append(event)
    return _through_fills(kept, fills, beat)


def _through_fills(
    events: list[LineNote], fills: tuple[tuple[int, int], ...], beat: int
) -> list[LineNote]:
    """The line with no rest of more than a beat in a fill: notes are held, and a fill of
    two beats in which it has no note begins on the root."""
    by_start = {event.start: event for event in events}
    starts = sorted(by_start)
    for start, end in fills:
        if end - start < 2 * beat:
            continue
        first, past = bisect_left(starts, start), bisect_left(starts, end)
        before = by_start[starts[first - 1]].end if first else 0
        inside = starts[first:past]
        if start not in by_start and before <= start:
            by_start[start] = LineNote(start, beat, ROOT)
            inside = [start, *inside]
        for here, there in pairwise([*inside, end]):
            if there - by_start[here].end > beat // 2:
                by_start[here] = replace(by_start[here], length=there - here)
    return [by_start[start] for start in sorted(by_start)]


def _with_roots(events: list[LineNote], changes: Changes, chart: Chart) -> list[LineNote]:
    """The line with the root of each chord at its change, unless it is anticipated there."""
    beat = chart.bars[0].meter.beat_ticks
    by_start = {event.start: event for event in events}
    starts = sorted(by_start)
    for slot in changes.slots:
        if slot.start in by_start:
            event = by_start[slot.start]
            if event.mark != WALK:
                by_start[slot.start] = replace(event, mark=ROOT, octave=0)
            continue
        place = bisect_left(starts, slot.start)
        after = starts[place] if place < len(starts) else slot.end
        early = by_start[starts[place - 1]] if place else None
        held = early is not None and early.end > slot.start
        tied = early is not None and chart.bar_at(early.start).bass.is_tied
        if early and held and _anticipates(early, slot, changes, beat, tied):
            by_start[early.start] = replace(early, mark=TO_COME, octave=0)
            continue
        end = early.end if early and held else slot.start + beat
        by_start[slot.start] = LineNote(slot.start, min(after, end) - slot.start, ROOT)
    ordered = [by_start[start] for start in sorted(by_start)]
    cut = [
        replace(event, length=min(event.length, later.start - event.start))
        for event, later in pairwise(ordered)
    ]
    return [*cut, ordered[-1]]


def _anticipates(early: LineNote, slot: Slot, changes: Changes, beat: int, tied: bool) -> bool:
    """True if a note held into a chord can sound its root already."""
    near = slot.start - early.start <= beat
    return (
        near
        and (tied or early.mark == TO_COME)
        and changes.slot_at(early.start).start != early.start
        and changes.chord_to_come(early.start) == slot.chord
    )
