"""The drummer: a pickup, cells, fills at the turns, lifts at the tops, never a chorus twice.

Two laws hold by construction. Each turn is filled otherwise than in the chorus before, and a
form of eight bars or more turns at least once in five bars: so neighbouring choruses never
share more than 80 % of their bars. A bar loses at most a fifth of its cell's strokes, or only
its first timekeeping stroke to a lift: so it stays at least 60 % like its pattern, counted as
strokes shared with the nearest cell over strokes in either, before the fill.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from random import Random

from groove.band.cell_chooser import CellChooser
from groove.band.figures import drums_with_figures
from groove.band.marked_chords import drummed
from groove.band.part import GridNote, Part, weight
from groove.form.chart import Bar, Chart
from groove.rhythm.box_notation import Cell, Stroke, grace_strokes
from groove.rhythm.kit import FOOT, HAND, KIT, TIMEKEEPERS

HANDS = 2
GHOST_KEPT = 0.8
MOST_THINNED = 5  # one stroke in so many may be left out
SMALL, LARGE = 1, 2  # beats of a fill within a chorus
FLAT_OUT = 2.4  # intensity from which a phrase may begin with a crash
LONG_IN_SOLO = 0.4  # how likely a bar of the drums alone has a fill as long as the bar
RISE = 0.12  # weight that a lift gains with each level of intensity

Look = frozenset[tuple[int, str]]  # line and voice of each stroke of a bar


@dataclass(frozen=True)
class DrumBar:
    """A bar of the drum part.

    index: counts bars for cells of two bars. base: the strokes of its cell. fill: the fill that its
    last lines are. lift: the voice that marks its first beat.
    """

    bar: Bar
    index: int
    base: tuple[Stroke, ...]
    strokes: tuple[Stroke, ...]
    fill: Cell | None = None
    lift: str = ""

    @cached_property
    def look(self) -> Look:
        """Line and voice of each stroke: bars that share them count as the same."""
        return frozenset((s.line, s.row) for s in self.strokes)


def play_drums(chart: Chart, rng: Random) -> Part:
    """The drum part of a chart, count-in first; rng is the drummer's own."""
    drummer = _Drummer(chart, rng)
    notes = _count_in(chart)
    fills = []
    for time in chart.rounds:
        for planned in drummer.chorus(chart.bars[time.first : time.last]):
            notes += _notes(planned)
            if planned.fill:
                length = planned.fill.lines * planned.bar.drums.grid.line_ticks
                fills.append((planned.bar.end - length, planned.bar.end))
    if chart.ending:
        notes += _notes(DrumBar(chart.ending, 0, (), chart.ending.drums.ending.strokes))
    first = chart.bars[0].drums
    notes = drummed(notes, chart.changes, first.grid.line_ticks, first.keeps)
    if chart.figures:
        notes = with_two_hands(drums_with_figures(notes, chart), first.keeps)
    return Part("drums", tuple(notes), tuple(fills))


def _count_in(chart: Chart) -> list[GridNote]:
    """The clicks of the count-in, with the pickup on its last beat."""
    first = chart.bars[0]
    meter = first.meter
    click, line = first.drums.click, first.drums.grid.line_ticks
    clicks = [
        GridNote(
            chart.count_in + bar * meter.bar_ticks + beat,
            line, KIT[click].note, weight("x", beat == 0), click,
        )
        for bar in range(chart.form.count_in)
        for beat in meter.beat_starts
    ]  # fmt: skip
    if not clicks:
        return []
    beat = chart.start - meter.beat_ticks
    pickup = [_note(beat + s.line * line, line, s) for s in first.drums.pickup.strokes]
    return with_two_hands([*clicks, *pickup], first.drums.keeps)


