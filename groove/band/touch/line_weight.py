"""The weight of a line or of chords: the metre, the contour, the phrase, and this take's habits.

A bassist leans on the one and on the highest note of a turn of the line; a player of chords strikes
the first chord after a rest harder than those that follow it closely. Both grow over a phrase of
four bars. Figures: ``patterns/touch/band.toml``.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any

from groove.band.part import GridNote
from groove.band.touch.feel import BandFeel
from groove.rhythm.box_notation import ACCENT, GHOST

PHRASE = 4  # bars
FARTHEST = 7  # semitones from its neighbours by which a note of the line is weighed at most


class LineWeight:
    """The weights of one take of a player other than the drummer.

    groups: the notes by time, those struck together in one. rng: the player's own.
    """

    def __init__(
        self,
        groups: Sequence[tuple[int, Sequence[GridNote]]],
        feel: BandFeel,
        figures: dict[str, Any],
        rng: Random,
    ) -> None:
        self._groups, self._feel, self._figures, self._rng = groups, feel, figures, rng
        self._tops = [max(note.pitch for note in notes) for _, notes in groups]
        self._habits: dict[int, float] = {}

    def at(self, index: int) -> float:
        """The velocities by which the strokes of a group differ from their mark."""
        start, notes = self._groups[index]
        heaviest = max(note.weight for note in notes)
        if heaviest <= GHOST:
            return 0.0  # dead and ghost notes have no place in the line
        added: float = (
            self._metre(start)
            + self._figures["contour"] * self._contour(index)
            + self._figures["phrase"] * self._into_phrase(start)
            + (0.0 if self._rested(index) else self._figures["follows"])
        )
        accent = heaviest >= ACCENT and added > 0  # it is as heavy as it gets
        return added * self._figures["accent_leans"] if accent else added

    def _metre(self, start: int) -> float:
        """By the place in the bar: the one, other strong beats, weak beats, between beats; and
        this take's habit at that place."""
        bar, figures = self._feel.chart.bar_at(start), self._figures
        into = start - bar.start
        if into not in self._habits:
            self._habits[into] = max(-2.0, min(2.0, self._rng.gauss(0, 1)))
        one, strong, weak, between = figures["metre"]
        if self._feel.ratio(start) != 1 and bar.drums.family == "swing":
            one, strong, weak, between = figures["swing_metre"]
        habit = float(figures["place_habit"]) * self._habits[into]
        if into == 0:
            return habit + float(one)
        if self._feel.beat_part(start) != 0:
            return habit + float(between)
        meter = bar.meter
        half = meter.beats % 2 == 0 and into * 2 == meter.bar_ticks
        return habit + float(strong if half or into in meter.group_starts else weak)

    def _contour(self, index: int) -> float:
        """Semitones by which the top of a group lies above its neighbours', on the mean."""
        near = [self._tops[i] for i in (index - 1, index + 1) if 0 <= i < len(self._tops)]
        if not near:
            return 0.0
        above = self._tops[index] - sum(near) / len(near)
        return max(-FARTHEST, min(FARTHEST, above))

    def _into_phrase(self, start: int) -> float:
        """-1 at the beginning of a phrase to 1 at its end."""
        bar = self._feel.chart.bar_at(start)
        bars = max(0, bar.in_section - 1) % PHRASE + (start - bar.start) / bar.length
        return 2 * bars / PHRASE - 1

    def _rested(self, index: int) -> bool:
        """True if nothing was struck in the beat before a group."""
        start = self._groups[index][0]
        return index == 0 or start - self._groups[index - 1][0] >= self._feel.beat
