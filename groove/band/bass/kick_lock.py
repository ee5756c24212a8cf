"""Chooses the cells of a bass pattern that agree best with the kick.

After the first bars a phrase's home cell may be one derived from a written one, and so is the bar
that answers it, one not heard yet if there is any.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from random import Random

from groove.band.cell_chooser import ANSWER, COURSES, MORE_VARIED, STATED, Levels
from groove.band.changes import Changes
from groove.band.part import Part
from groove.band.variation.variations import Heard, Variations, variations_of
from groove.form.chart import Bar
from groove.form.road.phrasing import PHRASE
from groove.rhythm.box_notation import GHOST, Cell
from groove.rhythm.patterns import BassPattern

# Scores of a cell beside its agreement with the kick, which is 0 to 1.
HOME = 0.1  # the home cell of the phrase
LEADS = 0.2  # ends on an approach before a change, or on none where no change follows
CHANCE = 0.4
MOTIF = 0.5  # how likely a home cell is derived
CONSIDERED = 6  # derived cells of which the best is played


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
        self._answers: frozenset[int] = frozenset()  # places in the phrase
        self._heard: dict[str, set[Heard]] = {}  # everywhere, and under which chords
        self._known: tuple[BassPattern, Variations] | None = None
        self._bars = 0

    def cell(self, bar: Bar, index: int) -> Cell:
        """The cell that begins with a bar; index counts the bars from the first chorus on."""
        cells = bar.bass.cells_at(self._levels.at(bar.intensity))
        if index % 2:
            cells = tuple(c for c in cells if c.lines == bar.bass.grid.lines) or cells
        chosen = self._due(cells, bar, index % PHRASE)
        for heard in self._heard_at(bar):
            heard.add(self._variations(bar.bass).look(chosen))
        self._bars += 1
        return chosen

    def _due(self, cells: tuple[Cell, ...], bar: Bar, place: int) -> Cell:
        """The next cell of the phrase, of those that fit; place: of the bar in the phrase."""
        varies = self._bars >= STATED
        if varies and place in self._answers:
            return self._derived(self._best(cells, bar), cells, bar)
        if place and self._goes_on(cells):
            return self._best((*cells, self._home) if self._home else cells, bar)
        self._home = self._best(cells, bar)
        is_sparse = self._variations(bar.bass).is_sparse
        if varies and self._rng.random() < MOTIF * (MORE_VARIED if is_sparse else 1):
            self._home = self._derived(self._home, cells, bar)
        courses = self._rng.sample(COURSES, 2 if is_sparse else 1)
        self._answers = frozenset(
            at for course in courses for at in range(PHRASE) if course[at] == ANSWER
        )
        return self._home

    def _heard_at(self, bar: Bar) -> list[set[Heard]]:
        """The rhythms heard so far, everywhere and under the chords of a bar."""
        chords = (self._changes.slot_at(tick).chord for tick in (bar.start, bar.end))
        under = " ".join(map(str, chords))
        places = (under,) if bar.bass.is_ostinato else ("", under)
        return [self._heard.setdefault(place, set()) for place in places]

    def _variations(self, pattern: BassPattern) -> Variations:
        if self._known is None or self._known[0] is not pattern:
            self._known = pattern, variations_of(pattern)
        return self._known[1]

    def _goes_on(self, cells: tuple[Cell, ...]) -> bool:
        """True if the home cell is one of a level's, and fits where one of them does."""
        home = self._home
        return home is not None and any(
            (home.level, home.lines) == (cell.level, cell.lines) for cell in cells
        )

    def _best(self, cells: Sequence[Cell], bar: Bar) -> Cell:
        return max(cells, key=lambda cell: self._worth(cell, bar))

    def _derived(self, cell: Cell, cells: Sequence[Cell], bar: Bar) -> Cell:
        """The best of some cells derived from one, not heard before if there are any, else from
        others of its level; the cell itself where none can be derived."""
        others = [other for other in cells if other.lines == cell.lines]
        fresh = self._variations(bar.bass).fresh(cell, others, *self._heard_at(bar))
        if not fresh:
            return cell
        return self._best(self._rng.sample(fresh, min(CONSIDERED, len(fresh))), bar)

    def _worth(self, cell: Cell, bar: Bar) -> float:
        worth = self.agreement(cell, bar) + CHANCE * self._rng.random()
        worth += HOME if cell is self._home else 0.0
        end = bar.start + cell.lines * bar.bass.grid.line_ticks
        change_follows = self._changes.slot_at(end - 1).end == end
        leads = bool(cell.strokes) and cell.strokes[-1].mark in "av"
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
