"""Comping on keys: the top line, colours, range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from statistics import fmean, quantiles
from typing import Any

from groove.band.part import COMPING, GridNote
from groove.rhythm.patterns import CompingPattern
from groove.theory.chords import Chord
from tests.bench.band.arc import is_ostinato
from tests.bench.band.performance import (
    Performance,
    chordal_performances,
)
from tests.bench.band.table import Figure, Row, share

FEWEST = 3  # notes of a stroke whose top counts
NEAR = 4  # semitones
STEP = 2
LONG = 4  # bars
COLOURED = ("shuffle", "slow", "soul")  # families of blues and funk
LOW = ("slow",)
PADS = ("pads-organ",)

Stroke = tuple[int, list[GridNote]]


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each comping pattern on keys, over a blues and a song."""
    found = []
    for pattern, takes in chordal_performances("keys", names, seeds, {"choruses": 5} | fields):
        found.append(Row(pattern.name, tuple(_figures(pattern, takes))))
    return found


def _figures(pattern: CompingPattern, takes: list[Performance]) -> Iterator[Figure]:
    free = not is_ostinato(pattern) and pattern.name not in PADS
    tops = [[top for _, top in top_line(take)] for take in takes]
    same = [a == b for line in tops for a, b in pairwise(line)]
    runs = [len(list(run)) for line in tops for _, run in groupby(line)]
    moves = [abs(a - b) for line in tops for a, b in pairwise(line) if a != b]
    turns = [
        a == c != b for line in tops for a, b, c in zip(line, line[1:], line[2:], strict=False)
    ]
    yield Figure("same top", fmean(same) if same else None, None, 0.5 if free else None)
    yield Figure("longest", max(runs, default=0), None, 10 if free else None, "{:.0f}")
    fewest = [few for take in takes for few in tops_in_long_chords(take)]
    yield Figure("few tops", share(sum(few < 3 for few in fewest), len(fewest)), None,
                 0.0 if free else None)  # fmt: skip
    near = [abs(a - b) <= NEAR for take in takes for a, b in at_changes(take)]
    yield Figure("near", fmean(near) if near else None, 0.8)
    yield Figure("steps", fmean(move <= STEP for move in moves) if moves else None)
    yield Figure("see-saw", fmean(turns) if turns else None)
    family = takes[0].form.drums.family
    coloured = [held for take in takes for held in coloured_dominants(take)]
    yield Figure("9 or 13", fmean(coloured) if coloured else None,
                 0.5 if family in COLOURED else None)  # fmt: skip
    pitches = [note.pitch for take in takes for note in take.parts[COMPING].notes]
    yield Figure("lowest", min(pitches), form="{:.0f}")
    yield Figure("low 5%", quantiles(pitches, n=20)[0], None, 48 if family in LOW else None,
                 "{:.0f}")  # fmt: skip
    yield Figure("notes", share(len(pitches), sum(len(take.strokes(COMPING)) for take in takes)),
                 form="{:.1f}")  # fmt: skip


def whole_strokes(take: Performance) -> list[Stroke]:
    """The strokes of three notes and more; all, where hardly any has so many."""
    strokes = take.strokes(COMPING)
    whole = [stroke for stroke in strokes if len(stroke[1]) >= FEWEST]
    return whole if len(whole) > len(strokes) // 10 else strokes


def top_line(take: Performance) -> list[tuple[int, int]]:
    """Tick and top pitch of each stroke of three notes and more."""
    return [(tick, max(note.pitch for note in notes)) for tick, notes in whole_strokes(take)]


def tops_in_long_chords(take: Performance) -> Iterator[int]:
    """The number of different tops in each four bars of a chord that lasts as long."""
    line = top_line(take)
    for slot in take.chart.changes:
        bar = take.chart.bar_at(slot.start).length
        for start in range(slot.start, slot.end - LONG * bar + 1, LONG * bar):
            tops = [top for tick, top in line if start <= tick < start + LONG * bar]
            if len(tops) >= FEWEST:
                yield len(set(tops))


def at_changes(take: Performance) -> Iterator[tuple[int, int]]:
    """The top notes before and after each change."""
    line = top_line(take)
    for slot in take.changes:
        before = [top for tick, top in line if tick < slot.start]
        after = [top for tick, top in line if slot.start <= tick < slot.end]
        if before and after:
            yield before[-1], after[0]


def coloured_dominants(take: Performance) -> Iterator[bool]:
    """For each bar of a plain dominant with a stroke, whether it has a ninth or a thirteenth."""
    for bar in take.bars:
        if len(bar.slots) == 1 and is_dominant(bar.slots[0].chord):
            classes = {note.pitch % 12 for note in take.during(COMPING, bar.start, bar.end)}
            root = bar.slots[0].chord.root.pitch_class
            if classes:
                yield bool(classes & {(root + 2) % 12, (root + 9) % 12})


def is_dominant(chord: Chord) -> bool:
    """True for a major third and a minor seventh over the root."""
    above = {(note.pitch_class - chord.root.pitch_class) % 12 for note in chord.notes}
    return {4, 10} <= above
