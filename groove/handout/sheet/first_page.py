"""The first page of a sheet: chart, form, main scales and plan, if they fit.

It can be handed out alone. Where the chart is long it has its own page, and the rest the next.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from groove.form.lesson_fields import BEGINNER
from groove.handout.chart.pages import ChartAbove, chart_above, chart_pages
from groove.handout.drawing.flow import FOOT, Block, Run, paragraph, row, subheading
from groove.handout.drawing.page import Page, Paper
from groove.handout.sheet.plan_blocks import GAP, LEADING, plan_blocks
from groove.handout.sheet.remark_blocks import remark_blocks, with_remarks
from groove.handout.sheet.scale_necks import home_line
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.words import (
    built_line,
    names_words,
    notes_line,
    scale_rows,
    size_line,
)
from groove.lesson.blocks import heading_of
from groove.lesson.form_scales import Choice

AFTER_CHART, BETWEEN = 5.0, 6.0  # mm, under the chart and between two columns
MOST_CHART = 0.55  # of the page: a chart that is higher stands alone

# Points of the text and the least of the chart's chords, and whether two lines of the chart stand
# beside each other: the first of these with which all stands on one page.
WAYS = ((9.5, 17.5, False), (9.0, 15.0, False), (9.0, 12.5, False), (9.0, 11.0, True))


@dataclass(frozen=True, slots=True)
class FirstPage:
    """alone: the pages of a chart that stands alone. above: else the chart above the essentials.
    essentials: how the form goes, the main scales and the plan."""

    alone: tuple[Page, ...]
    above: ChartAbove | None
    essentials: tuple[Block, ...]


def first_page(sheet: Sheet, paper: Paper, width: float, names: Sequence[str]) -> FirstPage:
    """The chart with all that a player needs at once below it, if need be without its ending; a
    long chart alone.

    names: those of ESSENTIALS that come right after the chart.
    """
    for chart in dict.fromkeys((sheet.chart, sheet.chart.without_ending())):
        for size, least, paired in WAYS:
            blocks = _all(sheet, width, size, names)
            height = sum(block.height + block.gap for block in blocks) + AFTER_CHART
            above = chart_above(chart, paper, foot=FOOT, below=height, least=least, paired=paired)
            if above:
                return FirstPage((), above, tuple(blocks))
    blocks = _all(sheet, width, WAYS[0][0], names)
    above = chart_above(sheet.chart, paper, foot=FOOT, below=(1 - MOST_CHART) * paper.height)
    alone = () if above else chart_pages(sheet.chart, paper, closed=False)
    return FirstPage(alone, above, tuple(blocks))


def essential(name: str) -> Callable[[Sheet, float], list[Block]]:
    """The function that draws one of ESSENTIALS apart from the first page, in its largest text."""
    return lambda sheet, width: ESSENTIALS[name](sheet, width, WAYS[0][0])


def _all(sheet: Sheet, width: float, size: float, names: Sequence[str]) -> list[Block]:
    blocks = with_remarks(sheet, "chart", (), width, size)
    for name in names:
        made = with_remarks(sheet, name, ESSENTIALS[name](sheet, width, size), width, size)
        if blocks and made and not made[0].gap:
            made[0] = replace(made[0], gap=GAP)  # words without a heading after the teacher's
        blocks += made
    return blocks


def _form(sheet: Sheet, width: float, size: float) -> list[Block]:
    return [_text(f"{size_line(sheet)} {built_line(sheet.guide)}", width, size)]


def main_rows(sheet: Sheet) -> list[tuple[Choice, str]]:
    """The main scales, each with what it is for; a beginner's the one that the plan begins with."""
    rows = scale_rows(sheet.guide)
    if sheet.learner != BEGINNER:
        return rows
    begun = sheet.guide.ground.scale
    named = [choice.title for choice, _ in rows if choice.title in begun]
    longest = [title for title in named if not any(title in t != title for t in named)]
    return [row for row in rows if row[0].title in longest] or rows[:1]


def _scales(sheet: Sheet, width: float, size: float) -> list[Block]:
    """The scales side by side, each with its notes and the chords that it is for."""
    guide = sheet.guide
    column = (width - BETWEEN) / 2
    entries = [
        _text(
            [
                (choice.title, "bold"),
                (f"  {notes_line(choice)}", "regular"),
                (f"  {where}", "italic"),
            ],
            column,
            size,
        )
        for choice, where in main_rows(sheet)
    ]
    cells = [(column, entry.height, entry.draw, entry.words) for entry in entries]
    rows = row(cells, width, between=BETWEEN, gap=0.5)
    said = names_words(guide)
    where = [_text(said, width, size)] if said else []
    home = home_line(sheet)
    under = [replace(_text(home, width, size), gap=0.5)] if home else []
    return _kept([subheading(heading_of("scales"), width, gap=GAP), *where, *rows, *under])


def _text(runs: Sequence[Run] | str, width: float, size: float) -> Block:
    return paragraph(runs, width, size=size, leading=LEADING)


def _kept(blocks: Sequence[Block]) -> list[Block]:
    """Blocks that stay on one page."""
    return [*(replace(block, keep=True) for block in blocks[:-1]), blocks[-1]]


ESSENTIALS: dict[str, Callable[[Sheet, float, float], list[Block]]] = {
    "remarks": remark_blocks,
    "form": _form,
    "scales": _scales,
    "plan": plan_blocks,
}
"""The functions that draw the parts that can stand on the first page: a width in mm, text in
points."""
