"""Endings: how many different ones, and how together the last stroke is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from tests.bench.band.performance import Performance, patterns, performances
from tests.bench.band.table import Figure, Row

TAKES = 10  # seeds
LAST_BARS = 2
TOGETHER = 30.0  # ms


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each drum pattern, from ten seeds of two choruses; seeds is not read."""
    found = []
    for pattern in patterns("drums", names):
        takes = list(performances(pattern.name, TAKES, **{"choruses": 2} | fields))
        found.append(Row(pattern.name, tuple(_figures(takes))))
    return found


def _figures(takes: list[Performance]) -> Iterator[Figure]:
    yield Figure("endings", len({take.form.ending for take in takes}), form="{:.0f}")
    lasts = {_rhythm(take, LAST_BARS) for take in takes}
    yield Figure("last two bars", len(lasts), 3, form="{:.0f}")
    yield Figure("last bar", len({_rhythm(take, 1) for take in takes}), 3, form="{:.0f}")
    spread = max(last_spread(take) for take in takes)
    yield Figure("last ms", spread, None, TOGETHER, "{:.0f}")
    slower = [_slower(take) for take in takes]
    yield Figure("ritardando", max(slower))
    yield Figure("bars", max(len(take.chart.bars) - len(take.bars) for take in takes),
                 form="{:.0f}")  # fmt: skip


def _rhythm(take: Performance, bars: int) -> object:
    """The strokes of the last bars, by part: the places, and the pitches from the bass up."""
    first = take.chart.bars[-bars]
    return frozenset(
        (name, note.start - first.start, note.pitch)
        for name in take.parts
        for note in take.during(name, first.start, take.chart.end)
    )


def last_spread(take: Performance) -> float:
    """The ms between the first and the last part's last stroke.

    A part's last stroke is its first note of the last place on the grid at which it plays.
    """
    lasts = []
    for played in take.take.parts:
        grid = take.parts[played.name].notes
        if not grid or not played.notes:
            continue
        together = sum(note.start == grid[-1].start for note in grid)
        struck = [note.start for note in played.notes[-together:]]
        lasts.append(1000 * take.chart.seconds(min(struck)))
    return max(lasts) - min(lasts)


def _slower(take: Performance) -> float:
    """How much slower the last beat but one is than the first beat of the track."""
    beat = take.form.meter.beat_ticks
    seconds, end = take.chart.seconds, take.chart.bars[-1].start
    first = seconds(take.chart.start + beat) - seconds(take.chart.start)
    last = seconds(end) - seconds(end - beat)
    return 1 - first / last
