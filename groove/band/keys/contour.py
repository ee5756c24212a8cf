"""The contour of a top line: how high it wants to be at each time of the track."""

from __future__ import annotations

from bisect import bisect_right
from random import Random

from groove import library
from groove.form.chart import Bar, Chart

PHRASE = 4  # bars
HALVES = 2  # values of a contour to a bar
STRETCH = (0.7, 1.15)  # how far contours reach, from phrase to phrase


class Contours:
    """The contours of all phrases of a chart: heights in semitones off the middle of the line.

    A section or chorus has one motif, which returns in each of its phrases, now higher, now lower.
    rng: the player's own. figure: whether the motif is repeated as it is every two bars, as a
    montuno's is, in place of being answered.
    """

    def __init__(self, chart: Chart, rng: Random) -> None:
        data = library.table("keys")
        self._motifs = list(data["contours"].values())
        self._lifts = data["phrases"]["lifts"]
        self._chart = chart
        self._starts: list[int] = []  # of phrases, in ticks
        self._phrases: list[tuple[list[int], float, float]] = []
        motif: list[int] = []
        number = 0
        for before, bar in zip((None, *chart.bars), chart.bars, strict=False):
            if _opens(before, bar):
                others = [other for other in self._motifs if other != motif]
                motif, number = rng.choice(others), 0
            if not (bar.in_section - 1) % PHRASE or not self._starts:
                self._starts.append(bar.start)
                lift = self._lifts[number % len(self._lifts)]
                self._phrases.append((motif, lift, rng.uniform(*STRETCH)))
                number += 1

    def at(self, tick: int, figure: bool = False) -> float:
        """The height at a tick. figure: whether the motif comes back unanswered and unlifted."""
        place = max(0, bisect_right(self._starts, tick) - 1)
        motif, lift, stretch = self._phrases[place]
        bar = self._chart.bar_at(tick)
        half = min(HALVES - 1, HALVES * max(0, tick - bar.start) // bar.length)
        if figure:
            return float(motif[HALVES * ((bar.in_section - 1) % 2) + half])
        return lift + stretch * motif[HALVES * ((bar.in_section - 1) % PHRASE) + half]


def _opens(before: Bar | None, bar: Bar) -> bool:
    """True if a section or a chorus begins with a bar."""
    return before is None or bar.in_section == 1 or bar.top or bar.round != before.round
