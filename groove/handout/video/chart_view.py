"""The chart in a video: the bar that sounds is marked, and the rows turn before their end.

Rows that come after the one that sounds but stand above it are grey until the music is there.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import replace

from groove.handout.chart.cells import BarCell
from groove.handout.drawing.page import Glyph, Line, Mark, Rect, Text
from groove.handout.video.chart.layout import layout_of
from groove.handout.video.chart.rows import Row
from groove.handout.video.course import Course, Moment
from groove.handout.video.look import Look, Room
from groove.handout.video.view import Fill, Scene

OVER = 0.08  # ems that the mark of a bar reaches above its lines
LINE, BEAT_LINE, FRAME = 0.8, 1.7, 0.4  # mm as on paper: under the bar, under its beat, round it
BEAT_GAP = 0.6  # mm as on paper, from the mark of a beat to the next
QUIET = 0.58  # of the ink: rows that come after those below them

Place = tuple[int, int]
"""A row, and a bar or part of one in it, both from 0."""
Shown = tuple[int, bool]
"""A row in view, and whether it stands above one that comes before it."""


class ChartView:
    """The chart of a track in its room.

    The bar that sounds lies on a fill with a thick line under it, thicker under the beat. Before
    the first bar that one has a frame.
    """

    def __init__(self, course: Course, look: Look) -> None:
        self.layout = layout_of(course.chart, look)
        self.room = self.layout.room
        self._places: dict[int, list[Place]] = {}
        for number, row in enumerate(self.layout.rows):
            for at, piece in enumerate(row.pieces):
                self._places.setdefault(piece.bar, []).append((number, at))
        self._course = course
        self._scenes: dict[tuple[int, int, int], Scene] = {}
        self._drawn: dict[tuple[int, Shown], Sequence[Mark]] = {}
        self._same = _numbered(self.layout.rows)
        self._rows: dict[int, tuple[list[BarCell], float, float]] = {}

    def scene(self, moment: Moment) -> Scene:
        """The rows in view, and the marks of the bar and of its beat."""
        state = moment.bar, moment.beat, moment.chord
        if state not in self._scenes:
            drawing = self._shown(self._place(moment)[0])
            self._scenes[state] = Scene(drawing, tuple(self._fills(moment)))
        return self._scenes[state]

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of all rows in view, on the frame."""
        assert isinstance(drawing, tuple)
        rows = [(slot, row) for slot, row in enumerate(drawing) if row is not None]
        return [mark for place in rows for mark in self._marks(*place)]

    def _shown(self, sounding: int) -> tuple[Shown | None, ...]:
        """The row in each place while a row sounds.

        The rows above it that come after it are quiet, unless they look as those did before.
        """
        pages = self.layout.pages
        shown = [row if row is None else self._same[row] for row in pages.shown(sounding)]
        first = pages.shown(pages.first(sounding))
        turned = shown != [row if row is None else self._same[row] for row in first]
        above = sounding - pages.first(sounding) if turned else 0
        return tuple(None if row is None else (row, n < above) for n, row in enumerate(shown))

    def _marks(self, slot: int, shown: Shown) -> Sequence[Mark]:
        """The marks of a row, drawn once for each place and each ink that it has."""
        if (slot, shown) not in self._drawn:
            row, quiet = shown
            marks = self.layout.marks(row, slot)
            self._drawn[slot, shown] = tuple(_quiet(marks) if quiet else marks)
        return self._drawn[slot, shown]

    def marked(self, moment: Moment) -> Room | None:
        """The rectangle of the frame that marks the bar which sounds at a moment, in mm; None
        before the first bar."""
        return None if moment.bar < 0 else self._box(moment)

    def bars_in_view(self, moment: Moment) -> tuple[int, ...]:
        """The bars that stand in view at a moment, by their index in the chart, from the top."""
        shown = self.layout.pages.shown(self._place(moment)[0])
        rows = [self.layout.rows[row] for row in shown if row is not None]
        return tuple(dict.fromkeys(piece.bar for row in rows for piece in row.pieces))

    @property
    def smallest(self) -> float:
        """The type size of the smallest chord symbol, in points on the frame."""
        return min(self.layout.size(row) for row in range(len(self.layout.rows)))

    def _place(self, moment: Moment) -> Place:
        """The row and the bar in it that sound at a moment, or come first."""
        places = self._places[max(0, moment.bar)]
        if moment.bar < 0 or len(places) == 1:
            return places[0]
        bar = self._course.chart.bars[moment.bar]
        tick = max(
            bar.meter.beat_starts[moment.beat], self._course.chords[moment.chord].start - bar.start
        )
        pieces = [(place, self.layout.rows[place[0]].pieces[place[1]]) for place in places]
        return next(place for place, piece in pieces if tick < piece.end or piece is pieces[-1][1])

    def _row(self, row: int) -> tuple[list[BarCell], float, float]:
        """The bars of a row, and where their lines begin and end in the place where it sounds."""
        if row not in self._rows:
            slot = self.layout.pages.shown(row).index(row)
            self._rows[row] = self.layout.cells(row), *self.layout.edges(row, slot)
        return self._rows[row]

    def _box(self, moment: Moment) -> Room:
        row, at = self._place(moment)
        cells, top, bottom = self._row(row)
        over = OVER * self.layout.measures.em
        return self.layout.on_frame(cells[at].left, top - over, cells[at].right, bottom)

    def _fills(self, moment: Moment) -> list[Fill]:
        box = self._box(moment)
        scale = self.layout.scale
        if moment.bar < 0:
            thin = FRAME * scale
            right, low = box.x + box.wide - thin, box.y + box.high - thin
            return [
                Fill(box.x, box.y, box.wide, thin, "line"),
                Fill(box.x, low, box.wide, thin, "line"),
                Fill(box.x, box.y, thin, box.high, "line"),
                Fill(right, box.y, thin, box.high, "line"),
            ]
        foot = box.y + box.high
        fills = [
            Fill(box.x, box.y, box.wide, box.high, "mark"),
            Fill(box.x, foot, box.wide, LINE * scale, "line"),
        ]
        row, at = self._place(moment)
        cell, piece = self._row(row)[0][at], self.layout.rows[row].pieces[at]
        bar = self._course.chart.bars[moment.bar]
        edges = [*bar.meter.beat_starts, bar.length]
        begin = max(0, edges[moment.beat] - piece.start)
        end = min(edges[moment.beat + 1], piece.end) - piece.start
        left, right = cell.at(begin), min(cell.at(end) - BEAT_GAP, cell.right)
        beat = self.layout.on_frame(left, 0.0, right, BEAT_LINE)
        return [*fills, Fill(beat.x, foot, beat.wide, beat.high, "line")]


def _quiet(marks: Iterable[Mark]) -> Iterator[Mark]:
    """Marks in grey."""
    for mark in marks:
        if isinstance(mark, Text | Glyph | Line):
            yield replace(mark, ink=QUIET * mark.ink)
        elif isinstance(mark, Rect) and mark.fill is None:  # its outline has no ink of its own
            left, right, over = mark.x, mark.x + mark.wide, mark.width / 2
            for y in (mark.y, mark.y + mark.high):
                yield Line(left - over, y, right + over, y, mark.width, QUIET)
            for x in (left, right):
                yield Line(x, mark.y, x, mark.y + mark.high, mark.width, QUIET)
        else:
            yield mark if mark.fill is None else replace(mark, fill=QUIET * mark.fill)


def _numbered(rows: Sequence[Row]) -> list[int]:
    """The number of the first row that looks like each."""
    first: dict[tuple[object, ...], int] = {}
    return [first.setdefault((row.line, row.across), number) for number, row in enumerate(rows)]
