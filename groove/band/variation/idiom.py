"""Derives cells of a bass or comping pattern: displaced, thinned, pushed, ghosted.

A derived cell keeps in each bar three quarters of its onsets in common with a written bar, or all
but one. What a style hangs on stays where it is written: the places that most bars of the pattern
share (a chop on two and four, a skank), accents, a bass's root on the one and its approach. New
strokes stand only where the pattern's beats are divided anyway.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from groove.band.variation.cells import (
    Onsets,
    bars_of,
    displaced,
    joined,
    joins,
    near_written,
    onsets_of,
    short,
    thinned,
    with_strokes,
)
from groove.rhythm.box_notation import Cell
from groove.rhythm.patterns import BassPattern, CompingPattern

SHARED = 0.75  # of all bars of a pattern: a place struck in so many stays
RARE = 0.04  # of all strokes: a division of the beat with fewer is no place for new ones
FEW = 12  # derived cells of a written one
EACH = 2  # cells with a second change, for each that has one
CHORD, LINE, LOWEST = "chord", "line", "voice-1"  # rows
PUSH, DEAD, GHOST, WALK = "n", "x", "o", "w"  # marks
LEADING = ("a", "v", "n")  # a bass's marks that lead to the next chord

Look = frozenset[tuple[int, str, bool]]


class Idiom:
    """The freedom that a bass or comping pattern leaves its player."""

    def __init__(self, pattern: BassPattern | CompingPattern) -> None:
        self._lines, self._beat = pattern.grid.lines, pattern.grid.lines_per_beat
        self._is_bass = isinstance(pattern, BassPattern)
        bars = [bar for cell in pattern.cells for bar in bars_of(cell, self._lines)]
        self._written, self._near = set(bars), dict[Onsets, bool]()
        count = Counter(line for bar in bars for line in bar)
        self._shared = {line for line, n in count.items() if n >= SHARED * len(bars)}
        self._always = {line for line, n in count.items() if n == len(bars)}
        phases: Counter[int] = Counter()
        for line, n in count.items():
            phases[line % self._beat] += n
        usual = {phase for phase, n in phases.items() if n >= RARE * phases.total()}
        self._places = [line for line in range(self._lines) if line % self._beat in usual]
        strokes = [stroke for cell in pattern.cells for stroke in cell.strokes]
        marks = {stroke.mark.lower() for stroke in strokes}
        self._dead = DEAD if self._is_bass else GHOST
        self._has_dead = self._dead in marks
        self._pushes = PUSH in marks and not self._is_bass
        self._legato = all(joins(cell) for cell in pattern.cells)
        self._rows: dict[int, set[str]] = {}  # struck at each place of a bar
        for stroke in strokes:
            self._rows.setdefault(stroke.line % self._lines, set()).add(stroke.row)

    def derived(self, cell: Cell) -> Iterator[Cell]:
        """The cells that one change makes, then those that two make, each once.

        Last come those without one of the places that all bars share; a bass leaves out two where
        there are few others.
        """
        seen = {self._look(cell)}
        singles = list(self._new(self._changed(cell), seen))
        doubles = [
            changed
            for single in singles
            for changed in islice(self._new(self._changed(single), seen), EACH)
        ]
        yield from (*singles, *doubles)
        bare = list(self._new(self._bared((cell, *singles)), seen))
        yield from bare
        if self._is_bass and len(singles) + len(doubles) < FEW:
            yield from self._new(self._bared(bare), seen)

    def _bared(self, cells: Sequence[Cell]) -> Iterator[Cell]:
        """The cells without one of the strokes that need not hold the bar together."""
        for cell in cells:
            for line in onsets_of(cell):
                always = not self._is_bass and line % self._lines in self._always
                if not (always or self._holds(cell, line)):
                    yield thinned(cell, line)

    def _new(self, cells: Iterable[Cell], seen: set[Look]) -> Iterator[Cell]:
        for made in cells:
            cell = joined(made) if self._legato else made
            look = self._look(cell)
            if look not in seen and self._is_near(cell):
                seen.add(look)
                yield cell

    def _look(self, cell: Cell) -> Look:
        """Line, row and whether it is dead, of each stroke: cells that share them sound alike."""
        return frozenset((s.line, s.row, s.mark == self._dead) for s in cell.strokes)

    def _is_near(self, cell: Cell) -> bool:
        """True if each bar has strokes, and is near to a written one, and a walking line holds no
        note that begins off the beat."""
        beat = self._beat
        if any(
            s.mark == WALK and s.line % beat and s.line % beat + s.lines > beat
            for s in cell.strokes
        ):
            return False
        return all(self._bar_is_near(bar) for bar in bars_of(cell, self._lines))

    def _bar_is_near(self, bar: Onsets) -> bool:
        if bar not in self._near:
            self._near[bar] = any(
                near_written(bar, written) and 2 * len(bar) >= len(written) > 0
                for written in self._written
            )
        return self._near[bar]

    def _changed(self, cell: Cell) -> Iterator[Cell]:
        onsets = onsets_of(cell)
        loose = [line for line in onsets if not self._stays(cell, line)]
        for line in loose:
            yield thinned(cell, line)
        for line in loose:
            for to in self._free_beside(line, onsets, cell.lines):
                if self._moves(line % self._lines, to % self._lines):
                    yield displaced(cell, line, to)
        for line in onsets:
            for to in self._free_beside(line, onsets, cell.lines):
                yield from self._added(cell, line, to)

    def _moves(self, line: int, to: int) -> bool:
        """True if a written bar has a stroke on one place and none on the other."""
        return any(to in bar and line not in bar for bar in self._written)

    def _stays(self, cell: Cell, line: int) -> bool:
        """True for strokes that are neither moved nor left out: those that hold the bar together,
        and what most bars have in common, chords and low notes on a beat."""
        if self._holds(cell, line):
            return True
        if line % self._lines not in self._shared:
            return False
        low = any(s.row == LOWEST for s in cell.strokes if s.line == line)
        here = self._rows[line % self._lines]
        return bool(here & {CHORD, LINE}) or (low and line % self._beat == 0)

    def _holds(self, cell: Cell, line: int) -> bool:
        """True for accents, and for a bass's root on the one and notes that lead to a chord."""
        if any(s.accent for s in cell.strokes if s.line == line):
            return True
        last = self._is_last(cell, line)
        leads = any(
            s.mark in LEADING or (s.mark == WALK and last) for s in cell.strokes if s.line == line
        )
        return self._is_bass and (leads or line % self._lines == 0)

    def _is_last(self, cell: Cell, line: int) -> bool:
        """True for the last strokes of a bar."""
        bar = line // self._lines
        return not any(s.line > line and s.line // self._lines == bar for s in cell.strokes)

    def _free_beside(self, line: int, onsets: list[int], lines: int) -> Iterator[int]:
        """The nearest places before and after an onset, within its bar and half a beat, that
        are free."""
        first = line - line % self._lines
        places = [first + place for place in self._places]
        reach = max(1, self._beat // 2 if self._beat % 3 else 2 * self._beat // 3)
        earlier = [place for place in places if line - reach <= place < line]
        later = [place for place in places if line < place <= line + reach]
        for place in (*earlier[-1:], *later[:1]):
            if place not in onsets and place < lines:
                yield place

    def _added(self, cell: Cell, line: int, to: int) -> Iterator[Cell]:
        """The cell with a dead stroke, a repeat or a push beside one of its strokes.

        After a long note only what leads to the next stroke or bar is added. Chords strike what
        another cell strikes at that place, or the same again; a bass repeats its note.
        """
        before = [stroke for stroke in cell.strokes if stroke.line < to]
        here = [stroke for stroke in cell.strokes if stroke.line == line]
        if any(s.mark.lower() in (self._dead, *LEADING) for s in here):
            return
        rings = any(s.line < to < s.line + s.lines for s in cell.strokes)
        leads = to < line or not any(to < s.line for s in cell.strokes)
        if rings and not leads:
            return
        first = before[-1] if self._is_bass and before else here[0]
        if first.mark in (self._dead, *LEADING):
            return
        if first.mark == WALK and self._is_last(cell, to):
            return  # the step into the next chord is the last note of the bar
        rows = {LINE}
        if not self._is_bass:
            rows = self._rows.get(to % self._lines, set()) or {stroke.row for stroke in here}
            rows = {CHORD} if CHORD in rows else rows
        if self._has_dead and not rings:
            yield with_strokes(cell, [short(first, to, min(rows), self._dead)])
        yield with_strokes(
            cell, [short(first, to, row, first.mark.lower()) for row in sorted(rows)]
        )
        if to + 1 == cell.lines and self._pushes:
            yield with_strokes(cell, [short(first, to, CHORD, PUSH)])
