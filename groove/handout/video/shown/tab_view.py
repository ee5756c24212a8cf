"""The solo as tablature: the bars that sound and those to come, the notes that sound marked.

The line turns as its last bar begins, which then stands first: so there is always a bar to read
ahead, and what sounds is in view. The bar that sounds lies on a fill as in the chart. Where no note
sounds, a narrow band and the strip below go on with the beats. Before the soloist begins the tab
gives way to the number of bars until then.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace

from groove.band.part import SOLO, PlayedNote
from groove.form.chart import Chart, Round
from groove.form.lesson_fields import ANSWERS
from groove.handout.drawing.fretboard import CAP, ascent_of
from groove.handout.drawing.page import POINT, Mark, Text, ink_box, moved, scaled, text_width
from groove.handout.drawing.staff.note_marks import note_marks
from groove.handout.drawing.staff.over_staff import chord_row
from groove.handout.drawing.staff.spacing import (
    CHORD_SIZE,
    ColumnPlace,
    StaffCell,
    least_width,
    spaced_system,
)
from groove.handout.drawing.staff.tab_marks import names_width, tab_height, tab_marks
from groove.handout.drawing.staff.written import StaffBar, clef_for, written_line
from groove.handout.drawing.tab import SIZE
from groove.handout.video.course import Course, Moment
from groove.handout.video.look import Look
from groove.handout.video.shown.scale_view import EDGE, TITLE_HEIGHT, TITLE_SIZE
from groove.handout.video.view import Fill, Scene
from groove.instrument.fretboard import read_tuning
from groove.lesson.blocks import heading_of
from groove.lesson.line import LineNote, NoteLine
from groove.lesson.solo.ground import line_bar
from groove.lesson.solo.make import answers, call_bars, example_solo
from groove.lesson.solo.part import rounds_played
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.wording import said, worded

MOST_BARS, FEWEST_BARS = 4, 2
CLOSE = 0.85
"""Of the largest size: as small may the tablature be so that more bars are in view."""
CHORDS_APART = 1.0  # mm from the chord symbols to what stands under them
NARROW = 0.35  # mm: half of the band where no number sounds
BAND, UNDER, STRIP = 0.8, 0.4, 1.3  # mm: beside and under a number that sounds; the strip below
RHYTHM_APART = 1.6  # mm from there to the rhythm
STEP = -1  # of the heads of a rhythm, so that all stems go up
CAPITAL, RISE = 0.72, 0.14  # of the type size: a chord symbol's root, and its figures over that
HALF = CAP * SIZE * POINT  # mm, half of a number's height
PLAIN_KEY = Key(NoteName(0))


@dataclass(frozen=True, slots=True)
class Window:
    """Some bars as they are drawn, in mm before they are enlarged, from their left bar line: the
    tablature from its top line, its rhythm from the middle of the heads."""

    cells: tuple[StaffCell, ...]
    tab: tuple[Mark, ...]
    rhythm: tuple[Mark, ...]


class TabView:
    """The solo of the form as tablature for guitar, for which the track has it.

    room: where it stands. changes: seconds at which notes begin or end, between the course's
    moments. bars: in view at a time.
    """

    def __init__(
        self, chart: Chart, course: Course, look: Look, played: Sequence[PlayedNote]
    ) -> None:
        self.room = look.rooms["show"]
        self.chart, self.course = chart, course
        self.words = chart.form.lesson.words
        self.tuning = read_tuning("guitar")
        self.clef = clef_for(self.tuning)
        self.own = set(rounds_played(chart, chart.form.lesson.solo))
        self._models: dict[int, int] = {}
        self.line, struck = self._line()
        with worded(self.words):
            self.written = self._written()
            self.titles = (
                heading_of(chart.form.lesson.solo if self.answers else SOLO),
                said("video", "show.yours"),
            )
        self.sounding = _matched(struck, played, chart)
        """Start and end in seconds and the written note of each note that sounds, in order."""
        ends = {time for start, end, _ in self.sounding for time in (start, end)}
        self.changes = tuple(sorted(ends | set(self._tied())))
        self._starts = [start for start, _, _ in self.sounding]
        with worded(self.words):
            self._fit()

    @property
    def answers(self) -> bool:
        """Whether bars are played and left free in turn."""
        return self.chart.form.lesson.solo == ANSWERS

    def sounding_at(self, seconds: float) -> tuple[LineNote, ...]:
        """The written notes that sound at a time."""
        last = bisect_right(self._starts, seconds)
        return tuple(n for _, end, n in self.sounding[max(0, last - 4) : last] if seconds < end)

    def scene(self, moment: Moment) -> Scene:
        """The scene at a moment: in the count-in the first bars."""
        told = self._waiting(moment)
        if told:
            return Scene(told)
        bar = min(max(moment.bar, 0), len(self.written) - 1)
        first = bar - bar % (self.bars - 1)
        window = self._window(first)
        fills: list[Fill] = []
        if 0 <= moment.bar == bar:
            fills.append(self._bar(window.cells[bar - first]))
        bands = sorted(set(self._middles(window, moment.seconds)))
        for middle in bands:
            fills += self._band(middle, HALF + BAND)
        if fills and not bands:
            fills += self._band(self._passing(window.cells[bar - first], moment), NARROW)
        return Scene((first, self._yours(moment)), tuple(fills))

    def _waiting(self, moment: Moment) -> str:
        """The words instead of the tab where it would be empty: in how many bars the soloist
        begins, or that the solo is over; empty where there is a tab."""
        bar, rounds = max(moment.bar, 0), self.chart.rounds
        number, time = self._round_of(bar)
        if (number in self._models and bar < time.last) or self.sounding_at(moment.seconds):
            return ""
        coming = [rounds[own].first - bar for own in self.own if rounds[own].first > bar]
        with worded(self.words):
            if not coming:
                return said("video", "show.solo_over")
            left = min(coming)
            return said("video", f"show.solo_in.{'one' if left == 1 else 'many'}", number=left)

    def _middles(self, window: Window, seconds: float) -> Iterator[float]:
        """The middles of the columns that sound at a time: of a note that is tied the one that the
        time has reached."""
        for note in self.sounding_at(seconds):
            places = [
                (self._seconds_of(cell.staff_bar, place), place.middle)
                for cell in window.cells
                for place in cell.places
                if any(_key(head.note) == _key(note) for head in place.column.heads)
            ]
            if places:
                begun = [middle for time, middle in places if time <= seconds]
                yield begun[-1] if begun else places[0][1]

    def _passing(self, cell: StaffCell, moment: Moment) -> float:
        """The place in a bar where no note sounds: that of the beat, or of the last note of the
        bar if that came later."""
        bar = cell.staff_bar
        into = self.chart.bars[moment.bar].meter.beat_starts[moment.beat]
        last = bisect_right(self._starts, moment.seconds)
        begun = [n.start - bar.start for _, _, n in self.sounding[max(0, last - 4) : last]]
        into = max([into, *(tick for tick in begun if tick < bar.bar.length)])
        here = [place for place in cell.places if place.column.note.start <= into]
        return cell.at(into) + (here or cell.places)[-1].wide / 2

    def _tied(self) -> Iterator[float]:
        """The seconds at which a column begins whose note sounds on from the one before."""
        for bar in self.written:
            for column in bar.columns:
                start = bar.start + column.note.start
                if any(head.tied for head in column.heads):
                    yield self.chart.seconds(self.chart.start + start)

    def _seconds_of(self, bar: StaffBar, place: ColumnPlace) -> float:
        return self.chart.seconds(self.chart.start + bar.start + place.column.note.start)

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of some bars: index of the first, and whether it is the student's turn; or of
        what is told instead."""
        if isinstance(drawing, str):
            return self._told(drawing)
        assert isinstance(drawing, tuple)
        first, yours = drawing
        window = self._window(first)
        title = Text(0.0, ascent_of(TITLE_SIZE) + 0.3, self.titles[yours], TITLE_SIZE, "bold")
        marks: list[Mark] = [title]
        with worded(self.words):
            marks += self._chords(window)
        marks += [moved(mark, self._left, self._top) for mark in window.tab]
        if self.rhythm:
            down = self._foot + STRIP + RHYTHM_APART - self._rise
            marks += [moved(mark, self._left, down) for mark in window.rhythm]
        return [scaled(mark, self.factor, self.room.x, self.room.y) for mark in marks]

    def _chords(self, window: Window) -> Iterator[Mark]:
        """The chord symbols on one level in all windows, clear of what stands under them."""
        found = chord_row(window.cells, ())
        level = max((mark.y for mark in found if isinstance(mark, Text)), default=0.0)
        for mark in found:
            yield moved(mark, self._left, self._top - self._over - CHORDS_APART - level)

    def _told(self, words: str) -> Sequence[Mark]:
        """Some words in the middle of the room, larger than the heading where that has room."""
        room, size = self.room, 2 * TITLE_SIZE * self.factor
        wide = text_width(words, size, "bold")
        size *= min(1.0, room.wide / wide)
        foot = room.y + room.high / 2 + CAP * size * POINT
        return [Text(room.x + room.wide / 2, foot, words, size, "bold", "middle")]

    def _bar(self, cell: StaffCell) -> Fill:
        """The fill behind the bar that sounds."""
        x = self.room.x + (self._left + cell.left) * self.factor
        top = self.room.y + (self._top - HALF - UNDER) * self.factor
        foot = self.room.y + self._foot * self.factor
        return Fill(x, top, (cell.right - cell.left) * self.factor, foot - top, "mark")

    def _band(self, middle: float, half: float) -> Iterator[Fill]:
        """The fills behind a column of numbers: over all strings, half as wide as said in mm, and
        a strip below."""
        top = self.room.y + (self._top - HALF - UNDER) * self.factor
        foot = self.room.y + self._foot * self.factor
        for reach, y, high, colour in (
            (half, top, foot - top, "beat"),
            (HALF + BAND, foot, STRIP * self.factor, "line"),
        ):
            x = self.room.x + (self._left + middle - reach) * self.factor
            yield Fill(x, y, 2 * reach * self.factor, high, colour)

    def _yours(self, moment: Moment) -> bool:
        """Whether it is the student's turn: between the answers, or after the example where the
        line is open."""
        bar = max(moment.bar, 0)
        number, time = self._round_of(bar)
        if self.answers:
            here = number in self.own and bar < time.last
            return here and (bar - time.first) // call_bars() % 2 == 1
        return number > min(self.own) and self.chart.form.lines[time.line].is_open

    def _round_of(self, bar: int) -> tuple[int, Round]:
        rounds = self.chart.rounds
        number = next((n for n, time in enumerate(rounds) if bar < time.last), len(rounds) - 1)
        return number, rounds[number]

    def _line(self) -> tuple[NoteLine, list[tuple[int, LineNote]]]:
        """The solo over the whole track, and the notes that are played, each with its tick. An
        example stands there again each time round its line in its key, for the student."""
        chart, form = self.chart, self.chart.form
        make = answers if self.answers else example_solo
        made: dict[int, NoteLine] = {}
        written: list[LineNote] = []
        struck: list[tuple[int, LineNote]] = []
        for number, time in enumerate(chart.rounds):
            model = number if number in self.own else None
            if model is None and not self.answers:
                same = (time.line, time.key)
                model = next(
                    (n for n in sorted(self.own)
                     if (chart.rounds[n].line, chart.rounds[n].key) == same), None,
                )  # fmt: skip
            if model is None:
                continue
            self._models[number] = model
            if model not in made:
                made[model] = make(form, self.tuning, round=model)
            for note in made[model].notes:
                start = time.start + note.start
                if chart.count_in <= start < time.end:
                    length = min(note.length, time.end - start)
                    placed = replace(note, start=start - chart.start, length=length)
                    written.append(placed)
                    if number in self.own:
                        struck.append((start, placed))
        bars = tuple(line_bar(bar, chart.start, named=False) for bar in chart.bars)
        return NoteLine("", tuple(written), bars), struck

    def _written(self) -> tuple[StaffBar, ...]:
        """The bars as they are written, without key signatures, which tablature has not."""
        bars = written_line(self.line, self.clef)
        return tuple(
            replace(bar, bar=replace(bar.bar, key=PLAIN_KEY)) for bar in bars if bar.number > 0
        )

    def _group(self, first: int, bars: int) -> tuple[StaffBar, ...]:
        """Some bars in a row, the first one with its chord."""
        head, *others = self.written[first : first + bars]
        whole = self.line.bars[first].chords if first < len(self.line.bars) else head.bar.chords
        return replace(head, bar=replace(head.bar, chords=whole)), *others

    def _fit(self) -> None:
        """Choose how many bars are in view, how much they are enlarged and whether their rhythm has
        room below."""
        names, room = names_width(self.tuning), self.room
        firsts = self._different()
        needed = {
            bars: max(
                least_width(self._group(first, bars), self.clef, self.tuning, True)
                for first in firsts
            )
            for bars in range(FEWEST_BARS, MOST_BARS + 1)
        }
        self._left = names + EDGE
        drawn = [self._drawn(first, FEWEST_BARS, needed[FEWEST_BARS]) for first in firsts]
        self._over = -_reach([mark for window in drawn for mark in window.tab])[0]
        self._rise, self._drop = _reach([mark for window in drawn for mark in window.rhythm])
        chords = (CAPITAL + RISE) * CHORD_SIZE * POINT
        self._top = TITLE_HEIGHT + chords + CHORDS_APART + self._over
        self._foot = self._top + tab_height(self.tuning) + HALF + UNDER
        high = self._foot + STRIP
        lower = high + RHYTHM_APART + self._drop - self._rise
        fitting = {
            bars: min(room.high / high, room.wide / (wide + self._left + EDGE))
            for bars, wide in needed.items()
        }
        best = fitting[FEWEST_BARS]
        self.bars = max(bars for bars, factor in fitting.items() if factor >= CLOSE * best)
        self.rhythm = room.high / lower >= fitting[self.bars]
        self.factor = fitting[self.bars]
        self._windows: dict[int, Window] = {}

    def _different(self) -> list[int]:
        """The bars with which windows begin that differ: a solo that comes again is the same."""
        rounds = {self._models.get(n, -1): time for n, time in enumerate(self.chart.rounds)}
        return [bar for time in rounds.values() for bar in range(time.first, time.last)]

    def _window(self, first: int) -> Window:
        """The bars from one on."""
        if first not in self._windows:
            width = self.room.wide / self.factor - self._left - EDGE
            self._windows[first] = self._drawn(first, self.bars, width)
        return self._windows[first]

    def _drawn(self, first: int, bars: int, width: float) -> Window:
        group = self._group(first, bars)
        cells = spaced_system(group, width, self.clef, self.tuning, before=group[0])
        return Window(cells, tuple(tab_marks(cells, self.tuning)), tuple(_rhythm(cells)))


