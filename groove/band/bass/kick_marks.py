"""The bass with the drummer's figures: what the kick marks, the bass marks too.

A kick marks a figure where it strikes with a crash, a splash or the open hat between the beats, or
in the last beat of a bar with a gesture of the drummer's (common practice).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace

from groove.band.bass.line_note import DEAD, ROOT, TO_COME, WALK, BassNote
from groove.band.part import Part
from groove.band.plan.plan import Plan
from groove.rhythm.box_notation import GHOST

KICK = "kick"
WITH_KICK = frozenset({"crash", "splash", "hat-open"})


def marked_kicks(plan: Plan, drums: Part) -> list[int]:
    """The ticks at which the kick marks a figure, in order."""
    ringing = {note.start for note in drums.notes if note.row in WITH_KICK}
    found = []
    for note in drums.notes:
        if note.row != KICK or note.weight <= GHOST or note.start < plan.chart.start:
            continue
        bar = plan.chart.bar_at(note.start)
        beat = bar.meter.beat_ticks
        gesture = plan.at(note.start).fill == 0 and note.start >= bar.end - beat
        stab = note.start in ringing and plan.chart.into_beat(note.start) != 0
        if gesture or stab:
            found.append(note.start)
    return found


def with_kick_marks(events: Sequence[BassNote], plan: Plan, drums: Part) -> list[BassNote]:
    """The line with a stroke wherever the kick marks a figure: an accent on the one that it has
    there, or another of its root; a walking line takes it as a skip. Idioms that tie over the bar
    line keep their own place."""
    marked = marked_kicks(plan, drums)
    by_start = {event.start: event for event in events}
    starts = sorted(by_start)
    chart = plan.bass_chart
    for tick in marked:
        bar = chart.bar_at(tick)
        if bar.bass.is_tied or not bar.number or bar.figure:
            continue
        if tick in by_start:
            event = by_start[tick]
            by_start[tick] = replace(event, accent=event.accent or event.mark != DEAD)
            continue
        place = bisect_right(starts, tick)
        if not place:
            continue
        before = by_start[starts[place - 1]]
        after = starts[place] if place < len(starts) else bar.end
        line = bar.bass.grid.line_ticks
        if min(tick - before.start, after - tick) < line:
            continue
        mark = WALK if any(s.mark == WALK for c in bar.bass.cells for s in c.strokes) else ROOT
        sounding = before.end - tick if before.end > tick else bar.meter.beat_ticks
        by_start[tick] = BassNote(tick, min(after - tick, sounding), mark, True)
        by_start[before.start] = replace(before, length=min(before.length, tick - before.start))
    return [by_start[start] for start in sorted(by_start)]


def with_skips(events: Sequence[BassNote], plan: Plan) -> list[BassNote]:
    """A walking line with a skip to the root to come at those of the band's pushes in which the
    bassist joins; the walk itself goes on."""
    early = {slot.start: slot for slot in plan.chart.changes if slot.written_start in plan.skips}
    if not early:
        return list(events)
    line: list[BassNote] = []
    for event in events:
        slot = next((s for at, s in early.items() if event.start <= at < event.end), None)
        if slot is None:
            line.append(event)
            continue
        if event.start < slot.start:
            line.append(replace(event, length=slot.start - event.start))
        line.append(BassNote(slot.start, slot.early, TO_COME, True))
    return line
