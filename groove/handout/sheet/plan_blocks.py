"""The practice plan of a sheet as blocks: time, tempi, and the steps with boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.handout.drawing.flow import (
    ASCENT,
    Block,
    Run,
    beside,
    paragraph,
    row,
    stacked,
    subheading,
)
from groove.handout.drawing.page import POINT, Mark, Rect, Text, text_width
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.words import plan_rows
from groove.lesson.blocks import heading_of
from groove.lesson.practice_plan import PlanStep
from groove.wording import said, words_of

GAP, STEP_GAP = 4.5, 1.0  # mm over the plan, a step
LEADING = 1.3  # line to line, of the size of the text
BOX, AFTER_BOX = 0.85, 1.6  # the side of a box to tick, of the size of the text; mm to its words
AFTER_LABEL = 4.0  # mm
BETWEEN_RUNGS, UNDER_RUNGS = 4.5, 0.8  # mm
BOX_LINE = 0.2  # mm


def plan_blocks(sheet: Sheet, width: float, size: float) -> list[Block]:
    """The plan in a width in mm, in text of a size in points."""
    plan = sheet.guide.plan
    told = " ".join([*plan.tempo_words, plan.session])
    blocks = [
        replace(subheading(heading_of("plan"), width, gap=GAP), keep=True),
        replace(_text(told, width, size), keep=True),
        *(replace(rung, keep=True) for rung in _ladder(plan.ladder, width, size)),
    ]
    rows = [
        (said("plan", "session.minutes", minutes=step.minutes), label, step)
        for label, step in plan_rows(sheet.guide)
    ]
    box = size * POINT * BOX + AFTER_BOX
    column = AFTER_LABEL + max(
        max(box + text_width(minutes, size), text_width(label, size, "italic"))
        for minutes, label, _ in rows
    )
    for minutes, label, step in rows:
        under = [_text([(label, "italic")], column, size)] if label else []
        left = stacked([_ticked(minutes, size), *under])
        (block,) = beside(left, [_text(_said(step), width - column, size)], column, gap=STEP_GAP)
        blocks.append(replace(block, keep=False))
    blocks[-2] = replace(blocks[-2], keep=True)  # the last step is never alone on a page
    return blocks


def _said(step: PlanStep) -> list[Run]:
    """Title, task and what to listen for."""
    title = said("plan", "session.step", title=step.title)
    listen = f"{words_of('plan')['session']['listen']} {step.listen}"
    return [(title, "bold"), (step.words, "regular"), (listen, "italic")]


def _ladder(tempi: Sequence[int], width: float, size: float) -> list[Block]:
    """The tempi side by side, each with a box to tick; nothing for a single one."""
    if len(tempi) == 1:
        return []
    label = [(words_of("plan")["session"]["ladder"], "italic")]
    first = _text(label, width, size)
    wide = text_width(label[0][0], size, "italic")
    cells = [(wide, first.height, first.draw, first.words)]
    for tempo in tempi:
        rung = _ticked(str(tempo), size)
        wide = size * POINT * BOX + AFTER_BOX + text_width(str(tempo), size)
        cells.append((wide, rung.height, rung.draw, rung.words))
    return row(cells, width, between=BETWEEN_RUNGS, gap=UNDER_RUNGS)


def _ticked(words: str, size: float) -> Block:
    """Words on a line after a box to tick."""
    side = size * POINT * BOX
    height = size * POINT * LEADING

    def draw(x: float, y: float) -> list[Mark]:
        baseline = y + size * POINT * ASCENT
        return [
            Rect(x, baseline - side * 0.9, side, side, width=BOX_LINE),
            Text(x + side + AFTER_BOX, baseline, words, size),
        ]

    return Block(height, draw, words)


def _text(runs: Sequence[Run] | str, width: float, size: float) -> Block:
    return paragraph(runs, width, size=size, leading=LEADING)