def _notes(planned: DrumBar) -> list[GridNote]:
    bar, line = planned.bar, planned.bar.drums.grid.line_ticks
    notes = []
    for stroke in planned.strokes:
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
    def __init__(self, chart: Chart, rng: Random) -> None:
        self.chart, self.rng = chart, rng
        self.chooser = CellChooser(chart.bars[0].drums, rng)
        self.opens = {
            bar.start
            for bar, after in pairwise(chart.bars)
            if after.in_section == 1 and after.round == bar.round
        }
        self.before: list[DrumBar] = []  # the chorus before
        self.heard: set[tuple[Look, ...]] = set()

    def chorus(self, bars: Sequence[Bar]) -> list[DrumBar]:
        """The bars of a chorus, other than every chorus before if the form has room for it."""
        plan: list[DrumBar] = []
        for bar in bars:
            index = bar.pair
            strokes = self.chooser.next(bar, bar.drums, index).strokes
            if bar.drums_alone:
                plan.append(self._solo(bar, strokes, plan))
                continue
            turned = plan[-1].bar.turn if plan else ""
            lift = self._lift(bar, turned, strokes)
            if lift:
                marked = lifted(strokes, lift, bar.drums.keeps)
                plan.append(DrumBar(bar, index, strokes, marked, lift=lift))
            elif bar.turn and not bar.figure and bar.held is None:
                plan.append(self._filled(bar, index, strokes, self._last_fill(plan)))
            else:
                plan.append(DrumBar(bar, index, strokes, thinned(strokes, self.rng)))
        for chosen in self._variants(plan):
            look = tuple(planned.look for planned in chosen)
            if look not in self.heard:
                plan = chosen
                break
        self.heard.add(tuple(planned.look for planned in plan))
        self.before = plan
        return plan

    def _solo(self, bar: Bar, strokes: tuple[Stroke, ...], plan: list[DrumBar]) -> DrumBar:
        """A bar of the drums alone: flat out, with a fill in it, large at the end of a phrase."""
        turn = bar.turn or ("chorus" if self.rng.random() < LONG_IN_SOLO else "phrase")
        loud = replace(bar, turn=turn, intensity=FLAT_OUT)
        return self._filled(loud, bar.pair, strokes, self._last_fill(plan))

    def _filled(
        self, bar: Bar, index: int, strokes: tuple[Stroke, ...], last: Cell | None
    ) -> DrumBar:
        """The bar with the best fill that is not in the chorus before, or not at its place."""
        place = bar.number - 1
        there = self.before[place] if place < len(self.before) else None
        heard = {planned.look for planned in self.before}
        fitting = self._fills(bar, {last, there.fill if there else None})
        made = [_with_fill(bar, index, strokes, fill) for fill in fitting]
        plain = frozenset((s.line, s.row) for s in strokes)
        made = [planned for planned in made if planned.look != plain] or made
        other = [planned for planned in made if not there or planned.look != there.look] or made
        return next((planned for planned in other if planned.look not in heard), other[0])

    def _fills(self, bar: Bar, stale: set[Cell | None]) -> list[Cell]:
        """The fills for a bar, best first: large where the form turns and as the band rises.

        Within a chorus none is longer than two beats; stale ones only if there are no others.
        """
        grid, rise = bar.drums.grid, (bar.intensity - 1) / 2  # 0 to 1
        large = self.rng.random() < rise
        if bar.turn == "chorus":
            most = grid.lines
            wish = most if large else LARGE * grid.lines_per_beat
        else:
            opens = bar.start in self.opens
            most = LARGE * grid.lines_per_beat
            wish = most if large or opens else SMALL * grid.lines_per_beat
        fills = [fill for fill in bar.drums.fills if fill.lines <= most]
        self.rng.shuffle(fills)
        fills.sort(key=lambda fill: abs(fill.lines - wish))
        return [fill for fill in fills if fill not in stale] or fills

    def _lift(self, bar: Bar, turned: str, strokes: tuple[Stroke, ...]) -> str:
        """The voice that marks a bar: at the top of a chorus, where a section begins.

        The very first bar follows the count-in quietly, unless it will be repeated. A phrase
        after a fill is marked where the pattern asks for it and the band is flat out.
        """
        voice = ""
        if bar.top and (bar.round or self.chart.loops):
            voice = bar.drums.lift.chorus
        elif bar.turn or (bar.round == 0 and bar.number == 1):
            return ""
        elif bar.in_section == 1:
            voice = bar.drums.lift.section
        elif turned and bar.intensity >= FLAT_OUT:
            voice = bar.drums.lift.phrase
        played = any(s.row == voice and s.line == 0 for s in strokes)
        return "crash" if played else voice

    def _variants(self, plan: list[DrumBar]) -> Iterator[list[DrumBar]]:
        """The plan; then with another last fill, another cell in one bar, or both.

        For eight bars of a pattern with four fills and two cells a level these are more than
        ten, so that ten choruses can always differ.
        """
        yield plan
        last = plan[-1]
        ends = [last]
        if last.fill:
            there = self.before[-1].fill if self.before else None
            fitting = self._fills(last.bar, {last.fill, there, self._last_fill(plan[:-1])})
            ends += [_with_fill(last.bar, last.index, last.base, fill) for fill in fitting]
        for end in ends:
            yield [*plan[:-1], end]
            for place, planned in enumerate(plan[:-1]):
                if planned.fill or planned.lift:
                    continue
                for other in self.chooser.others(planned.bar, planned.bar.drums, planned.index):
                    changed = DrumBar(planned.bar, planned.index, other.strokes, other.strokes)
                    yield [*plan[:place], changed, *plan[place + 1 : -1], end]

    def _last_fill(self, plan: list[DrumBar]) -> Cell | None:
        """The fill played last before what follows the plan."""
        played = (planned.fill for planned in reversed([*self.before, *plan]) if planned.fill)
        return next(played, None)


