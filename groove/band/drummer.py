"""The drummer: a pickup, cells, the fills and tops of the plan, never a chorus twice.

Two laws hold by construction where a pattern has the cells for it. Neighbouring choruses never
share more than 80 % of their bars: bars that would are given other cells. A bar loses at most a
fifth of its cell's strokes, or only its first timekeeping stroke to a lift: so it stays at least
60 % like its pattern, counted as strokes shared with the nearest cell over strokes in either,
before the fill.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from random import Random

from groove.band.cell_chooser import CellChooser
from groove.band.count_in import clicks
from groove.band.drum_bar import (
    GHOST_KEPT,
    DrumBar,
    Look,
    first_fill,
    grooves,
    lifted,
    thinned,
    with_fill,
    with_two_hands,
)
from groove.band.figures import drums_with_figures
from groove.band.marked_chords import drummed
from groove.band.open_hats import closed_again
from groove.band.part import GridNote, Part, weight
from groove.band.plan.plan import BREAK, CRASH, RIDE, Plan, PlannedBar
from groove.form.chart import Bar, Chart
from groove.rhythm.box_notation import Cell, Stroke, grace_strokes
from groove.rhythm.kit import BRUSHES, KIT, SWEEP

MOST_SHARED = 0.8  # of its bars, between a chorus and the one before
FLAT_OUT = 2.4  # intensity from which a phrase may begin with a crash
LONG_IN_SOLO = 0.4  # how likely a bar of the drums alone has a fill as long as the bar
RISE = 0.12  # weight that a lift gains with each level of intensity

CONGAS = ("conga-mute", "conga-high", "conga-low")


def play_drums(plan: Plan, rng: Random) -> Part:
    """The drum part of a performance, count-in first; rng is the drummer's own."""
    chart = plan.chart
    drummer = _Drummer(plan, rng)
    notes = _count_in(chart)
    fills = []
    ends = [*(time.last for time in chart.rounds), len(chart.bars)]
    for begin, end in pairwise(dict.fromkeys((0, *ends))):
        for planned in drummer.chorus(begin, end):
            notes += _notes(planned)
            if planned.fill and not planned.fill.adds:
                length = planned.fill.lines * planned.bar.drums.grid.line_ticks
                fills.append((planned.bar.end - length, planned.bar.end))
    first = chart.bars[0].drums
    notes = closed_again(notes, chart)
    notes = drummed(notes, chart.changes, first.grid.line_ticks, first.keeps, _crashed(plan))
    if chart.figures or plan.pushes:
        notes = with_two_hands(drums_with_figures(notes, chart), first.keeps)
    return Part("drums", tuple(notes), tuple(fills))


def _crashed(plan: Plan) -> frozenset[int]:
    """The written ticks of the pushed changes that a crash goes with: those at a top, and those of
    a band flat out."""
    return frozenset(
        tick
        for tick in plan.pushes
        if plan.at(tick).top or plan.chart.bar_at(tick).intensity >= FLAT_OUT
    )


def _count_in(chart: Chart) -> list[GridNote]:
    """The clicks of the count-in, with the pickup on its last beat."""
    first = chart.bars[0]
    counted = clicks(chart)
    if not counted:
        return []
    line = first.drums.grid.line_ticks
    beat = chart.start - first.meter.beat_ticks
    pickup = [_note(beat + s.line * line, line, s) for s in first.drums.pickup.strokes]
    return with_two_hands([*counted, *pickup], first.drums.keeps)


def _notes(planned: DrumBar) -> list[GridNote]:
    bar, line = planned.bar, planned.bar.drums.grid.line_ticks
    notes = []
    for stroke in planned.strokes:
        if stroke.row == SWEEP and bar.setting.kit != BRUSHES:
            continue
        if stroke.row in CONGAS and "congas" in bar.setting.percussion:
            continue  # who plays them beside the drummer has them
        struck = _note(bar.start + stroke.line * line, line, stroke)
        if planned.lift == stroke.row and stroke.line == 0:
            loud = bar.drums.lift.weight + RISE * (bar.intensity - 1)
            struck = replace(struck, weight=min(1.0, loud))
        notes.append(struck)
    return with_two_hands(notes, bar.drums.keeps)


