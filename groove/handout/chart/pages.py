"""The chord chart on paper.

A short staff at the head shows clef, key and metre, as a scribe sets them before a piece; below
it chords stand large over the strokes that count the beats of their bar, without a staff. The
chords are as large as one page for the whole chart allows.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from groove.form.model import Form
from groove.handout.chart.bar import WrittenBar
from groove.handout.chart.cells import (
    BEAT,
    TO_BEATS,
    UNDER,
    Measures,
    bar_widths,
    even_size,
    fits_evenly,
)
from groove.handout.chart.head import HEAD_GAP, head
from groove.handout.chart.line import line_height, line_marks
from groove.handout.chart.text import chart_text
from groove.handout.chart.written import WrittenChart, chorus_lines, write_chart
from groove.handout.drawing.flow import Block, numbered
from groove.handout.drawing.flow import pages as flow_pages
from groove.handout.drawing.page import Mark, Page, Paper, Text, fitted
from groove.handout.teacher import closing_blocks
from groove.wording import said

MARGIN = 17.0  # mm
FOOT = 8.0  # mm from the lowest line to a page number
LARGEST, LEAST = 33.0, 15.0  # points, chords
ONE_PAGE, CROWDED = 48, 8.0  # so many bars stand on one page, if need be in so small chords
LEAST_DIRECTED = 15.0  # points: smaller chords with rhythms and words go on to another page
MOST_DIRECTED = 24.0  # points, if there are several pages
FLOWING = 19.0  # points, chords of charts that need several pages
STEP = 0.5  # points
MOST_AIR = 9.0  # mm put between the lines of a chart that leaves the page half empty
SMALL_EVEN = 0.7  # of the largest possible size: for less, one crowded line stands out instead

OTHERS, OTHERS_WORDS = 15.0, 11.0  # points: chords of the keys that follow, words above them
OTHERS_HEAD, KEY_COLUMN = 11.0, 15.0  # mm

CLOSING_GAP, MOST_CLOSING = 6.0, 0.4  # mm over the teacher's words; of the page, at most

BARS_A_LINE = 4
ABOVE, LEAST_ABOVE, ABOVE_AIR = 26.0, 17.5, 1.5  # points, points, mm: over something else

Lines = tuple[tuple[WrittenBar, ...], ...]


def chart_pages(
    chart: WrittenChart, paper: Paper, *, numerals: bool = False, closed: bool = True
) -> tuple[Page, ...]:
    """The chart on as few pages as it can be read from; up to 48 bars stand on one.

    closed: with the teacher's remarks and last line below it, on a page of their own where the
    chart leaves no room for them.
    """
    if numerals:
        chart = chart.with_numerals_explained()
    width, foot = paper.width - 2 * MARGIN, paper.height - MARGIN
    closing = closing_blocks(chart.voice, width) if closed else []
    if not closing:
        return _pages(chart, paper, numerals, 0.0)[0]
    below = CLOSING_GAP + sum(block.height + block.gap for block in closing)
    if below <= MOST_CLOSING * (foot - MARGIN):
        made, end = _pages(chart, paper, numerals, below)
        if len(made) == 1 and end + below <= foot + 1e-6:
            return (_with_closing(made[0], closing, end + CLOSING_GAP),)
    made, end = _pages(chart, paper, numerals, 0.0)
    if end + below <= foot:
        return (*made[:-1], _with_closing(made[-1], closing, end + CLOSING_GAP))
    alone = flow_pages(closing, paper, chart.title)
    title = made[0].title
    return numbered([replace(page, title=title) for page in (*made, *alone)], MARGIN - FOOT)


def _with_closing(page: Page, closing: Sequence[Block], y: float) -> Page:
    """A page with some blocks on it from y on."""
    marks, words = list(page.marks), [page.words]
    for block in closing:
        y += block.gap
        marks += block.draw(MARGIN, y)
        words.append(block.words)
        y += block.height
    return replace(page, marks=tuple(marks), words="\n".join(words))


def _pages(
    chart: WrittenChart, paper: Paper, numerals: bool, below: float
) -> tuple[tuple[Page, ...], float]:
    """The pages, some mm left empty at the foot of each, and where the last of them ends."""
    width, foot = paper.width - 2 * MARGIN, paper.height - MARGIN - below
    top, head_marks = head(chart, paper.width, MARGIN)
    others = _others_height(chart, width)
    measures = _measures(chart, width, foot - top - others, numerals)
    if others and not _all_fit(chart, measures, foot - top - others):
        chart, others = replace(chart, others=()), 0.0
        measures = _measures(chart, width, foot - top, numerals)
    if measures.size == FLOWING and any(bar.is_directed for bar in chart.bars):
        measures = _fewest_pages(chart, measures, foot - top, foot - MARGIN - HEAD_GAP)
    groups = _on_pages(chart.lines, measures, foot - top, foot - MARGIN - HEAD_GAP)
    pages = []
    for number, lines in enumerate(groups, 1):
        marks: list[Mark] = list(head_marks)
        y = top
        if number > 1:
            title = fitted(chart.title, width, 13, "regular")
            marks, y = [Text(MARGIN, MARGIN + 4, title, 13)], MARGIN + HEAD_GAP
        if len(groups) > 1:
            words = said("chart", "file.of", number=number, pages=len(groups))
            marks.append(Text(paper.width / 2, foot + FOOT, words, 10, anchor="middle"))
        for line in lines:
            y += line_height(line, measures)
            marks += line_marks(line, y, MARGIN, measures)
        if number == len(groups):
            marks += _others_marks(chart, y, width)
        title = said("chart", "file.chart", title=chart.title)
        if number > 1:
            title = said("chart", "file.page", title=title, number=number)
        shown = replace(chart, lines=lines, others=chart.others if number == len(groups) else ())
        words = chart_text(shown, numerals=numerals, closed=False)
        pages.append(Page(paper, tuple(marks), title, words))
    return tuple(pages), y + others


def chorus_shares(form: Form, paper: Paper) -> tuple[tuple[float, ...], ...]:
    """The share of a line's width that each bar of a chorus takes on paper, line by line."""
    chart = write_chart(form)
    width, foot = paper.width - 2 * MARGIN, paper.height - MARGIN
    top, _ = head(chart, paper.width, MARGIN)
    measures = _measures(chart, width, foot - top - _others_height(chart, width), False)
    return tuple(
        tuple(wide / width for wide in bar_widths(line, measures)) for line in chorus_lines(form)
    )


