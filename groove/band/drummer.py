"""The drummer: cells, fills at the turns, a crash at the top, never a chorus twice."""

from __future__ import annotations

from random import Random

from groove.band.choose import CellChooser
from groove.band.kit import FOOT, HAND, KIT
from groove.band.part import STROKE, GridNote, Part, weight
from groove.band.patterns import Cell, Pattern, Stroke
from groove.form.chart import Bar, Chart

HANDS = 2
TIMEKEEPERS = ("hat", "hat-open", "ride", "bell", "cowbell", "maracas", "cabasa")
TRIES = 24  # for a chorus unlike those before it; a form of a bar or two may have no more
GHOST_KEPT = 0.8


def play_drums(chart: Chart, pattern: Pattern, rng: Random) -> Part:
    """The drum part of a chart, count-in first; rng is the drummer's own."""
    drummer = _Drummer(chart, pattern, rng)
    notes = drummer.count_in()
    played: set[tuple[tuple[int, str, float], ...]] = set()
    bars = [bar for bar in chart.bars if bar.number]
    size = chart.form.bars
    for chorus in range(chart.form.choruses):
        stretch = bars[chorus * size : (chorus + 1) * size]
        for _ in range(TRIES):
            take, fills = drummer.chorus(stretch, chorus * size)
            look = tuple((n.start - stretch[0].start, n.row, n.weight) for n in take)
            if look not in played:
                break
        played.add(look)
        notes += take
        drummer.fills += fills
    if chart.ending:
        notes += drummer.ending(chart.ending)
    return Part("drums", pattern, tuple(with_two_hands(notes)), tuple(drummer.fills))


class _Drummer:
    def __init__(self, chart: Chart, pattern: Pattern, rng: Random) -> None:
        self.chart, self.pattern, self.rng = chart, pattern, rng
        self.line = pattern.grid.line_ticks
        self.chooser = CellChooser(pattern, rng)
        self.fills: list[tuple[int, int]] = []
        self.last_fill: Cell | None = None

    def count_in(self) -> list[GridNote]:
        meter = self.chart.form.meter
        click = self.pattern.options.get("click", "side-stick")
        return [
            GridNote(
                bar * meter.bar_ticks + beat * meter.beat_ticks,
                self.line, KIT[click].note, weight("x", beat == 0), click,
            )
            for bar in range(self.chart.form.count_in)
            for beat in range(meter.beats)
        ]  # fmt: skip

    def chorus(self, bars: list[Bar], first: int) -> tuple[list[GridNote], list[tuple[int, int]]]:
        notes: list[GridNote] = []
        fills = []
        for index, bar in enumerate(bars, first):
            played = self.chooser.next(bar, index)
            strokes = [s for s in played.strokes if s.mark != "o" or self._keeps_ghost()]
            fill = self._fill(bar)
            if fill:
                from_line = self.pattern.grid.lines - fill.lines
                strokes = [s for s in strokes if s.line < from_line]
                strokes += [
                    Stroke(s.line + from_line, s.lines, s.row, s.mark, s.accent)
                    for s in fill.strokes
                ]
                fills.append((bar.start + from_line * self.line, bar.end))
            placed = [self._note(bar, stroke) for stroke in strokes]
            if self._lifts(bar):
                placed = self._with_crash(bar, placed)
            notes += placed
        return notes, fills

    def ending(self, bar: Bar) -> list[GridNote]:
        cell = self.pattern.ending
        return [self._note(bar, stroke) for stroke in cell.strokes] if cell else []

    def _note(self, bar: Bar, stroke: Stroke) -> GridNote:
        return GridNote(
            bar.start + stroke.line * self.line,
            self.line,
            KIT[stroke.row].note,
            weight(stroke.mark, stroke.accent),
            stroke.row,
        )

    def _keeps_ghost(self) -> bool:
        return self.rng.random() < GHOST_KEPT

    def _fill(self, bar: Bar) -> Cell | None:
        """A fill where the form turns: longer at the end of a chorus and as the band rises."""
        if not bar.turn:
            return None
        beats = [fill.lines // self.pattern.grid.lines_per_beat for fill in self.pattern.fills]
        room = self.pattern.grid.meter.beats if bar.intensity > 1.7 else 2
        low, high = (2, max(2, room)) if bar.turn == "chorus" else (1, 2)
        fits = [f for f, n in zip(self.pattern.fills, beats, strict=True) if low <= n <= high]
        fresh = [fill for fill in fits if fill is not self.last_fill] or fits
        self.last_fill = self.rng.choice(fresh) if fresh else None
        return self.last_fill

    def _lifts(self, bar: Bar) -> bool:
        """Whether a crash marks the bar: the top of a chorus, the first bar of a section.

        The very first bar follows the count-in quietly, unless it will be repeated.
        """
        if bar.chorus == 0 and bar.number == 1:
            return self.chart.form.ending == "loop"
        return bar.top

    def _with_crash(self, bar: Bar, notes: list[GridNote]) -> list[GridNote]:
        kept = [n for n in notes if n.start != bar.start or n.row not in TIMEKEEPERS]
        loud = min(1.0, STROKE + 0.12 * (bar.intensity - 1))
        rows = {note.row for note in kept if note.start == bar.start}
        for row in [self.pattern.options.get("crash", "crash"), "kick"]:
            if row not in rows:
                kept.append(GridNote(bar.start, self.line, KIT[row].note, loud, row))
        return kept


def with_two_hands(notes: list[GridNote]) -> list[GridNote]:
    """The notes that two hands and two feet can strike, the weightiest kept.

    One foot each for kick and hi-hat pedal; one stroke a voice at a time.
    """
    by_time: dict[int, list[GridNote]] = {}
    for note in notes:
        by_time.setdefault(note.start, []).append(note)
    playable = []
    for start in sorted(by_time):
        struck: dict[str, GridNote] = {}
        hands = 0
        for note in sorted(by_time[start], key=lambda n: (-n.weight, n.pitch)):
            if note.row in struck or (KIT[note.row].limb == HAND and hands == HANDS):
                continue
            hands += KIT[note.row].limb != FOOT
            struck[note.row] = note
        playable += sorted(struck.values(), key=lambda note: note.pitch)
    return playable
