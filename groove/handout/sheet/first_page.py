"""The first page of a sheet: chart, form, main scales and plan, on one page where they fit.

It can be handed out alone. Where the chart is long it has its own page, and the rest the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.handout.chart.pages import ChartAbove, chart_above, chart_pages
from groove.handout.drawing.flow import FOOT, Block, Run, beside, paragraph, row, subheading
from groove.handout.drawing.page import Page, Paper, text_width
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.words import (
    built_line,
    main_scales,
    names_words,
    notes_line,
    over_words,
    plan_rows,
    size_line,
)

GAP, TIME_GAP, STEP_GAP = 4.5, 1.8, 1.0  # mm over a part, a time through the track, a step
TEXT, LEADING = 9.5, 1.3  # points; line to line, of the size
AFTER_CHART, BETWEEN = 5.0, 6.0  # mm, under the chart and between two columns
MOST_CHART = 0.55  # of the page: a chart that is higher stands alone


def first_pages(sheet: Sheet, paper: Paper, width: float) -> tuple[list[Page], ChartAbove | None]:
    """The pages of a chart that stands alone; else none, and the chart above the essentials."""
    blocks = essentials(sheet, width)
    height = sum(block.height + block.gap for block in blocks) + AFTER_CHART
    above = chart_above(sheet.chart, paper, foot=FOOT, below=height)
    if above is None:
        above = chart_above(sheet.chart, paper, foot=FOOT, below=(1 - MOST_CHART) * paper.height)
    return ([], above) if above else (list(chart_pages(sheet.chart, paper)), None)


def essentials(sheet: Sheet, width: float) -> list[Block]:
    """What a player needs at once: how the form goes, the main scales, what to practise."""
    return [*_form(sheet, width), *_scales(sheet, width), *_plan(sheet, width)]


def _form(sheet: Sheet, width: float) -> list[Block]:
    return [_text(f"{size_line(sheet)} {built_line(sheet.guide)}", width)]


def _scales(sheet: Sheet, width: float) -> list[Block]:
    """The scales side by side, each with its notes and the chords that it is for."""
    guide = sheet.guide
    column = (width - BETWEEN) / 2
    entries = [
        _text(
            [
                (choice.title, "bold"),
                (f"  {notes_line(choice)}", "regular"),
                (f"  {over_words(choice)}", "italic"),
            ],
            column,
        )
        for choice in main_scales(guide)
    ]
    cells = [(column, entry.height, entry.draw, entry.words) for entry in entries]
    rows = row(cells, width, between=BETWEEN, gap=0.5)
    said = names_words(guide)
    where = [_text(said, width)] if said else []
    return _kept([subheading("Main scales", width, gap=GAP), *where, *rows])


def _plan(sheet: Sheet, width: float) -> list[Block]:
    plan = sheet.guide.plan
    blocks = _kept(
        [subheading("Practice plan", width, gap=GAP), _text(" ".join(plan.tempo_words), width)]
    )
    rows = plan_rows(sheet.guide)
    column = max(text_width(label, TEXT) for _, label, _ in rows) + 4.0
    for over, label, step in rows:
        if over:
            line = _text([(over, "italic")], width)
            blocks.append(replace(line, gap=TIME_GAP, keep=True))
        said: list[Run] = [(f"{step.title}. ", "bold"), (step.words, "regular")]
        left = _text(label, column)
        (block,) = beside(left, [_text(said, width - column)], column, gap=STEP_GAP)
        blocks.append(replace(block, keep=False))
    return _last_two_kept(blocks)


def _text(runs: Sequence[Run] | str, width: float) -> Block:
    return paragraph(runs, width, size=TEXT, leading=LEADING)


def _kept(blocks: Sequence[Block]) -> list[Block]:
    """Blocks that stay on one page."""
    return [*(replace(block, keep=True) for block in blocks[:-1]), blocks[-1]]


def _last_two_kept(blocks: Sequence[Block]) -> list[Block]:
    """The blocks, the last of them never alone at the top of a page."""
    *others, before, last = blocks
    return [*others, replace(before, keep=True), last]
