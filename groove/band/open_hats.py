"""Open hi-hats sound until the hat is struck or closed again; the foot closes what no hand does."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace

from groove.band.part import GridNote
from groove.form.chart import Chart
from groove.rhythm.box_notation import GHOST
from groove.rhythm.kit import KIT

OPEN, PEDAL = "hat-open", "hat-foot"
HATS = ("hat", OPEN, PEDAL)


def closed_again(notes: list[GridNote], chart: Chart) -> list[GridNote]:
    """The strokes of a drum part with the lengths of its open hats, in order of time.

    An open hat sounds until the next stroke of the hat or its pedal; where none follows within a
    beat, the pedal closes it softly on the beat that follows. The last bar may ring.
    """
    times = sorted(note.start for note in notes if note.row in HATS)
    last = chart.bars[-1].start if chart.ending else chart.end
    closed: list[GridNote] = []
    for note in notes:
        if note.row != OPEN or note.start >= last:
            closed.append(note)
            continue
        beat = chart.bar_at(note.start).meter.beat_ticks
        place = bisect_right(times, note.start)
        until = times[place] if place < len(times) else chart.end
        if until - note.start > beat:
            until = note.start - chart.into_beat(note.start) + beat
            if until < last:
                closed.append(GridNote(until, note.length, KIT[PEDAL].note, GHOST, PEDAL))
        closed.append(replace(note, length=until - note.start))
    return sorted(closed, key=lambda note: (note.start, note.pitch))
