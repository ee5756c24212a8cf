"""Chooses the bars of a player of chords, one after another."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from random import Random

from groove.band.cell_chooser import CellChooser, PlayedBar
from groove.form.chart import Bar
from groove.rhythm.patterns import CompingPattern

REPEATS = 6  # bars that may go on with the same two bars
TRIES = 24  # for a bar that does not


@dataclass
class BarChooser:
    """Chooses bars: calmer where the drummer or the other player of chords is busy, no figure
    repeated without end, and the drummer's figure answered where the plan says so.

    first: the pattern of the first bar. busy: the starts of bars in which the drummer is busy or
    leads. other: the ticks at which the other player of chords strikes. answers: for the start of
    a bar the ticks from it on of the figure that the drummer had before.
    """

    first: CompingPattern
    busy: frozenset[int]
    other: Sequence[int]
    answers: Mapping[int, frozenset[int]]
    rng: Random

    def __post_init__(self) -> None:
        self._chooser = CellChooser(self.first, self.rng)
        self._looks: list[object] = []
        self._repeated = 0

    def next(self, bar: Bar, pattern: CompingPattern, index: int) -> PlayedBar:
        """The strokes for a bar; index counts the bars from the first chorus on."""
        against = bisect_left(self.other, bar.end) - bisect_left(self.other, bar.start)
        if bar.start in self.busy or against > bar.meter.beats:
            bar = replace(bar, intensity=max(1.0, bar.intensity - 1))
        before = self._looks[-2] if len(self._looks) > 1 else None
        played = self._chooser.next(bar, pattern, index)
        for _ in range(TRIES):
            if self._repeated < REPEATS or index % 2 or played.strokes != before:
                break
            played = self._chooser.next(bar, pattern, index)
        if bar.start in self.busy:
            other = self.rng.choice(self._chooser.others(bar, pattern, index))
            played = min(played, other, key=_ticks)
        figure = self.answers.get(bar.start)
        if figure and not pattern.is_ostinato:
            played = self._answer(figure, played, pattern, index)
        if against > bar.meter.beats and _ticks(played) > bar.meter.beats:
            calm = replace(bar, intensity=1.0)
            calmest = min(self._chooser.others(calm, pattern, index), key=_ticks)
            played = self._thinned(calmest, pattern)
        self._repeated = self._repeated + 1 if played.strokes == before else 0
        self._looks = [*self._looks[-1:], played.strokes]
        return played

    def _answer(
        self, figure: frozenset[int], played: PlayedBar, pattern: CompingPattern, index: int
    ) -> PlayedBar:
        """The bar at this level that is most like a figure; the one chosen if none is more so."""
        line = pattern.grid.line_ticks

        def likeness(other: PlayedBar) -> float:
            struck = {stroke.line * line for stroke in other.strokes}
            return len(struck & figure) / len(struck | figure)

        return max((played, *self._chooser.others(played.bar, pattern, index)), key=likeness)

    def _thinned(self, played: PlayedBar, pattern: CompingPattern) -> PlayedBar:
        """Fewer strokes than beats, those first in which the other player rests, so that there is
        room for one that anticipates a change."""
        bar = played.bar
        first = bisect_left(self.other, bar.start)
        struck = set(self.other[first : bisect_left(self.other, bar.end)])
        line = bar.length // pattern.grid.lines
        lines = sorted(
            {stroke.line for stroke in played.strokes},
            key=lambda at: (bar.start + at * line in struck, at),
        )
        kept = set(lines[: bar.meter.beats - 1])
        strokes = tuple(stroke for stroke in played.strokes if stroke.line in kept)
        return replace(played, strokes=strokes)


def _ticks(played: PlayedBar) -> int:
    """The places in a bar at which something is struck."""
    return len({stroke.line for stroke in played.strokes})
