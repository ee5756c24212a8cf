"""The pushes of a performance: changes that the band strikes early, together, and holds over."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from random import Random
from typing import Any

from groove.form.chart import Bar, Chart, Slot
from groove.form.road.phrasing import PHRASE

WALK = "w"  # a note of a walking line, in a bass pattern


def planned_pushes(
    chart: Chart, fills: Sequence[int | None], rng: Random, figures: dict[str, Any]
) -> tuple[set[int], set[int]]:
    """The written ticks of the changes that are pushed, and those to which a walking bass skips.

    A place of the form that is pushed in one phrase is pushed there again, as a band agrees on it;
    whole phrases go by without. figures: ``[pushes]`` of ``patterns/plan.toml``.
    """
    liked: dict[tuple[str, int], float] = {}
    pushes: set[int] = set()
    skips: set[int] = set()
    owed = 0.0
    last = -1
    for bars in _phrases(chart):
        share = figures.get(chart.bars[bars[0]].drums.family, 0.0)
        free = [index for index in bars if _may_push(chart, index, fills, figures)]
        busy = [index for index in bars if _busy(chart, index, figures)]
        owed += share * sum(_changes(chart, index) for index in busy)
        eager = owed + rng.uniform(-0.5, 0.5)
        wishes = []
        for index in free:
            bar = chart.bars[index]
            place = bar.section, bar.number
            liked.setdefault(place, rng.random())
            wishes.append((liked[place] + 0.5 * rng.random(), index))
        for _, index in sorted(wishes, reverse=True):
            if eager < 1 or (last >= 0 and abs(index - last) < figures["apart"]):
                continue
            tick = chart.bars[index].start
            pushes.add(tick)
            if rng.random() < figures["bass_joins"]:
                skips.add(tick)
            owed, eager, last = owed - 1, eager - 1, index
    return pushes, {tick for tick in skips if walks(chart, tick)}


def pushed_changes(chart: Chart, pushes: Collection[int]) -> tuple[Slot, ...]:
    """The changes of a chart, those at some written ticks sounding early."""
    found: list[Slot] = []
    for slot in chart.changes:
        early = chart.bar_at(slot.start - 1).drums.grid.push_ticks
        if slot.start in pushes and found and found[-1].length > early:
            found[-1] = replace(found[-1], length=found[-1].length - early)
            slot = replace(slot, start=slot.start - early, length=slot.length + early, early=early)
        found.append(slot)
    return tuple(found)


def walks(chart: Chart, tick: int) -> bool:
    """True if the bass walks before a time."""
    cells = chart.bar_at(tick - 1).bass.cells
    return any(stroke.mark == WALK for cell in cells for stroke in cell.strokes)


def _phrases(chart: Chart) -> list[list[int]]:
    """The places of the bars of each phrase."""
    phrases: list[list[int]] = []
    for index, bar in enumerate(chart.bars):
        if not phrases or (bar.in_section - 1) % PHRASE == 0 or not bar.number:
            phrases.append([])
        phrases[-1].append(index)
    return phrases


def _busy(chart: Chart, index: int, figures: dict[str, Any]) -> bool:
    return bool(chart.bars[index].number) and chart.bars[index].intensity >= figures["level"]


def _changes(chart: Chart, index: int) -> int:
    """The changes in a bar."""
    slots = chart.bars[index].slots
    before = chart.bars[index - 1].slots[-1].chord if index else None
    count = 0
    for slot in slots:
        count += slot.chord != before
        before = slot.chord
    return count


def _may_push(
    chart: Chart, index: int, fills: Sequence[int | None], figures: dict[str, Any]
) -> bool:
    """True if the band may strike the first chord of a bar early: a change that nothing written
    or filled stands against, in a groove that does not tie its bass over the bar line anyway."""
    if not index or not _busy(chart, index, figures) or not _pushable(chart.bars[index]):
        return False
    bar, last = chart.bars[index], chart.bars[index - 1]
    new, old = bar.slots[0], last.slots[-1]
    return (
        _pushable(last)
        and new.chord != old.chord
        and not (new.silent or old.silent or new.early or old.early or new.root_only)
        and not (new.pedal or old.pedal)
        and old.length > last.meter.beat_ticks
        and new.length > bar.meter.beat_ticks
        and not fills[index - 1]
    )


def _pushable(bar: Bar) -> bool:
    """True if nothing in a bar stands against a push."""
    return bar.figure is None and bar.held is None and not bar.drums_alone and not bar.bass.is_tied
