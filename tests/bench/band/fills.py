"""Fills: where they are, how they differ, and what goes on under them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from statistics import fmean
from typing import Any

from groove.band.part import BASS, COMPING, DRUMS
from groove.form.chart import Bar
from groove.form.model import Form
from groove.rhythm.box_notation import Cell
from groove.rhythm.kit import KIT
from groove.rhythm.patterns import DrumPattern
from tests.bench.band.performance import PITCHED, Performance, patterns, performances
from tests.bench.band.table import Figure, Row, share

BASS_GOES_ON = ("disco-octaves", "sixteenth-funk", "tumbao", "tumbao-sixteenths")
NEVER_HELD = ("soul", "reggae", "latin")  # families: no chord of four beats in a fill

KEPT: dict[str, Callable[[Form], bool]] = {
    BASS: lambda form: form.bass.name in BASS_GOES_ON,
    COMPING: lambda form: form.comping[0].fills == "keep",
}

Look = frozenset[tuple[int, str]]  # lines from the start of the fill and voices


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each drum pattern."""
    found = []
    for pattern in patterns("drums", names):
        assert isinstance(pattern, DrumPattern)
        takes = list(performances(pattern.name, seeds, **fields))
        found.append(Row(pattern.name, tuple(_figures(pattern, takes))))
    return found


def _figures(pattern: DrumPattern, takes: list[Performance]) -> Iterator[Figure]:
    phrase, chorus = turns_filled(takes)
    kinds = [[kind for kind, _ in fill_kinds(pattern, take)] for take in takes]
    small = [strokes == 1 for take in takes for _, strokes in fill_kinds(pattern, take)]
    alike = sum(a == b for played in kinds for a, b in pairwise(played))
    yield Figure("phrase", phrase, 0.4, 0.7)
    yield Figure("chorus", chorus, 0.8)
    yield Figure("kinds", min(len(set(played)) for played in kinds), 6, form="{:.0f}")
    yield Figure("alike", alike, None, 0, "{:.0f}")
    yield Figure("one stroke", fmean(small) if small else None, None, 0.5)
    for part in PITCHED:
        keeps = KEPT[part](takes[0].form)
        yield Figure(f"{part} on", _goes_on(takes, part), 0.8 if keeps else None)
    least = 0 if pattern.family in NEVER_HELD else None
    yield Figure("held", sum(_held(take) for take in takes), None, least, "{:.0f}")


def turns_filled(takes: list[Performance]) -> tuple[float | None, float | None]:
    """The shares of phrase turns and of chorus turns that have a fill."""
    turns: dict[str, list[bool]] = defaultdict(list)
    for take in takes:
        for bar, fill in take.filled:
            if bar.turn:
                turns[bar.turn].append(fill is not None)
    phrase, chorus = turns["phrase"], turns["chorus"]
    return share(sum(phrase), len(phrase)), share(sum(chorus), len(chorus))


def fill_kinds(pattern: DrumPattern, take: Performance) -> list[tuple[object, int]]:
    """Which fill each one is, and its number of strokes.

    A fill is the written one whose strokes are all in it; where there is none, it is known by its
    strokes, those of the voices that go on through fills left out.
    """
    line = pattern.grid.line_ticks
    lengths = {end: (end - start) // line for start, end in take.fills}
    found: list[tuple[object, int]] = []
    for bar, fill in take.filled:
        if fill is None:
            continue
        fitting = [
            cell
            for cell in pattern.fills
            if cell.adds == (fill == 0)
            and (fill == 0 or cell.lines == lengths.get(bar.end))
            and cell_look(cell) <= _end_look(take, bar, cell.lines)
        ]
        if fitting:
            cell = max(fitting, key=lambda cell: len(cell.strokes))
            found.append((cell, _struck(cell_look(cell))))
        else:
            look = _end_look(take, bar, lengths.get(bar.end, pattern.grid.lines_per_beat))
            own = frozenset(stroke for stroke in look if stroke[1] not in pattern.keeps)
            found.append((own, _struck(own)))
    return found


def _end_look(take: Performance, bar: Bar, lines: int) -> Look:
    """The drum strokes in the last lines of a bar."""
    line = bar.drums.grid.line_ticks
    start = bar.end - lines * line
    return frozenset(
        ((note.start - start) // line, note.row) for note in take.during(DRUMS, start, bar.end)
    )


def cell_look(cell: Cell) -> Look:
    """The lines and voices of a cell."""
    return frozenset((stroke.line, stroke.row) for stroke in cell.strokes)


def _struck(look: Look) -> int:
    """The strokes, those that fall together counted once, the timekeeping foot not at all."""
    return len({line for line, row in look if row in KIT and row != "hat-foot"})


def _goes_on(takes: list[Performance], part: str) -> float | None:
    """The onsets of a part in fills, as a share of those in the same lines of other bars."""
    kept = usual = 0.0
    for take in takes:
        ends = {end: start for start, end in take.fills}
        plain = [bar for bar in take.bars if bar.end not in ends]
        for bar in take.bars:
            if bar.end not in ends:
                continue
            after = ends[bar.end] - bar.start
            like = [other for other in plain if _alike(bar, other)] or plain
            usual += fmean(_onsets_after(take, part, other, after) for other in like)
            kept += _onsets_after(take, part, bar, after)
    return share(min(kept, usual), usual)


def _alike(bar: Bar, other: Bar) -> bool:
    near = abs(bar.intensity - other.intensity) < 0.4
    return near and bar.pair % 2 == other.pair % 2 and len(bar.slots) == len(other.slots)


def _onsets_after(take: Performance, part: str, bar: Bar, after: int) -> int:
    return sum(onset >= after for onset in take.onsets(part, bar))


def _held(take: Performance) -> int:
    """The chords of four beats or more that begin in a fill."""
    beat = take.form.meter.beat_ticks
    return sum(
        any(note.length >= 4 * beat for note in take.during(COMPING, start, end))
        for start, end in take.fills
    )
