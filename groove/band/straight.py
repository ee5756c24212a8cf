"""Parts without swing and touch, for notation programs: every note on the grid, swing as even
eighths.
"""

from __future__ import annotations

from fractions import Fraction

from groove.band.part import Part, grid_of
from groove.band.touch.touch import LOUDEST, Struck
from groove.form.chart import Chart

THIRD, HALF = Fraction(1, 3), Fraction(1, 2)


def straightened(part: Part, chart: Chart) -> list[Struck]:
    """The notes of a part on the grid, their velocity as they are marked.

    On a grid of triplets the short note of a swung beat stands at two thirds; it moves to the half,
    unless the part has a stroke at the first third as well: then the beat is a real triplet.
    """
    triplets = {
        _beat(note.start, chart)[0]
        for note in part.notes
        if _beat(note.start, chart)[1] == THIRD and grid_of(part.name, chart, note.start).is_triplet
    }

    def moved(tick: int) -> int:
        start, place = _beat(tick, chart)
        if start in triplets or not grid_of(part.name, chart, tick).is_triplet:
            return tick
        if place <= 2 * THIRD:
            place *= Fraction(3, 4)
        else:
            place = HALF + (place - 2 * THIRD) * Fraction(3, 2)
        return start + round(place * chart.bar_at(tick).meter.beat_ticks)

    return [
        Struck(
            note,
            moved(note.start),
            max(1, moved(note.start + note.length) - moved(note.start)),
            max(1, round(LOUDEST * note.weight)),
            moved(note.start),
        )
        for note in part.notes
    ]


def _beat(tick: int, chart: Chart) -> tuple[int, Fraction]:
    """The tick at which the beat of a tick begins, and the place of the tick in it, in beats."""
    into = chart.into_beat(tick)
    return tick - into, Fraction(into, chart.bar_at(tick).meter.beat_ticks)
