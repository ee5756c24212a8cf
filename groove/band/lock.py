"""The bassist hears the kick: of the cells of an idiom, the one that falls in with it."""

from __future__ import annotations

from bisect import bisect_left
from random import Random

from groove.band.part import GHOST, Part
from groove.band.patterns import Cell, Pattern
from groove.form.chart import Bar

HOME = 0.12  # what staying with the phrase's cell is worth, in parts of full agreement
CHANCE = 0.25


class KickLock:
    """Deals out cells of a bass pattern, bar by bar, by what the kick plays in that bar.

    A cell of two bars keeps to pairs of bars, counted from the start.
    """

    def __init__(self, pattern: Pattern, drums: Part, rng: Random) -> None:
        self._pattern, self._rng = pattern, rng
        self.kicks = sorted(
            {note.start for note in drums.notes if note.row == "kick" and note.weight > GHOST}
        )
        self._home: Cell | None = None

    def cell(self, bar: Bar, index: int) -> Cell:
        """The cell that begins with a bar; index counts the bars from the first chorus on."""
        level = int(bar.intensity + self._rng.uniform(0.35, 0.65))
        cells = self._pattern.cells_at(max(1, min(3, level)))
        if index % 2:
            single = tuple(cell for cell in cells if cell.lines == self._pattern.grid.lines)
            cells = single or cells
        chosen = max(cells, key=lambda cell: self._worth(cell, bar))
        if index % 4 == 0 or self._home not in cells:
            self._home = chosen
        return chosen

    def _worth(self, cell: Cell, bar: Bar) -> float:
        worth = self.agreement(cell, bar) + CHANCE * self._rng.random()
        return worth + (HOME if cell is self._home else 0.0)

    def agreement(self, cell: Cell, bar: Bar) -> float:
        """How much of the kick and of a cell fall together, 0 (nothing) to 1 (all)."""
        line = self._pattern.grid.line_ticks
        first = bisect_left(self.kicks, bar.start)
        past = bisect_left(self.kicks, bar.start + cell.lines * line)
        kicks = set(self.kicks[first:past])
        struck = {bar.start + stroke.line * line for stroke in cell.strokes}
        if cell.held:
            struck.discard(bar.start)
        together = len(kicks & struck)
        return 2 * together / (len(kicks) + len(struck)) if kicks else 0.0
