"""The drummer as a player of chords hears it: busy bars, figures to answer, and fills."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from itertools import pairwise

from groove.band.comping.strokes import Hit
from groove.band.part import COMPING, DRUMS, Part, pattern_of
from groove.band.plan.plan import Plan
from groove.form.chart import Chart
from groove.rhythm.patterns import KEEP, CompingPattern

FIGURED = ("kick", "snare", "side-stick")
BUSY = 1.25  # strokes of the drummer in a bar, against the mean of the track's bars


def busy_bars(chart: Chart, drums: Part) -> frozenset[int]:
    """The starts of the bars in which the drummer strikes much more than usual."""
    starts = [note.start for note in drums.notes if note.start >= chart.start]
    strokes = {
        bar.start: bisect_left(starts, bar.end) - bisect_left(starts, bar.start)
        for bar in chart.bars
    }
    usual = len(starts) / len(strokes)
    return frozenset(start for start, count in strokes.items() if count > BUSY * usual)


def led_by_drums(plan: Plan) -> frozenset[int]:
    """The starts of the bars in which the drummer plays the figures."""
    return frozenset(
        bar.start
        for bar, planned in zip(plan.chart.bars, plan.bars, strict=True)
        if planned.leads == DRUMS
    )


def figures_to_answer(plan: Plan, drums: Part) -> dict[int, frozenset[int]]:
    """The drummer's figure in the bar before, by the start of each bar in which the comper leads
    after the drummer: the ticks, counted from the bar line, of kick and snare off the beat."""
    found = {}
    both = zip(pairwise(plan.chart.bars), pairwise(plan.bars), strict=True)
    starts = [note.start for note in drums.notes]
    for (before, bar), (led, leads) in both:
        if led.leads == DRUMS and leads.leads == COMPING and before.meter == bar.meter:
            first, past = bisect_left(starts, before.start), bisect_left(starts, before.end)
            found[bar.start] = frozenset(
                note.start - before.start
                for note in drums.notes[first:past]
                if note.row in FIGURED and (note.start - before.start) not in bar.meter.beat_starts
            )
    return found


def thin_in_fills(
    hits: Iterable[Hit], fills: tuple[tuple[int, int], ...], chart: Chart, name: str
) -> list[Hit]:
    """The strokes, under fills of more than a beat only those on the beat and the first, where the
    pattern thins out there."""
    kept, waiting, first = [], list(reversed(fills)), -1
    for hit in hits:
        while waiting and waiting[-1][1] <= hit.start:
            waiting.pop()
        if waiting and waiting[-1][0] <= hit.start:
            start, end = waiting[-1]
            bar = chart.bar_at(hit.start)
            pattern = pattern_of(name, bar)
            goes_on = isinstance(pattern, CompingPattern) and pattern.fills == KEEP
            if first < start:
                first = hit.start
            on_beat = (hit.start - bar.start) in bar.meter.beat_starts
            rests = not goes_on and end - start > bar.meter.beat_ticks
            if rests and not on_beat and hit.start != first:
                continue
        kept.append(hit)
    return kept
