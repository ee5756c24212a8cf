"""The layout of the chart in its room: its rows, their pages, the size of its chords."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from groove.form.chart import Chart
from groove.handout.chart.cells import BarCell, Measures
from groove.handout.chart.line import bar_line_ends, line_marks
from groove.handout.drawing.page import Mark, scaled
from groove.handout.video.chart.bars import DETAILS, PHRASE, Road
from groove.handout.video.chart.pages import Pages, paged
from groove.handout.video.chart.rows import Row, rows
from groove.handout.video.look import Look, Room

SMALLEST_CHORD = 21.0
"""Points of the smallest chords as on paper; the frame is as much larger as its own least is."""
LARGEST, STEP = 48.0, 0.5  # points as on paper
ALIKE = 0.8  # of the largest size that the height allows: down to that, all rows have one size
LEADING = -0.4  # ems added between rows
LEFT, RIGHT = 0.4, 1.7  # mm as on paper, beside a row, for its bar lines, and for ties that go on
UNDER = 1.8  # mm as on paper, under a row, for the mark of the bar
SPREAD = 1.35  # of its height: how far apart rows stand in a room that is higher
ROWS, ENOUGH = 4, 3  # rows of a full view, and of one of whole phrases that has all details
BRIEF = 2  # bars: of shorter forms that stand on one row, more than two times are in view
WORTH = 1.15  # times: chords that are so much larger are worth more than details of an ending
KEPT = 3  # so many of the details are left away for a full view


@dataclass(frozen=True)
class Layout:
    """The rows of a chart and where they stand; mm as on paper but for what is said otherwise.

    scale: mm on the frame in one as on paper. high: of the room. room: on the frame.
    """

    rows: tuple[Row, ...]
    pages: Pages
    measures: Measures
    scale: float
    high: float
    room: Room

    @cached_property
    def _up(self) -> float:
        return max(row.above(self.measures) for row in self.rows)

    @cached_property
    def _down(self) -> float:
        return max(row.below(self.measures) for row in self.rows) + UNDER

    @cached_property
    def _pitch(self) -> float:
        return min(self.high / self.pages.slots, SPREAD * (self._up + self._down))

    def foot(self, row: int, slot: int) -> float:
        """The height of a row's lowest marks in a place from the top."""
        spare = self._pitch - self._up - self._down
        top = (self.high - self._pitch * self.pages.slots) / 2 + slot * self._pitch
        return top + spare / 2 + self._up + self.rows[row].below(self.measures)

    def cells(self, row: int) -> list[BarCell]:
        """The bars of a row."""
        return self.rows[row].placed(self.measures)[1]

    def size(self, row: int) -> float:
        """The size of the chords of a row in points on the frame."""
        return self.rows[row].placed(self.measures)[0] * self.scale

    def edges(self, row: int, slot: int) -> tuple[float, float]:
        """Top and foot of the bar lines of a row in a place."""
        sized = self.rows[row].sized(self.measures)
        return bar_line_ends(self.rows[row].line, self.foot(row, slot), sized)

    def marks(self, row: int, slot: int) -> Iterator[Mark]:
        """The marks of a row in a place, on the frame."""
        sized = self.rows[row].sized(self.measures)
        for mark in line_marks(self.rows[row].line, self.foot(row, slot), LEFT, sized):
            yield scaled(mark, self.scale, self.room.x, self.room.y)

    def on_frame(self, left: float, top: float, right: float, bottom: float) -> Room:
        """A rectangle as on paper, on the frame; left and right are counted as in `cells`."""
        return Room(
            self.room.x + (LEFT + left) * self.scale,
            self.room.y + top * self.scale,
            (right - left) * self.scale,
            (bottom - top) * self.scale,
        )


def layout_of(chart: Chart, look: Look) -> Layout:
    """The layout of a chart in the room ``chart`` of a look, with as many details as leave enough
    rows, in chords as large as fit.

    The view is to have as many rows as the longest time round, up to ROWS; where only the most
    telling details would be left for that, fewer. An ending has no details where the chords of the
    whole track would be much smaller for them.
    """
    across = look.most_bars // ROWS
    some = ENOUGH if across == PHRASE else ROWS
    road = Road(chart)
    tried: dict[int, _Draft] = {}

    def without(left_away: int) -> _Draft:
        if left_away not in tried:
            tried[left_away] = _Draft(road, look, DETAILS[left_away:])
        return tried[left_away]

    every = range(len(DETAILS) + 1)
    for wanted, few in ((ROWS, every[: KEPT + 1]), (some, every), (2, every), (0, every[-1:])):
        for left_away in few:
            draft = without(left_away)
            if draft.most < min(wanted, max(draft.longest, 2)):
                continue
            found = draft.laid_out()
            if left_away == 0 and chart.ending and without(1).most >= draft.most:
                plain = without(1).laid_out()
                if plain.measures.size > WORTH * found.measures.size:
                    return plain
            return found
    raise AssertionError("bare chords are a layout")


