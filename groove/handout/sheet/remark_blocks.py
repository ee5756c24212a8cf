"""The teacher's own words on a sheet as blocks; none where there are none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.handout.drawing.flow import (
    ASCENT,
    MARGIN,
    Block,
    paragraph,
    stacked,
    subheading,
)
from groove.handout.drawing.page import POINT, Mark
from groove.handout.sheet.plan_blocks import GAP, LEADING
from groove.handout.sheet.sheet import Sheet
from groove.handout.teacher import SIZE, byline_marks, byline_rows, closing_blocks
from groove.lesson.blocks import heading_of

TITLE = 24.0  # points
PARAGRAPH_GAP, AFTER_TITLE = 1.0, 2.0  # mm


def remark_blocks(sheet: Sheet, width: float, size: float) -> list[Block]:
    """The paragraphs on the whole lesson and on its choruses; width: in mm, size: in points."""
    said = [
        replace(paragraph(words, width, size=size, leading=LEADING), gap=PARAGRAPH_GAP)
        for words in sheet.voice.remarks
    ]
    return [subheading(heading_of("remarks"), width, gap=GAP), *said] if said else []


def with_remarks(
    sheet: Sheet, name: str, blocks: Sequence[Block], width: float, size: float
) -> list[Block]:
    """The blocks of a part with the teacher's paragraphs on it, under its heading if it has one."""
    made = list(blocks)
    said = sheet.guide.form.lesson.remarks_at(name) if made or name == "chart" else ()
    if not said:
        return made
    under = [
        paragraph([(words, "italic")], width, size=size, leading=LEADING, gap=PARAGRAPH_GAP)
        for words in said
    ]
    if not made:
        return under
    at = 1 if made[0].heads else 0
    return [*made[:at], *(replace(block, keep=True) for block in under), *made[at:]]


def title_block(sheet: Sheet, width: float) -> Block:
    """Title, name and address at the head of a sheet without a chart."""
    title = paragraph([(sheet.title, "bold")], width, size=TITLE)
    return stacked([title, *_byline(sheet, width)])


def _byline(sheet: Sheet, width: float) -> list[Block]:
    blocks = []
    for row in byline_rows(sheet.voice, width):

        def draw(x: float, y: float, row: list[tuple[str, str]] = row) -> list[Mark]:
            return byline_marks(row, x, y + SIZE * POINT * ASCENT)

        words = "".join(text for text, _ in row)
        blocks.append(Block(SIZE * POINT * LEADING, draw, words))
    return blocks


def invite_blocks(sheet: Sheet, width: float) -> list[Block]:
    """The last line to the student, and once more the teacher's name and address."""
    line = closing_blocks(sheet.voice, width, remarks=False)
    return [replace(stacked([*line, *_byline(sheet, width)]), gap=GAP)] if line else []


def begun(block: Block) -> tuple[float, tuple[Mark, ...], str]:
    """A block at the head of a page: where it ends, its marks and words."""
    return MARGIN + block.height + AFTER_TITLE, tuple(block.draw(MARGIN, MARGIN)), block.words