@dataclass(frozen=True, slots=True)
class ChartAbove:
    """A chart at the head of a page: where it ends, in mm from the top, its marks and words."""

    end: float
    marks: tuple[Mark, ...]
    words: str


def chart_above(
    chart: WrittenChart,
    paper: Paper,
    *,
    foot: float,
    below: float,
    least: float = LEAST_ABOVE,
    paired: bool = False,
) -> ChartAbove | None:
    """The chart over something that needs some mm ``below`` it and ends ``foot`` mm above the edge;
    None where its chords would be smaller than ``least`` points, and where it has other keys
    written out. paired: two lines of the chart beside each other where no section begins."""
    width = paper.width - 2 * MARGIN
    top, head_marks = head(chart, paper.width, MARGIN)
    room = paper.height - foot - below - top
    lines = _paired(chart.lines) if paired else chart.lines
    across = max(BARS_A_LINE, *map(len, lines))
    clef = chart.reader.clef
    sizes = (ABOVE - STEP * n for n in range(round((ABOVE - least) / STEP) + 1))
    tried = [Measures(size, False, width, ABOVE_AIR, across, clef) for size in sizes]

    def height(measures: Measures) -> float:
        return sum(line_height(line, measures) for line in lines)

    if chart.others or height(tried[-1]) > room:
        return None
    if paired:  # chords of one size on all lines, if there is one
        even = [m for m in tried if all(fits_evenly(line, m) for line in lines)]
        tried = even or tried[-1:]
    found = bisect_left(tried, True, key=lambda m: height(m) <= room)
    if found == len(tried):
        return None
    measures = tried[found]
    marks, y = list(head_marks), top
    for line in lines:
        y += line_height(line, measures)
        marks += line_marks(line, y, MARGIN, measures)
    return ChartAbove(y, tuple(marks), chart_text(chart, closed=False))


