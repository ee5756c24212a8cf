"""The cells that can be derived from those of a pattern, by what kind of pattern it is.

Bass and comping are changed stroke by stroke (groove.band.variation.idiom), an ostinato only by
joining halves of its written cells, drums and percussion by exchanging details between them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import islice
from statistics import median

from groove.band.variation.cells import bars_of
from groove.band.variation.crossing import crossed
from groove.band.variation.idiom import Idiom
from groove.band.variation.splicing import spliced
from groove.rhythm.box_notation import Cell
from groove.rhythm.patterns import BassPattern, CompingPattern, Pattern

MOST = 40  # derived cells of a written one
SPARSE, SHORT = 3, 6  # onsets, lines

Heard = frozenset[tuple[int, str]]


@lru_cache(maxsize=256)
def variations_of(pattern: Pattern) -> Variations:
    """The derived cells of a pattern."""
    return Variations(pattern)


class Variations:
    """The derived cells of a pattern, made when they are asked for.

    is_pitched: whether it is for bass or chords. is_sparse: whether most bars have three onsets or
    fewer, or no more than six lines, so that it takes two to say something.
    """

    def __init__(self, pattern: Pattern) -> None:
        self._pattern = pattern
        self._idiom: Idiom | None = None
        self.is_pitched = isinstance(pattern, (BassPattern, CompingPattern))
        self._ostinato = isinstance(pattern, (BassPattern, CompingPattern)) and pattern.is_ostinato
        self._made: dict[int, tuple[Cell, list[tuple[Cell, Heard]]]] = {}
        bars = [bar for cell in pattern.cells_at(2) for bar in bars_of(cell, pattern.grid.lines)]
        few = median(len(bar) for bar in bars) <= SPARSE
        self.is_sparse = few or pattern.grid.lines <= SHORT

    def of(self, cell: Cell) -> tuple[Cell, ...]:
        """The cells derived from one of the pattern's, the nearest to it first."""
        return tuple(found for found, _ in self._of(cell))

    def fresh(self, cell: Cell, others: Sequence[Cell], *heard: set[Heard]) -> list[Cell]:
        """The cells derived from one, or else from others, that were not heard; all derived from
        the one where all were heard. heard: everywhere, then under the same chords."""
        for known in heard:
            for cells in ((cell,), others):
                found = [made for c in cells for made, look in self._of(c) if look not in known]
                if found:
                    return found
        return [made for made, _ in self._of(cell)]

    def look(self, cell: Cell) -> Heard:
        """The key of bars that are heard as the same: a rhythm, on drums with its voices, of an
        ostinato with all its notes."""
        if self._ostinato:
            return frozenset((s.line, f"{s.row} {s.mark} {s.octave}") for s in cell.strokes)
        if self.is_pitched:
            return frozenset((stroke.line, "") for stroke in cell.strokes)
        return frozenset((stroke.line, stroke.row) for stroke in cell.strokes)

    def _of(self, cell: Cell) -> list[tuple[Cell, Heard]]:
        kept = self._made.get(id(cell))
        if kept is None:
            found = [(made, self.look(made)) for made in islice(self._derived(cell), MOST)]
            kept = self._made[id(cell)] = (cell, found)
        return kept[1]

    def _derived(self, cell: Cell) -> Iterator[Cell]:
        pattern = self._pattern
        if self._ostinato:
            return spliced(cell, pattern)
        if isinstance(pattern, (BassPattern, CompingPattern)):
            self._idiom = self._idiom or Idiom(pattern)
            return self._idiom.derived(cell)
        return crossed(cell, pattern)
