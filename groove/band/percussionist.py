"""The percussionists: one for each instrument, together in one part, beside the drummer.

They share the drummer's channel. Where two would strike one piece at nearly the same time, the
drummer has it, then the instrument that is named first.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import replace
from operator import attrgetter, itemgetter
from random import Random

from groove.band.cell_chooser import CellChooser
from groove.band.changes import Changes
from groove.band.figures import with_figures
from groove.band.part import DRUMS, PERCUSSION, GridNote, Part, PlayedNote, weight
from groove.band.plan.plan import Plan
from groove.form.chart import Bar, Chart, FigureStroke, Slot
from groove.rhythm.box_notation import Cell, Stroke
from groove.rhythm.kit import KIT
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.rhythm.patterns import KEEP, PercussionPattern, percussion_pattern
from groove.rhythm.percussion import rhythm_for

LIGHTER = 0.8  # of the weight, under a fill
TURNS = {"phrase": 0.4, "chorus": 0.7}  # how likely an instrument ends one with strokes of its own
APART = TICKS_PER_QUARTER // 3  # two players' strokes of one piece that are nearer collide

Stretch = tuple[int, int]  # from and up to which tick
_begin = itemgetter(0)


def play_percussion(plan: Plan, drums: Part, rng: Random) -> Part | None:
    """The percussion part of a performance; None where no bar has percussion.

    rng is the percussionists' own; one more instrument leaves those before it as they are.
    """
    chart, chance = plan.chart, rng.random()
    taken: dict[int, list[Stretch]] = {}
    for note in drums.notes:
        if DRUMS not in chart.bar_at(note.start).out:
            taken.setdefault(note.pitch, []).append(_stretch(note))
    changes = Changes(chart)
    played: list[GridNote] = []
    for name in dict.fromkeys(name for bar in chart.bars for name in bar.setting.percussion):
        player = _Player(chart, drums, percussion_pattern(name), Random(f"{chance} {name}"))
        own = list(_freed(taken, player.notes(changes)))
        for note in own:
            taken.setdefault(note.pitch, []).append(_stretch(note))
        for stretches in taken.values():
            stretches.sort()
        played += own
    if not played:
        return None
    return Part(PERCUSSION, tuple(sorted(played, key=lambda note: (note.start, note.pitch))))


def _loud(stroke: Stroke) -> float:
    return weight(stroke.mark, stroke.accent)


def _stretch(note: GridNote) -> Stretch:
    """The ticks from the start of a stroke to where its piece may be struck again."""
    return note.start, note.start + max(note.length, APART)


def _freed(taken: dict[int, list[Stretch]], notes: list[GridNote]) -> Iterator[GridNote]:
    """The notes for which their piece is free, each ended where another strikes it."""
    for note in notes:
        stretches = taken.get(note.pitch, [])
        place = bisect_right(stretches, note.start, key=_begin)
        if place and stretches[place - 1][1] > note.start:
            continue
        end = stretches[place][0] if place < len(stretches) else note.start + note.length
        if note.start + note.length <= end:
            yield note
        elif note.start + APART <= end:
            yield replace(note, length=end - note.start)


def beside(notes: Iterable[PlayedNote], drums: Iterable[PlayedNote]) -> list[PlayedNote]:
    """Percussion notes as played, moved and shortened to where no drum note of their pitch sounds.

    Touch may bring strokes together that are apart on the grid, by some hundredths of a second.
    """
    taken: dict[int, list[Stretch]] = {}
    for note in sorted(drums, key=attrgetter("start")):
        taken.setdefault(note.pitch, []).append((note.start, note.start + note.length))
    kept = []
    for note in notes:
        stretches = taken.get(note.pitch, [])
        place = bisect_right(stretches, note.start, key=_begin)
        start = max(note.start, stretches[place - 1][1]) if place else note.start
        end = note.start + note.length
        if place < len(stretches):
            end = min(end, stretches[place][0])
        if (start, end) == (note.start, note.start + note.length):
            kept.append(note)
        elif start < end:
            kept.append(replace(note, start=start, length=end - start))
    return kept


class _Player:
    """One instrument through the whole chart."""

    def __init__(
        self, chart: Chart, drums: Part, instrument: PercussionPattern, rng: Random
    ) -> None:
        self.chart, self.instrument = chart, instrument
        self.fills = [fill for fill in drums.fills if DRUMS not in chart.bar_at(fill[0]).out]
        self.setting = chart.bars[0].setting
        self.rhythm = self._rhythm()
        self.chooser = CellChooser(self.rhythm, rng)
        self.rng = rng
        self.last_turn: Cell | None = None

    def notes(self, changes: Changes) -> list[GridNote]:
        """The strokes: cells, and figures in their place."""
        strokes = [note for bar in self.chart.bars for note in self._bar(bar)]
        strokes = with_figures(
            PERCUSSION, strokes, self.chart, changes, self._struck, keeps_time=True
        )
        return [note for note in strokes if self._plays(self.chart.bar_at(note.start))]

    def _struck(self, _: Slot, stroke: FigureStroke) -> GridNote:
        return self._last_voice(stroke.start, stroke.length, stroke.accent)

    def _plays(self, bar: Bar) -> bool:
        return self.instrument.name in bar.setting.percussion

    def _bar(self, bar: Bar) -> Iterator[GridNote]:
        if bar.setting is not self.setting:
            self.setting = bar.setting
            self.rhythm = self._rhythm()
        grid, own = self.rhythm.grid, self.instrument
        # Chosen in every bar, so that one who rests for a while comes back as if he had not.
        strokes = self.chooser.next(bar, self.rhythm, bar.pair).strokes
        turn = self._turn(bar)
        # As fast as it is written, at any pulse.
        line = grid.line_ticks * grid.rate.numerator
        from_tick = bar.end - (turn.lines * line if turn else 0)
        for stroke in strokes:
            start, loud = bar.start + stroke.line * grid.line_ticks, _loud(stroke)
            if start >= from_tick:
                continue
            if own.fills != KEEP and self._in_fill(start):
                if own.fills == "rest" or stroke.mark == "o":
                    continue
                loud *= LIGHTER
            length = min(stroke.lines * grid.line_ticks, from_tick - start)
            yield GridNote(start, length, KIT[stroke.row].note, loud * own.weight, stroke.row)
        for stroke in turn.strokes if turn else ():
            start, loud = from_tick + stroke.line * line, _loud(stroke)
            yield GridNote(
                start, stroke.lines * line, KIT[stroke.row].note, loud * own.weight, stroke.row
            )

    def _turn(self, bar: Bar) -> Cell | None:
        """The strokes that end a phrase, now and then where the drummer leaves room for them."""
        known = [turn for turn in self.rhythm.turns if turn != self.last_turn]
        if not bar.turn or not known:
            return None
        turns, chosen = self.rng.random() < TURNS[bar.turn], self.rng.choice(known)
        if not turns or bar.figure or bar.held is not None or self._in_fill(bar.end - 1):
            return None
        self.last_turn = chosen
        return chosen

    def _last_voice(self, start: int, length: int, accent: bool) -> GridNote:
        row = self.instrument.ending
        loud = self.instrument.weight * weight("x", accent)
        return GridNote(start, length, KIT[row].note, loud, row)

    def _in_fill(self, tick: int) -> bool:
        place = bisect_right(self.fills, tick, key=_begin) - 1
        return place >= 0 and tick < self.fills[place][1]

    def _rhythm(self) -> PercussionPattern:
        setting = self.setting
        return rhythm_for(
            self.instrument, setting.drums, tempo=setting.tempo, swung=setting.swing_ratio != 1,
            pulse=setting.pulse,
        )  # fmt: skip
