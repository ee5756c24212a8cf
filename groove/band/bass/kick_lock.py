"""Chooses the cells of a bass pattern that agree best with the kick."""

from __future__ import annotations

from bisect import bisect_left
from random import Random

from groove.band.cell_chooser import Levels
from groove.band.changes import Changes
from groove.band.part import Part
from groove.form.chart import Bar
from groove.rhythm.box_notation import GHOST, Cell

# Scores of a cell beside its agreement with the kick, which is 0 to 1.
HOME = 0.1  # the home cell of the phrase
LEADS = 0.2  # ends on an approach before a change, or on none where no change follows
CHANCE = 0.4


class KickLock:
    """Chooses cells of a bass pattern, bar by bar, by the kick's strokes in that bar.

    A cell of two bars keeps to pairs of bars, counted from the start.
    """

    def __init__(self, drums: Part, changes: Changes, rng: Random) -> None:
        self._changes, self._rng = changes, rng
        self.kicks = sorted(
            {note.start for note in drums.notes if note.row == "kick" and note.weight > GHOST}
        )
        self._levels = Levels(rng)
        self._home: Cell | None = None

    def cell(self, bar: Bar, index: int) -> Cell:
        """The cell that begins with a bar; index counts the bars from the first chorus on."""
        cells = bar.bass.cells_at(self._levels.at(bar.intensity))
        if index % 2:
            single = tuple(cell for cell in cells if cell.lines == bar.bass.grid.lines)
            cells = single or cells
        chosen = max(cells, key=lambda cell: self._worth(cell, bar))
        if index % 4 == 0 or self._home not in cells:
            self._home = chosen
        return chosen

    def _worth(self, cell: Cell, bar: Bar) -> float:
        worth = self.agreement(cell, bar) + CHANCE * self._rng.random()
        worth += HOME if cell is self._home else 0.0
        end = bar.start + cell.lines * bar.bass.grid.line_ticks
        change_follows = self._changes.slot_at(end - 1).end == end
        leads = bool(cell.strokes) and cell.strokes[-1].mark == "a"
        return worth + (LEADS if leads == change_follows else 0.0)

    def agreement(self, cell: Cell, bar: Bar) -> float:
        """The share of kick and cell strokes that fall together, 0 (none) to 1 (all)."""
        line = bar.bass.grid.line_ticks
        first = bisect_left(self.kicks, bar.start)
        past = bisect_left(self.kicks, bar.start + cell.lines * line)
        kicks = set(self.kicks[first:past])
        struck = {bar.start + stroke.line * line for stroke in cell.strokes}
        if cell.held:
            struck.discard(bar.start)
        together = len(kicks & struck)
        return 2 * together / (len(kicks) + len(struck)) if kicks else 0.0