class _Draft:
    """The rows with some details.

    most: how many have room in the smallest chords. longest: rows of the longest time round.
    """

    def __init__(self, road: Road, look: Look, details: Sequence[str]) -> None:
        room = look.rooms["chart"]
        self.room, self.most_bars = room, look.most_bars
        self.scale = look.least / SMALLEST_CHORD
        self.high, self.width = room.high / self.scale, room.wide / self.scale - LEFT - RIGHT
        self.least = _measures(SMALLEST_CHORD, self.width)
        self.rows = rows(road.phrases(details), self.least, look.most_bars // ROWS)
        fitting = int(self.high / _height(_different(self.rows), self.least) + 1e-6)
        self.most = min(fitting, look.most_bars // max(len(row.pieces) for row in self.rows))
        self.longest = max(Counter(row.round for row in self.rows).values())

    def laid_out(self) -> Layout:
        """The rows on pages, in chords as large as fit."""
        placed, pages = _with_ending(self.rows, max(self.most, 1), self.least, self.most_bars)
        different = _different(placed)

        def fits(size: float) -> bool:
            measures = _measures(size, self.width)
            enough = _height(different, measures) * pages.slots <= self.high
            return enough and all(row.fits(measures) for row in different)

        steps = range(round((LARGEST - SMALLEST_CHORD) / STEP))
        size = LARGEST - STEP * bisect_left(steps, True, key=lambda n: fits(LARGEST - STEP * n))
        smallest = min(row.placed(_measures(size, self.width))[0] for row in different)
        measures = _measures(max(SMALLEST_CHORD, smallest, ALIKE * size), self.width)
        return Layout(tuple(placed), pages, measures, self.scale, self.high, self.room)


def _measures(size: float, width: float) -> Measures:
    em = Measures(size, False, width).em
    return Measures(size, False, width, air=LEADING * em, least=SMALLEST_CHORD, beside_names=True)


def _different(made: Sequence[Row]) -> list[Row]:
    """The rows, those that look alike once."""
    return list({(row.line, row.across): row for row in made}.values())


def _height(made: Sequence[Row], measures: Measures) -> float:
    """The height that a row takes, as all do."""
    above = max(row.above(measures) for row in made)
    return above + max(row.below(measures) for row in made) + UNDER


def _with_ending(
    made: Sequence[Row], most: int, least: Measures, most_bars: int
) -> tuple[list[Row], Pages]:
    """The rows on their pages; those of an added ending stand below the last row, at its end, or
    on a page of their own."""
    road = [row for row in made if not row.pieces[0].written.added]
    ending = [row for row in made if row.pieces[0].written.added]
    in_one_row = all(row.top for row in road)
    short = in_one_row and max(len(row.pieces) for row in road) > BRIEF
    pages = paged(road, min(most, 2) if short else most)
    slots = max(map(len, pages))
    last = pages[-1]
    in_view = sum(len(row.pieces) for row in road[last.start :])
    alone = len(ending) == 1 and len(ending[0].pieces) == 1
    if ending and len(last) + len(ending) <= (slots if slots > 1 else most):
        pages[-1] = range(last.start, last.stop + len(ending))
    elif alone and slots > 1 and in_view < most_bars:
        joined = replace(road[-1], pieces=road[-1].pieces + ending[0].pieces)
        joined = replace(joined, across=max(joined.across, len(joined.pieces)))
        if joined.fits(least):
            return [*road[:-1], joined], Pages(tuple(pages))
        pages.append(range(len(road), len(made)))
    elif ending:
        at = last.start if len(last) == 1 else len(road)
        pages = [page for page in pages if page.start < at]
        pages += [range(at + p.start, at + p.stop) for p in paged([*road[at:], *ending], most)]
    return [*road, *ending], Pages(tuple(pages))
