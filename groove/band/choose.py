"""Choosing the cells that a player plays, bar by bar, so that a track breathes.

Within a phrase one cell is at home and others vary it; a cell of two bars keeps to pairs
of bars counted from the start, so that a clave never flips.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from groove.band.patterns import Cell, Pattern, Stroke
from groove.form.chart import Bar

VARIED = 0.35  # how likely a bar inside a phrase leaves the phrase's home cell


@dataclass(frozen=True, slots=True)
class PlayedBar:
    """A bar with the strokes chosen for it, lines counted from its start."""

    bar: Bar
    strokes: tuple[Stroke, ...]
    held: bool


class CellChooser:
    """Deals out cells of a pattern for one bar after another."""

    def __init__(self, pattern: Pattern, rng: Random) -> None:
        self._pattern, self._rng = pattern, rng
        self._home: Cell | None = None
        self._pair: Cell | None = None

    def next(self, bar: Bar, index: int) -> PlayedBar:
        """The strokes for a bar; index counts the bars from the first chorus on."""
        lines = self._pattern.grid.lines
        second = index % 2 == 1 and self._pair is not None and self._pair.lines > lines
        cell = self._pair if second and self._pair else self._pick(bar, index)
        self._pair = None if second else cell
        if cell.lines == lines:
            return PlayedBar(bar, cell.strokes, cell.held)
        offset = lines if index % 2 else 0
        strokes = tuple(
            Stroke(s.line - offset, s.lines, s.row, s.mark, s.accent, s.octave)
            for s in cell.strokes
            if offset <= s.line < offset + lines
        )
        held = (
            cell.held
            if not offset
            else any(s.line < lines < s.line + s.lines for s in cell.strokes)
        )
        return PlayedBar(bar, strokes, held)

    def _pick(self, bar: Bar, index: int) -> Cell:
        level = int(bar.intensity + self._rng.uniform(0.35, 0.65))
        cells = self._pattern.cells_at(max(1, min(3, level)))
        if index % 4 == 0 or self._home not in cells:
            self._home = self._rng.choice(cells)
        elif self._rng.random() < VARIED:
            return self._rng.choice(cells)
        assert self._home is not None
        return self._home
