"""The pages of a beginner's sheet: two at most, and those of the chart where it is long; the
teacher's phrases come after them.

Headings are small, gaps give way, and the chart is as large as the rest leaves room for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

from groove.handout.chart.pages import ChartAbove, chart_above, chart_pages
from groove.handout.chart.written import WrittenChart
from groove.handout.drawing.flow import (
    FOOT,
    Block,
    pages,
    placed_on_pages,
    row,
    stacked,
    subheading,
)
from groove.handout.drawing.page import Page, Paper
from groove.handout.sheet.first_page import AFTER_CHART, WAYS
from groove.handout.sheet.plan_blocks import GAP
from groove.handout.sheet.sheet import Sheet

GAPS = (1.0, 0.8, 0.6, 0.4)  # of the gaps between blocks
MOST = 2  # pages
BOX_COLUMN, BOX = 66.0, 60.0  # mm, with the air before the lick and without
TRIED = [(gaps, way) for way in WAYS[:-1] for gaps in GAPS[:-1]]
TRIED += [(gaps, WAYS[-1]) for gaps in GAPS[-2:]]
"""The gaps and the ways of the chart in their order: large chords before wide gaps."""


def with_small_heading(name: str, blocks: Sequence[Block], width: float) -> list[Block]:
    """The blocks of a part under a small heading; name: the words of its heading."""
    made = list(blocks)
    if made and made[0].heads and made[0].words == name:
        made[0] = subheading(name, width)
    return made


def side_by_side(box: Sequence[Block], lick: Sequence[Block], width: float) -> Block:
    """The home position with a lick beside it, both under their headings, which are at one height.

    box, lick: the blocks of both parts, as wide as BOX and lick_column say.
    """
    columns = [(BOX_COLUMN, stacked(box)), (lick_column(width), stacked(lick))]
    cells = [(wide, block.height, block.draw, block.words) for wide, block in columns]
    (pair,) = row(cells, width, between=0.0, gap=GAP)
    return pair


def lick_column(width: float) -> float:
    """The width in mm that a lick has beside the home position."""
    return width - BOX_COLUMN


def two_pages(sheet: Sheet, blocks: Sequence[Block], paper: Paper, led: int) -> list[Page]:
    """The chart and the blocks under it on two pages; the chart on its own before them where it is
    long. More pages where all of that is not enough, as for many remarks.

    led: the number of blocks that are best on the chart's page. To keep them there the chart may be
    without its ending.
    """
    charts = tuple(dict.fromkeys((sheet.chart, sheet.chart.without_ending())))
    wanted = ((MOST, led), (MOST, 0), (MOST + 1, led))
    for (most, number), chart, (gaps, way) in product(wanted, charts, TRIED):
        tight = _tight(blocks, gaps)
        above = _chart(chart, tight, paper, way, number, most)
        if above:
            begun = above.end + AFTER_CHART, above.marks, above.words
            if len(placed_on_pages(tight, paper, begun[0])) <= most:
                return pages(tight, paper, sheet.title, begun)
    tried = (_tight(blocks, gaps) for gaps in GAPS)
    fits = (tight for tight in tried if len(placed_on_pages(tight, paper)) <= MOST)
    tight = next(fits, list(blocks))
    alone = chart_pages(sheet.chart, paper, closed=False)
    return [*alone, *pages(tight, paper, sheet.title)]


def _chart(
    chart: WrittenChart,
    blocks: Sequence[Block],
    paper: Paper,
    way: tuple[float, float, bool],
    led: int,
    most: int,
) -> ChartAbove | None:
    """The chart over so many blocks, or over what the later pages have no room for; None where it
    doesn't fit."""
    _, least, paired = way
    first = next(n for n in range(len(blocks) + 1) if _fit(blocks[n:], paper, most - 1))
    below = AFTER_CHART + sum(block.height + block.gap for block in blocks[: max(first, led)])
    return chart_above(chart, paper, foot=FOOT, below=below, least=least, paired=paired)


def _fit(blocks: Sequence[Block], paper: Paper, most: int) -> bool:
    return not blocks or len(placed_on_pages(blocks, paper)) <= most


def on_fewest_pages(blocks: Sequence[Block], paper: Paper) -> list[Block]:
    """The blocks with the widest gaps with which they need as few pages as with the narrowest."""
    tried = [_tight(blocks, gaps) for gaps in GAPS]
    return min(tried, key=lambda tight: len(placed_on_pages(tight, paper)))


def _tight(blocks: Sequence[Block], gaps: float) -> list[Block]:
    return [replace(block, gap=gaps * block.gap) for block in blocks]
