"""Kicks, stops and fermatas: what the whole band strikes together.

In kicks drums and bass keep time and strike along, the comping strikes nothing else; in stops and
under a fermata nobody plays anything but the strokes (common practice).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from operator import attrgetter
from typing import Protocol, TypeVar

from groove.band.changes import Changes
from groove.band.part import DRUMS, GridNote, weight
from groove.form.chart import Bar, Chart, Figure, FigureStroke, Slot
from groove.rhythm.box_notation import grace_strokes
from groove.rhythm.kit import KIT, TIMEKEEPERS


class Timed(Protocol):
    """Anything that begins and ends at a tick."""

    @property
    def start(self) -> int:
        """The tick at which it begins."""

    @property
    def length(self) -> int:
        """Its ticks."""


_Timed = TypeVar("_Timed", bound=Timed)


def with_figures(
    player: str,
    strokes: Sequence[_Timed],
    chart: Chart,
    changes: Changes,
    struck: Callable[[Slot, FigureStroke], _Timed],
    *,
    keeps_time: bool,
) -> list[_Timed]:
    """The strokes in order, with those of the figures in place of what they leave out.

    player: drums, bass, comping or percussion. struck: makes a stroke on a chord. keeps_time:
    whether the player goes on between kicks.
    """
    if not chart.figures:
        return list(strokes)
    finder = _Finder(chart.figures, player)
    kept: list[_Timed] = []
    for stroke in strokes:
        figure = finder.at(stroke.start)
        left_out = figure and figure.leaves_out(player, keeps_time=keeps_time)
        if left_out or stroke.start in finder.ticks:
            continue
        silence = finder.silence_after(stroke.start)
        if silence < stroke.start + stroke.length:
            stroke = replace(stroke, length=silence - stroke.start)  # type: ignore[type-var]
        kept.append(stroke)
    kept += [
        struck(changes.slot_at(stroke.start), stroke)
        for figure in chart.figures
        for stroke in figure.of(player)
    ]
    return sorted(kept, key=attrgetter("start"))


def drums_with_figures(notes: Iterable[GridNote], chart: Chart) -> list[GridNote]:
    """The drum notes with the strokes of the figures: kick and snare, or crash for an accent, where
    the drummer has no strokes of his own in them.

    In kicks the timekeeping goes on.
    """
    if not chart.figures:
        return list(notes)
    finder = _Finder(chart.figures, DRUMS)
    kept = []
    for note in notes:
        figure = finder.at(note.start)
        if figure and figure.leaves_out(DRUMS, keeps_time=True):
            continue
        if note.start in finder.ticks and note.row not in TIMEKEEPERS:
            continue
        silence = finder.silence_after(note.start)
        if silence < note.start + note.length:
            note = replace(note, length=silence - note.start)
        kept.append(note)
    for figure in chart.figures:
        for stroke in figure.of(DRUMS):
            line = chart.bar_at(stroke.start).drums.grid.line_ticks
            usual = ["kick", "crash" if stroke.accent else "snare"]
            heavy = weight(stroke.mark or "x", stroke.accent)
            kept += [
                GridNote(
                    stroke.start, line, KIT[row].note, heavy, row, graces=grace_strokes(stroke.mark)
                )
                for row in ([stroke.row] if stroke.row else usual)
            ]
    return sorted(kept, key=lambda note: (note.start, note.pitch))


def struck_together(chart: Chart) -> frozenset[int]:
    """The ticks of all strokes of figures that players strike together."""
    return frozenset(
        stroke.start
        for figure in chart.figures
        for stroke in (*figure.strokes, *figure.of("comping"), *figure.of("bass"))
    )


def owner(chart: Chart, changes: Changes, tick: int) -> Bar:
    """The bar that a note belongs to: that of its chord's place where the chord is pushed."""
    slot = changes.slot_at(tick)
    early = slot.early and tick < slot.written_start
    return chart.bar_at(slot.written_start if early else tick)


class _Finder:
    """Finds a player's figure at a tick, and the next silence after one."""

    def __init__(self, figures: Sequence[Figure], player: str) -> None:
        self._figures = figures
        self._starts = [figure.start for figure in figures]
        self._silences = [
            min([figure.start, *(stroke.start for stroke in figure.of(player)[:1])])
            for figure in figures
            if figure.leaves_out(player, keeps_time=True)
        ]
        self.ticks = frozenset(stroke.start for figure in figures for stroke in figure.of(player))

    def at(self, tick: int) -> Figure | None:
        """The figure that a tick lies in."""
        place = bisect_right(self._starts, tick) - 1
        for figure in self._figures[max(0, place - 1) : place + 1][::-1]:
            if figure.start <= tick < figure.end:
                return figure
        return None

    def silence_after(self, tick: int) -> int:
        """The next tick after one at which a stop or a fermata begins."""
        place = bisect_right(self._silences, tick)
        return self._silences[place] if place < len(self._silences) else 1 << 60