def _with_fill(bar: Bar, index: int, strokes: tuple[Stroke, ...], fill: Cell) -> DrumBar:
    """The bar with a fill at its end, in place of all voices but those that are kept."""
    start = bar.drums.grid.lines - fill.lines
    kept = tuple(s for s in strokes if s.line < start or s.row in bar.drums.keeps)
    moved = tuple(replace(s, line=s.line + start) for s in fill.strokes)
    return DrumBar(bar, index, strokes, kept + moved, fill)


def is_click(note: GridNote, chart: Chart) -> bool:
    """True if a note is a click of the count-in, not a stroke of the pickup."""
    if note.start >= chart.start or note.row != chart.bars[0].drums.click:
        return False
    return chart.into_beat(note.start) == 0


def thinned(strokes: tuple[Stroke, ...], rng: Random) -> tuple[Stroke, ...]:
    """The strokes of a bar, a few of the snare's ghost notes left out by chance."""
    most = len(strokes) // MOST_THINNED
    kept = []
    for stroke in strokes:
        ghost = stroke.mark == "o" and stroke.row == "snare"
        if ghost and most and rng.random() >= GHOST_KEPT:
            most -= 1
        else:
            kept.append(stroke)
    return tuple(kept)


def lifted(
    strokes: tuple[Stroke, ...], voice: str, keeps: tuple[str, ...] = ()
) -> tuple[Stroke, ...]:
    """A bar that begins with a lift: the timekeeping hand leaves its voice for that stroke.

    The other hand keeps one stroke, of a voice in ``keeps`` if there is one; the kick joins in.
    """
    first = [s for s in strokes if s.line == 0]
    gives_way = set(TIMEKEEPERS) - set(keeps)
    others = [s for s in first if KIT[s.row].limb == HAND and s.row not in gives_way]
    others.sort(key=lambda s: (s.row not in keeps, -weight(s.mark, s.accent)))
    feet = [s for s in first if KIT[s.row].limb == FOOT]
    if all(s.row != "kick" for s in feet):
        feet.append(Stroke(0, 1, "kick", "x"))
    rest = [s for s in strokes if s.line]
    return (Stroke(0, 1, voice, "x"), *others[: HANDS - 1], *feet, *rest)


def with_two_hands(notes: list[GridNote], keeps: tuple[str, ...] = ()) -> list[GridNote]:
    """The notes that two hands and two feet can strike, the weightiest kept.

    One foot each for kick and hi-hat pedal; one stroke a voice at a time. keeps: rows that
    are played before all others, so that a clave never breaks.
    """
    by_time: dict[int, list[GridNote]] = {}
    for note in notes:
        by_time.setdefault(note.start, []).append(note)
    playable = []
    for start in sorted(by_time):
        struck: dict[str, GridNote] = {}
        hands = 0
        for note in sorted(by_time[start], key=lambda n: (n.row not in keeps, -n.weight, n.pitch)):
            if note.row in struck or (KIT[note.row].limb == HAND and hands == HANDS):
                continue
            hands += KIT[note.row].limb != FOOT
            struck[note.row] = note
        playable += sorted(struck.values(), key=lambda note: note.pitch)
    return playable
