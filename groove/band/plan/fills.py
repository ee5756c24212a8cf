"""The fills of a performance: at which turns, and how long."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from random import Random
from typing import Any

from groove.form.chart import Bar, Chart
from groove.form.intensity import HIGHEST, LOWEST

AT_TOP, WITHIN = "chorus", "phrase"  # turns of a chart's bars


def planned_fills(
    chart: Chart, tops: Sequence[str], rng: Random, figures: dict[str, Any]
) -> list[int | None]:
    """The beats of the fill at the end of each bar: None for none, 0 for a gesture.

    Not every turn is filled: some phrases go on as they were, and a few tops come unannounced.
    Written kicks are always set up, and a bar whose first beat is marked (tops) has no fill.
    figures: ``[fills]`` of ``patterns/plan.toml``.
    """
    turns = {
        turn: [
            index
            for index, bar in enumerate(chart.bars)
            if bar.turn == turn and _is_free(bar) and not tops[index]
        ]
        for turn in (WITHIN, AT_TOP)
    }
    filled = _some(turns[WITHIN], rng.uniform(*figures["phrase"]), rng)
    left_out = int(len(turns[AT_TOP]) * figures["chorus_without"] * rng.uniform(0.5, 1))
    filled |= set(turns[AT_TOP]) - set(rng.sample(turns[AT_TOP][:-1], left_out))
    set_ups = {
        index
        for index, (bar, after) in enumerate(pairwise(chart.bars))
        if bar.turn and _is_free(bar) and after.figure and not tops[index]
    }
    lengths: list[int | None] = [None] * len(chart.bars)
    before: tuple[int, ...] = ()
    for index in sorted(filled | set_ups):
        bar = chart.bars[index]
        length = max(_length(bar, rng, figures, before), int(index in set_ups))
        lengths[index] = length
        before = (*before[-1:], length)
    return lengths


def _is_free(bar: Bar) -> bool:
    """True if nothing written in a bar stands against a fill at its end."""
    return (bar.figure is None or not bar.figure.alone) and bar.held is None


def _some(turns: Sequence[int], share: float, rng: Random) -> set[int]:
    """A share of some turns, spread evenly and by chance."""
    owed = rng.random()
    found = set()
    for index in turns:
        owed += share
        if owed + rng.uniform(-0.3, 0.3) >= 1:
            owed -= 1
            found.add(index)
    return found


def _length(bar: Bar, rng: Random, figures: dict[str, Any], before: Sequence[int]) -> int:
    """The beats of a fill: longer where the form turns and as the band rises, not thrice alike."""
    rise = (bar.intensity - LOWEST) / (HIGHEST - LOWEST)
    quiet, loud = figures["at_top" if bar.turn == AT_TOP else "within"]
    bar_beats = bar.meter.bar_ticks // bar.meter.beat_ticks
    chances = {
        beats: low + rise * (high - low)
        for beats, low, high in zip(figures["beats"], quiet, loud, strict=True)
        if beats <= bar_beats
    }
    if len(before) == 2 and before[0] == before[1] and len(chances) > 1:
        chances.pop(before[0], None)
    return int(rng.choices(list(chances), list(chances.values()))[0])
