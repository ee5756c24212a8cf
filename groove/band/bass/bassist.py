"""The bassist: the root at every change, the idiom's line between, walking where asked.

The line agrees with the kick and accents the notes that the kick strikes too. It keeps its shape
while the drummer fills; the last note of a fill may lead into the chord that follows.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise
from random import Random

from groove.band.bass.bass_pitches import line_pitches, walked_pitches
from groove.band.bass.bass_positions import positions
from groove.band.bass.kick_lock import KickLock
from groove.band.bass.kick_marks import with_kick_marks, with_skips
from groove.band.bass.line_note import APPROACH, DEAD, LEADING, ROOT, TO_COME, WALK, BassNote
from groove.band.bass.slides import slides
from groove.band.changes import Changes
from groove.band.figures import with_figures
from groove.band.marked_chords import bass_roots, with_pushes, without_silent
from groove.band.part import BASS, GridNote, Part, weight
from groove.band.plan.plan import Plan
from groove.form.chart import Bar, Chart, FigureStroke, Slot
from groove.rhythm.box_notation import Cell
from groove.rhythm.patterns import BassPattern

WITH_KICK = 0.06  # weight that a note gains from the kick
LEADS_OUT = 0.6  # how likely the last note of a fill leads into another chord


def play_bass(plan: Plan, drums: Part, rng: Random) -> Part:
    """The bass part of a performance, with the drummer's; rng is the bassist's own."""
    chart = plan.chart_for(BASS)
    changes, beat = Changes(chart), chart.bars[0].meter.beat_ticks
    lock = KickLock(drums, changes, rng)
    events = _line(chart, lock, changes)
    events = _led_out_of_fills(events, drums.fills, changes, chart, rng)
    events = _with_roots(with_kick_marks(events, plan, drums), changes, chart)
    events = with_skips(events, plan)
    ends = {event.start: event.end for event in events}

    def pushed(slot: Slot, length: int) -> BassNote:
        longest = max(length, ends.get(slot.written_start, 0) - slot.start)
        return BassNote(slot.start, longest, ROOT, True)

    events = with_pushes(events, changes, beat, pushed)
    events = with_figures(BASS, events, chart, changes, _together, keeps_time=True)
    events = _one_after_the_other(events)
    events = [_on_pedal(event, changes) for event in events]
    pitches: list[int] = []
    for (pattern, _), group in groupby(events, key=lambda event: _stretch(event, chart)):
        stretch = list(group)
        walks = any(event.mark == WALK for event in stretch)
        find = walked_pitches if walks else line_pitches
        pitches += find(stretch, changes, chart, pattern.range, rng)
    kicks = frozenset(lock.kicks)
    slid = [event.slide and not chart.form.is_plain(BASS) for event in events]
    notes = [
        GridNote(event.start, event.length, pitch, _weight(event, kicks), "", string, fret)
        for event, pitch, (string, fret) in zip(events, pitches, positions(pitches), strict=True)
    ]
    with_slides = slides(notes, slid, chart)
    return Part(BASS, tuple(without_silent(bass_roots(with_slides, changes), changes)))


def _stretch(event: BassNote, chart: Chart) -> tuple[BassPattern, bool]:
    """The pattern in the bar of a note, and whether the bar has a line of its own in its place."""
    bar = chart.bar_at(event.start)
    figure = bar.figure
    return bar.bass, figure is not None and any(player == BASS for player, _ in figure.own)


def _together(_slot: Slot, stroke: FigureStroke) -> BassNote:
    mark = stroke.mark or ROOT
    return BassNote(stroke.start, stroke.length, mark, stroke.accent, stroke.octave)


def _on_pedal(event: BassNote, changes: Changes) -> BassNote:
    """A note of the line, its approach left out over a pedal note."""
    if event.mark in LEADING and changes.slot_at(event.start).pedal:
        return replace(event, mark=ROOT, octave=0)
    return event


def _one_after_the_other(events: list[BassNote]) -> list[BassNote]:
    """The line with each note ended where the next begins."""
    cut = [
        replace(event, length=min(event.length, later.start - event.start))
        for event, later in pairwise(events)
    ]
    return [*cut, *events[-1:]]


def _weight(event: BassNote, kicks: frozenset[int]) -> float:
    if event.mark == DEAD:
        return weight("o", False)
    return weight("x", event.accent) + (WITH_KICK if event.start in kicks else 0.0)


def _line(chart: Chart, lock: KickLock, changes: Changes) -> list[BassNote]:
    """The marks of all bars in time, notes held over the bar line joined up."""
    events: list[BassNote] = []
    pattern = chart.bars[0].bass
    cell, offset = pattern.cells[0], 0
    for index, bar in enumerate(chart.bars):
        offset += pattern.grid.lines
        if not bar.pair or index == 0 or offset >= cell.lines or bar.bass != pattern:
            pattern = bar.bass
            cell, offset = lock.cell(bar, bar.pair), 0
        if all(slot.pedal for slot in bar.slots) and any(s.mark == WALK for s in cell.strokes):
            events.append(BassNote(bar.start, bar.length, ROOT))
            continue
        for start, end, line in _stretches(bar, cell, offset, changes):
            placed = list(_placed(cell, pattern.grid.line_ticks, start, end, line))
            if events and _holds(cell, line):
                first = placed[0].start if placed else end
                events[-1] = replace(events[-1], length=first - events[-1].start)
            events += placed
    return events


def _stretches(
    bar: Bar, cell: Cell, offset: int, changes: Changes
) -> Iterator[tuple[int, int, int]]:
    """Start and end of each stretch of a bar with the line of the cell that it begins on: a
    chord that begins is played from the cell's beginning, unless the idiom is tied or walks. The
    second bar of a cell goes on under a new chord where it opens on the root or on a rest."""
    if bar.bass.is_tied or any(stroke.mark == WALK for stroke in cell.strokes):
        yield bar.start, bar.end, offset
        return
    opening = next((stroke.mark for stroke in cell.strokes if stroke.line == offset), ROOT)
    for slot in bar.slots:
        begins = changes.slot_at(slot.start).start == slot.start
        if begins and (slot.start > bar.start or opening != ROOT):
            offset = 0
        yield slot.start, slot.end, offset
        offset += (slot.end - slot.start) // bar.bass.grid.line_ticks


def _placed(cell: Cell, ticks: int, start: int, end: int, line: int) -> Iterator[BassNote]:
    """The strokes of a cell from one of its lines on, in the time from start to end."""
    for stroke in cell.strokes:
        at = start + (stroke.line - line) * ticks
        if start <= at < end:
            length = ticks if stroke.mark == DEAD else stroke.lines * ticks
            yield BassNote(
                at, length, stroke.mark, stroke.accent, stroke.octave, slide=stroke.slide
            )


def _holds(cell: Cell, line: int) -> bool:
    """True if the note before a line of the cell is held there."""
    if line == 0:
        return cell.held
    return any(s.line < line < s.line + s.lines for s in cell.strokes)


def _led_out_of_fills(
    events: list[BassNote],
    fills: Sequence[tuple[int, int]],
    changes: Changes,
    chart: Chart,
    rng: Random,
) -> list[BassNote]:
    """The line with the last note of some fills leading by step into the chord that follows,
    in idioms that write approaches."""
    starts = [event.start for event in events]
    line = list(events)
    for _, end in fills:
        place = bisect_left(starts, end) - 1
        event, bar = line[place], chart.bar_at(end - 1)
        slot = changes.slot_at(event.start)
        short = bar.meter.beat_ticks // (3 if bar.meter.is_compound else 1)
        near = max(slot.start + 1, end - short) <= event.start
        another = changes.slot_at(end).start == end and changes.slot_at(end).chord != slot.chord
        plain = event.mark not in (WALK, DEAD, TO_COME, *LEADING)
        approaches = any(s.mark in LEADING for cell in bar.bass.cells for s in cell.strokes)
        if near and another and plain and approaches and rng.random() < LEADS_OUT:
            line[place] = replace(event, mark=APPROACH, octave=0, slide=False)
    return line


def _with_roots(events: list[BassNote], changes: Changes, chart: Chart) -> list[BassNote]:
    """The line with the root of each chord at its change, unless it is anticipated there; in
    idioms that leave the one free, within a beat of the change, but at the top of a chorus."""
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
        bass = chart.bar_at(slot.start).bass
        tied = early is not None and chart.bar_at(early.start).bass.is_tied
        if early and held and _anticipates(early, slot, changes, beat, tied):
            by_start[early.start] = replace(early, mark=TO_COME, octave=0)
            continue
        top = chart.bar_at(slot.start).top
        if bass.late and early and not top and after <= slot.start + beat and after < slot.end:
            by_start[after] = replace(by_start[after], mark=ROOT, octave=0)
            free = min(early.length, slot.start - early.start)
            by_start[early.start] = replace(early, length=free)
            continue
        end = early.end if early and held else slot.start + beat
        by_start[slot.start] = BassNote(slot.start, min(after, end) - slot.start, ROOT)
    return _one_after_the_other([by_start[start] for start in sorted(by_start)])


def _anticipates(early: BassNote, slot: Slot, changes: Changes, beat: int, tied: bool) -> bool:
    """True if a note held into a chord can sound its root already."""
    near = slot.start - early.start <= beat
    return (
        near
        and (tied or early.mark == TO_COME)
        and changes.slot_at(early.start).start != early.start
        and changes.chord_to_come(early.start) == slot.chord
    )