def _reach(marks: Sequence[Mark]) -> tuple[float, float]:
    """The top and the foot of the ink of some marks, in mm."""
    boxes = [box for mark in marks if (box := ink_box(mark))]
    return min(box.top for box in boxes), max(box.bottom for box in boxes)


def _rhythm(cells: Sequence[StaffCell]) -> list[Mark]:
    """The values of the notes and rests of some bars, all on one level."""
    return note_marks([
        replace(cell, places=tuple(map(_on_one_level, cell.places))) for cell in cells
    ])  # fmt: skip


def _on_one_level(place: ColumnPlace) -> ColumnPlace:
    """A column with one head, without its accidental and what joins it to the one before."""
    heads = tuple(
        replace(head, step=STEP, sign="", note=replace(head.note, joined=""))
        for head in place.column.heads[:1]
    )
    return replace(place, column=replace(place.column, heads=heads))


def _key(note: LineNote) -> tuple[int, int]:
    """A written note by its tick and its pitch, whatever joins it to the one before."""
    return note.start, note.pitch


def _matched(
    struck: Sequence[tuple[int, LineNote]], played: Sequence[PlayedNote], chart: Chart
) -> list[tuple[float, float, LineNote]]:
    """Written notes with the seconds at which those that are played of them begin and end: a note
    played is the one written at its place on the neck that is nearest in time."""
    left: dict[tuple[int, int], list[tuple[int, LineNote]]] = {}
    for tick, note in struck:
        if note.place:
            left.setdefault((note.place.string, note.place.fret), []).append((tick, note))
    found = []
    for sounding in sorted(played, key=lambda note: note.grid):
        there = left.get((sounding.string, sounding.fret), [])
        if there:
            nearest = min(there, key=lambda pair: abs(pair[0] - sounding.grid))
            there.remove(nearest)
            start = chart.seconds(sounding.start)
            end = chart.seconds(sounding.start + sounding.length)
            found.append((start, end, nearest[1]))
    return sorted(found, key=lambda each: each[:2])
