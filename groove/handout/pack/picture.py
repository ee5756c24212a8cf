"""The chart of the overview: an SVG picture without a paper's margins and page breaks."""

from __future__ import annotations

from groove.handout.chart.pages import chart_pages
from groove.handout.chart.written import WrittenChart
from groove.handout.drawing.page import Page, Paper, ink_box, moved
from groove.handout.drawing.svg import svg
from groove.wording import worded

WIDTH, HEIGHT = 150.0, 3000.0
"""The paper that the chart is laid out on, in mm: narrow, so that its chords are large on a phone;
and so high that any chart stands on one page."""
EDGE = 4.0
"""mm of white round the ink."""


def chart_picture(chart: WrittenChart) -> bytes:
    """The chart as SVG, as large as its ink, without the teacher's remarks and last line; the same
    chart gives the same bytes."""
    with worded(chart.words):
        pages = chart_pages(chart, Paper("screen", WIDTH, HEIGHT), closed=False)
    return svg(_trimmed(pages))


def _trimmed(pages: tuple[Page, ...]) -> Page:
    """The pages one below the other on a sheet that is as large as their ink and EDGE."""
    marks, down, wide = [], EDGE, 0.0
    for page in pages:
        boxes = [box for mark in page.marks if (box := ink_box(mark))]
        left, top = min(box.left for box in boxes), min(box.top for box in boxes)
        marks += [moved(mark, EDGE - left, down - top) for mark in page.marks]
        down += max(box.bottom for box in boxes) - top + EDGE
        wide = max(wide, max(box.right for box in boxes) - left + 2 * EDGE)
    words = "\n".join(page.words for page in pages)
    return Page(Paper("picture", wide, down), tuple(marks), pages[0].title, words)