def _note(start: int, length: int, stroke: Stroke) -> GridNote:
    heavy = weight(stroke.mark, stroke.accent)
    graces = grace_strokes(stroke.mark)
    return GridNote(start, length, KIT[stroke.row].note, heavy, stroke.row, graces=graces)


class _Drummer:
    def __init__(self, plan: Plan, rng: Random) -> None:
        self.chart, self.plan, self.rng = plan.chart, plan, rng
        self.chooser = CellChooser(plan.chart.bars[0].drums, rng)
        self.before: list[DrumBar] = []  # the chorus before
        self.heard: set[tuple[Look, ...]] = set()
        self.used: Counter[Cell] = Counter()  # fills, how often each was played
        self.last: Cell | None = None  # the fill played last

    def chorus(self, first: int, past: int) -> list[DrumBar]:
        """The bars of a chorus from one place to another, other than every chorus before if the
        form has room for it."""
        played: list[DrumBar] = []
        for index in range(first, past):
            bar, planned = self.chart.bars[index], self.plan.bars[index]
            strokes = self.chooser.next(bar, bar.drums, bar.pair).strokes
            turned = played[-1].bar.turn if played else ""
            if bar.drums_alone:
                played.append(self._solo(bar, strokes, len(played)))
            else:
                played.append(self._bar(bar, planned, strokes, turned, len(played)))
        played = self._apart(played)
        for chosen in self._variants(played):
            look = tuple(bar.look for bar in chosen)
            if look not in self.heard:
                played = chosen
                break
        self.last = first_fill(played[::-1]) or self.last
        self.heard.add(tuple(bar.look for bar in played))
        self.before = played
        return played

    def _bar(
        self, bar: Bar, planned: PlannedBar, strokes: tuple[Stroke, ...], turned: str, place: int
    ) -> DrumBar:
        """A bar as it is planned: lifted at its beginning, filled at its end, or both."""
        lift = self._lift(bar, planned.top, turned, strokes)
        marked = lifted(strokes, lift, bar.drums.keeps) if lift else strokes
        if planned.fill is not None:
            return self._filled(bar, marked, lift, planned.fill, place)
        if not lift:
            marked = thinned(strokes, self.rng, GHOST_KEPT[planned.leads])
        return DrumBar(bar, bar.pair, strokes, marked, lift=lift)

    def _solo(self, bar: Bar, strokes: tuple[Stroke, ...], place: int) -> DrumBar:
        """A bar of the drums alone: flat out, with a fill in it, large at the end of a phrase."""
        long = bar.turn == "chorus" or self.rng.random() < LONG_IN_SOLO
        beats = bar.meter.beats if long else 2
        return self._filled(replace(bar, intensity=FLAT_OUT), strokes, "", beats, place)

    def _filled(
        self, bar: Bar, strokes: tuple[Stroke, ...], lift: str, beats: int, place: int
    ) -> DrumBar:
        """The bar with a fill of so many beats that was played least and isn't the last one; 0 is
        for a gesture."""
        there = self.before[place] if place < len(self.before) else None
        fills = self._fills(bar, beats, {there.fill if there else None})
        made = [with_fill(bar, strokes, lift, fill) for fill in fills]
        plain = frozenset((s.line, s.row) for s in strokes)
        made = [filled for filled in made if filled.look != plain] or made
        known = grooves(bar.drums)
        made = [filled for filled in made if filled.firm not in known] or made
        chosen = next((one for one in made if not there or one.look != there.look), made[0])
        if chosen.fill:
            self.used[chosen.fill] += 1
        self.last = chosen.fill
        return chosen

    def _fills(self, bar: Bar, beats: int, stale: set[Cell | None]) -> list[Cell]:
        """The fills for a bar, best first: those of the length asked for, then the nearest; stale
        ones only if there are no others.

        Within a chorus none that takes the groove's place is longer than was asked for.
        """
        per_beat = bar.drums.grid.lines_per_beat
        wish = beats * per_beat
        order = {fill: self.rng.random() for fill in bar.drums.fills}
        gestures = [fill for fill in order if fill.adds]
        whole = [fill for fill in order if not fill.adds]
        known = gestures if gestures and not beats else whole or gestures
        shortest = min(fill.lines for fill in known)
        known = [fill for fill in known if fill.lines <= max(wish, per_beat, shortest)]
        known = [fill for fill in known if fill != self.last] or known
        fresh = [fill for fill in known if fill not in stale] or known
        return sorted(
            fresh,
            key=lambda fill: (0 if fill.adds else abs(fill.lines - wish), self.used[fill],
                              order[fill]),
        )  # fmt: skip

    def _lift(self, bar: Bar, top: str, turned: str, strokes: tuple[Stroke, ...]) -> str:
        """The voice that marks a bar, as the top is planned; none where it is pushed.

        A phrase after a turn is marked where the pattern asks for it and the band is flat out.
        """
        lift = bar.drums.lift
        voice = ""
        if bar.start in self.plan.pushes:
            return ""
        if top in (CRASH, BREAK):
            voice = lift.chorus if bar.top else lift.section
        elif top == RIDE:
            voice = lift.section
        elif not top and turned and not bar.turn and bar.intensity >= FLAT_OUT:
            voice = lift.phrase
        played = any(s.row == voice and s.line == 0 for s in strokes)
        return "crash" if played else voice

    def _apart(self, played: list[DrumBar]) -> list[DrumBar]:
        """The chorus, other cells in some of the bars that it would share with the one before."""
        size = min(len(played), len(self.before))
        same = [at for at in range(size) if played[at].look == self.before[at].look]
        too_many = len(same) - int(MOST_SHARED * len(played))
        if too_many <= 0:
            return played
        changed = list(played)
        self.rng.shuffle(same)
        for at in same:
            other = next(self._other_bars(played[at]), None)
            if too_many > 0 and other:
                changed[at], too_many = other, too_many - 1
        return changed

    def _other_bars(self, played: DrumBar) -> Iterator[DrumBar]:
        """The bar with each other cell at its level, where it has neither fill nor lift."""
        if played.fill or played.lift:
            return
        for other in self.chooser.others(played.bar, played.bar.drums, played.index):
            changed = DrumBar(played.bar, played.index, other.strokes, other.strokes)
            if changed.look != played.look:
                yield changed

    def _variants(self, played: list[DrumBar]) -> Iterator[list[DrumBar]]:
        """The chorus; then with another cell in one bar, with another fill, or both."""
        yield played
        yield from self._with_another_cell(played)
        filled = [place for place, bar in enumerate(played) if bar.fill]
        for place in filled[::-1]:
            old = played[place]
            if old.bar.drums_alone or not old.fill:
                continue
            beats = 0 if old.fill.adds else old.fill.lines // old.bar.drums.grid.lines_per_beat
            marked = lifted(old.base, old.lift, old.bar.drums.keeps) if old.lift else old.base
            around = (
                first_fill([*played[:place][::-1], *self.before[::-1]]),
                first_fill(played[place + 1 :]),
            )
            for fill in self._fills(old.bar, beats, {old.fill}):
                if fill in around:
                    continue
                other = with_fill(old.bar, marked, old.lift, fill)
                changed = [*played[:place], other, *played[place + 1 :]]
                yield changed
                yield from self._with_another_cell(changed)

    def _with_another_cell(self, played: Sequence[DrumBar]) -> Iterator[list[DrumBar]]:
        for place, bar in enumerate(played):
            for other in self._other_bars(bar):
                yield [*played[:place], other, *played[place + 1 :]]