def _paired(lines: Lines) -> Lines:
    """The lines, each with the next one where that begins no section and has room; the bar after
    the last chorus always has."""
    found: list[tuple[WrittenBar, ...]] = []
    for line in lines:
        begins = not found or line[0].section or line[0].opens
        full = found and not line[0].added and len(found[-1]) + len(line) > 2 * BARS_A_LINE
        if begins or full:
            found.append(line)
        else:
            found[-1] += line
    return tuple(found)


def _measures(chart: WrittenChart, width: float, room: float, numerals: bool) -> Measures:
    """The largest chords with which the chart stands on one page, and the air between lines."""
    clef = chart.reader.clef
    fitting = [
        even_size(line, Measures(LARGEST, numerals, width, clef=clef)) for line in chart.lines
    ]
    size = max(min(fitting), SMALL_EVEN * LARGEST)
    written = sum(not bar.in_bracket and not bar.added for bar in chart.bars)
    directed = any(bar.is_directed for bar in chart.bars)
    while size >= (LEAST_DIRECTED if directed else CROWDED if written <= ONE_PAGE else LEAST):
        measures = Measures(size, numerals, width, clef=clef)
        spare = room - sum(line_height(line, measures) for line in chart.lines)
        if spare >= 0:
            return replace(measures, air=min(MOST_AIR, spare / len(chart.lines)))
        size -= STEP
    return Measures(FLOWING, numerals, width, clef=clef)


def _fewest_pages(chart: WrittenChart, measures: Measures, first: float, later: float) -> Measures:
    """The largest chords with which a chart stands on as few pages as with the smallest."""

    def pages(sized: Measures) -> int:
        return len(_on_pages(chart.lines, sized, first, later))

    steps = round((MOST_DIRECTED - LEAST_DIRECTED) / STEP)
    sizes = [replace(measures, size=MOST_DIRECTED - STEP * n) for n in range(steps + 1)]
    fewest = pages(sizes[-1])
    return next(sized for sized in sizes if pages(sized) == fewest)


def _all_fit(chart: WrittenChart, measures: Measures, room: float) -> bool:
    """True if the chart stands in some room in chords that are no smaller than those below it."""
    height = sum(line_height(line, measures) for line in chart.lines)
    return height <= room + 1e-6 and measures.size >= LEAST


def _others_height(chart: WrittenChart, width: float) -> float:
    """The height of the form in the keys that follow, in mm, 0 where there are none."""
    measures = Measures(OTHERS, False, width - KEY_COLUMN)
    rows = sum(line_height(line, measures) for row in chart.others for line in row.lines)
    return OTHERS_HEAD + rows if rows else 0.0


def _others_marks(chart: WrittenChart, y: float, width: float) -> list[Mark]:
    """The form in the keys that follow, below the chart; the key stands before its first bar."""
    measures = Measures(OTHERS, False, width - KEY_COLUMN)
    marks: list[Mark] = []
    if chart.others:
        y += OTHERS_HEAD
        marks.append(
            Text(MARGIN, y - 1.0, said("chart", "marks.other_keys"), OTHERS_WORDS, "italic")
        )
    for row in chart.others:
        for number, line in enumerate(row.lines):
            y += line_height(line, measures)
            if number == 0:
                up = (TO_BEATS + BEAT + UNDER) * measures.em
                marks.append(Text(MARGIN, y - up, row.key, OTHERS, "bold"))
            marks += line_marks(line, y, MARGIN + KEY_COLUMN, measures)
    return marks


def _on_pages(lines: Lines, measures: Measures, first: float, later: float) -> list[Lines]:
    """The lines of each page."""
    groups: list[Lines] = [()]
    room = first
    for line in lines:
        height = line_height(line, measures)
        if height > room + 1e-6:
            groups.append(())
            room = later
        groups[-1] += (line,)
        room -= height
    return groups
