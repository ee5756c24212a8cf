"""The arc of ten choruses: how much of the second half was heard before, and the rhythms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import fmean, median
from typing import Any

from groove.band.part import BASS, COMPING, DRUMS
from groove.form.chart import Bar
from groove.rhythm.box_notation import Cell
from groove.rhythm.patterns import BassPattern, CompingPattern, Pattern
from tests.bench.band.performance import (
    PITCHED,
    Performance,
    drums_for,
    patterns,
    performances,
)
from tests.bench.band.table import Figure, Row

LEVEL = 2
EVEN = {"intensity": str(LEVEL)}
HALF = 5  # choruses
MOST_HEARD = {DRUMS: 0.8, BASS: 0.75, COMPING: 0.75}
WALKING = 0.5
FEWEST_RHYTHMS = 15
NEAR = 0.75  # of the onsets of a bar
FEW = 3  # onsets in most bars: patterns with no more vary over two bars

Onsets = frozenset[int]


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each drum pattern: the shares heard before, and how tops of choruses differ."""
    found = []
    for pattern in patterns("drums", names):
        takes = list(performances(pattern.name, seeds, **EVEN | fields))
        found.append(Row(pattern.name, tuple(_heard_figures(takes))))
    return found


def _heard_figures(takes: list[Performance]) -> Iterator[Figure]:
    for part in (DRUMS, *PITCHED):
        most = WALKING if part == BASS and walks(takes[0].form.bass) else MOST_HEARD[part]
        yield Figure(f"{part} heard", fmean(heard(take, part) for take in takes), None, most)
    tops = [len({_top(take, bar) for bar in take.bars if bar.top}) for take in takes]
    yield Figure("tops", min(tops), 3, form="{:.0f}")


def heard(take: Performance, part: str) -> float:
    """The share of the bars of choruses 6 to 10 that sounded before, note for note."""
    before: set[object] = set()
    again = []
    for bar in take.bars:
        content = take.content(part, bar)
        if bar.round >= HALF:
            again.append(content in before)
        before.add(content)
    return fmean(again)


def walks(pattern: Pattern) -> bool:
    """True if a bass pattern walks."""
    return any(stroke.mark == "w" for cell in pattern.cells for stroke in cell.strokes)


def _top(take: Performance, bar: Bar) -> object:
    """The drum strokes on the first beat of a bar, and those of the beat before it."""
    beat = bar.meter.beat_ticks
    notes = take.during(DRUMS, bar.start - beat, bar.start + beat)
    return frozenset((note.start - bar.start, note.pitch) for note in notes)


def rhythm_rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each bass and comping pattern that is no ostinato."""
    found = []
    for kind in PITCHED:
        for pattern in patterns(kind, names):
            if is_ostinato(pattern):
                continue
            given = EVEN | {kind: pattern.name} | fields
            takes = list(performances(drums_for(kind, pattern), seeds, **given))
            figures = tuple(_rhythm_figures(takes, kind, pattern))
            found.append(Row(f"{kind} {pattern.name}", figures))
    return found


def is_ostinato(pattern: Pattern) -> bool:
    """True for a bass or comping pattern that comes round as it is written."""
    assert isinstance(pattern, (BassPattern, CompingPattern))
    return pattern.is_ostinato


def _rhythm_figures(takes: list[Performance], kind: str, pattern: Pattern) -> Iterator[Figure]:
    written = cell_onsets(pattern, pattern.cells)
    usual = [len(bar) for cell in pattern.cells_at(LEVEL) for bar in bars_of(cell, pattern)]
    few = median(usual) <= FEW
    counts, nearness, written_counts = [], [], []
    for take in takes:
        bars = plain_bars(take)
        onsets = {bar.start: _own_onsets(take, kind, bar, written) for bar in bars}
        near = {start: is_near(found, written) for start, found in onsets.items()}
        nearness.append(fmean(near.values()))
        rhythms = {found for start, found in onsets.items() if near[start] and found}
        pairs = {
            (onsets[bar.start], onsets[bar.end])
            for bar in bars
            if bar.pair % 2 == 0 and near[bar.start] and near.get(bar.end)
        }
        counts.append(len(pairs) if few else len(rhythms))
        written_counts.append(len(rhythms & written))
    yield Figure("rhythms", min(counts), FEWEST_RHYTHMS, form="{:.0f}")
    yield Figure("written", fmean(written_counts), form="{:.1f}")
    yield Figure("near", fmean(nearness), 1.0)
    yield Figure("over two bars", float(few), form="{:.0f}")
    most = WALKING if walks(pattern) else MOST_HEARD[kind]
    yield Figure("heard", fmean(heard(take, kind) for take in takes), None, most)


def _own_onsets(take: Performance, kind: str, bar: Bar, written: set[Onsets]) -> Onsets:
    """The onsets of a bar, without a root that a change of chord adds on the one."""
    onsets = take.onsets(kind, bar)
    changes = bar.slots[0].start in {slot.start for slot in take.chart.changes}
    bare = onsets - {0}
    return bare if changes and not is_near(onsets, written) and bare else onsets


def plain_bars(take: Performance) -> list[Bar]:
    """The bars of one chord, without fills and figures, no chord early in them or into them, nor
    a chord that the comper anticipates."""
    ends = {end for _, end in take.fills}
    early = {
        take.chart.bar_at(tick).start
        for slot in take.chart.changes
        if slot.early
        for tick in (slot.start, slot.written_start)
    }
    return [
        bar
        for bar in take.bars
        if len(bar.slots) == 1
        and bar.end not in ends
        and bar.start not in early
        and bar.figure is None
        and not _anticipated(take, bar)
    ]


def _anticipated(take: Performance, bar: Bar) -> bool:
    """True if a note of the comping that begins in the half beat before a bar sounds on in it."""
    early = take.during(COMPING, bar.start - bar.meter.beat_ticks // 2, bar.start)
    return any(note.start + note.length > bar.start for note in early)


def cell_onsets(pattern: Pattern, cells: Sequence[Cell]) -> set[Onsets]:
    """The onsets of each bar of some of a pattern's cells, in ticks."""
    return {bar for cell in cells for bar in bars_of(cell, pattern)}


def bars_of(cell: Cell, pattern: Pattern) -> list[Onsets]:
    """The onsets of each bar of a cell, in ticks."""
    lines, line = pattern.grid.lines, pattern.grid.line_ticks
    return [
        frozenset((s.line - first) * line for s in cell.strokes if first <= s.line < first + lines)
        for first in range(0, cell.lines, lines)
    ]


def is_near(onsets: Onsets, written: set[Onsets]) -> bool:
    """True if three quarters of the onsets, or all but one, are in common with a written bar."""
    for cell in written:
        most, common = max(len(onsets), len(cell)), len(onsets & cell)
        if most - common <= 1 or common >= NEAR * most:
            return True
    return False
