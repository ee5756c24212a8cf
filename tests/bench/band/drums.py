"""The drums as played: kicks far from the beat, hands, the spread of weights."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Sequence
from statistics import fmean, pstdev
from typing import Any

from groove.band.part import DRUMS
from groove.rhythm.kit import HAND, KIT
from groove.rhythm.patterns import DrumPattern
from tests.bench.band.performance import Performance, patterns, performances
from tests.bench.band.table import Figure, Row

FAR = 45.0  # ms
WINDOW = 4  # bars
LOUD = 110
SOFT = 45


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each drum pattern."""
    found = []
    for pattern in patterns("drums", names):
        assert isinstance(pattern, DrumPattern)
        takes = list(performances(pattern.name, seeds, **{"choruses": 5} | fields))
        found.append(Row(pattern.name, tuple(_figures(takes))))
    return found


def _figures(takes: list[Performance]) -> Iterator[Figure]:
    late = [abs(ms) for take in takes for ms in kicks_off(take)]
    yield Figure("kicks far", fmean(ms > FAR for ms in late) if late else None, None, 0.0,
                 "{:.1%}")  # fmt: skip
    yield Figure("furthest ms", max(late, default=0), None, FAR, "{:.0f}")
    yield Figure("hands", max(max(hands(take)) for take in takes), None, 2, "{:.0f}")
    spread = [sd for take in takes for sd in weight_spread(take)]
    yield Figure("velocity sd", fmean(spread), 21, 41, "{:.0f}")
    strokes = [note.velocity for take in takes for note in take.take.parts[0].notes]
    yield Figure("loud", fmean(loud >= LOUD for loud in strokes))
    yield Figure("soft", fmean(soft <= SOFT for soft in strokes))
    bars = sum(len(take.bars) for take in takes)
    yield Figure("strokes a bar", len(strokes) / bars, form="{:.0f}")


def kicks_off(take: Performance) -> Iterator[float]:
    """The ms by which each kick on a beat is late; swing leaves beats where they are."""
    kick, beat = KIT["kick"].note, take.form.meter.beat_ticks
    played = [note.start for note in take.take.parts[0].notes if note.pitch == kick]
    seconds = take.chart.seconds
    for note in take.parts[DRUMS].notes:
        if note.row != "kick" or take.chart.into_beat(note.start):
            continue
        place = bisect_left(played, note.start)
        near = [at for at in played[max(0, place - 1) : place + 1] if abs(at - note.start) < beat]
        if near:
            at = min(near, key=lambda at: abs(at - note.start))
            yield 1000 * (seconds(at) - seconds(note.start))


def hands(take: Performance) -> Iterator[int]:
    """The strokes of the hands at each time."""
    struck: dict[int, int] = defaultdict(int)
    for note in take.parts[DRUMS].notes:
        struck[note.start] += KIT[note.row].limb == HAND
    yield from struck.values()


def weight_spread(take: Performance) -> Iterator[float]:
    """The standard deviation of velocity in each four bars."""
    notes = take.take.parts[0].notes
    starts = [note.start for note in notes]
    bars = take.bars
    for first in range(0, len(bars) - WINDOW + 1, WINDOW):
        begin, end = bars[first].start, bars[first + WINDOW - 1].end
        inside = notes[bisect_left(starts, begin) : bisect_left(starts, end)]
        if len(inside) > 1:
            yield pstdev(note.velocity for note in inside)
