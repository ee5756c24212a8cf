"""Lines of notes on a sheet as blocks: solo, licks, call and response, the teacher's phrases."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.handout.drawing.flow import (
    SMALL,
    Block,
    heading,
    paragraph,
    row,
    stacked,
    subheading,
)
from groove.handout.drawing.page import Mark, ink_box, text_width
from groove.handout.drawing.staff.over_staff import swing_mark
from groove.handout.drawing.staff.system import Drawn, line_blocks
from groove.handout.sheet.fretboards import Cell
from groove.handout.sheet.lines.line_words import (
    bass_clef_of,
    clef_of,
    lick_title,
    licks_words,
    over_title,
    signs_words,
    solo_words,
    stiff_words,
    to_read,
)
from groove.handout.sheet.sheet import Sheet
from groove.lesson.blocks import heading_of
from groove.lesson.line import NoteLine
from groove.theory.symbols import signs
from groove.wording import said

BETWEEN = 8.0  # mm, between two short lines side by side
NARROW = 130.0  # mm: in less width lines don't stand beside each other
HALF_BARS = 2  # bars of a line that stands on half of the width
BESIDE_TITLE = 3.0  # mm, from a title to the sign of swing
TITLE_GAP = 1.5  # mm, from a title to its line


def drawn(sheet: Sheet, line: NoteLine, width: float) -> Drawn:
    """The setting of a line on a sheet: in the clef of its neck, else in its reader's."""
    first = line.bars[0].straight if line.bars else True
    swings = any(not bar.straight for bar in line.bars)
    swings = swings and (first or sheet.chart.swing_ratio != 1)  # the ratio is that of the top
    tuning = sheet.tuning if any(note.place for note in line.notes) else None
    swing = sheet.chart.swing_type if swings else ""
    return Drawn(width, tuning, clef_of(sheet), swing)


def solo_blocks(sheet: Sheet, width: float) -> list[Block]:
    """The example solo; width: in mm, here and below."""
    return _whole(sheet, "solo", solo_words(sheet), sheet.solo, width)


def answer_blocks(sheet: Sheet, width: float) -> list[Block]:
    """Call and response: two bars played, two of rest."""
    return _whole(sheet, "answers", said("staff", "answers.words"), sheet.answers, width)


def bass_blocks(sheet: Sheet, width: float) -> list[Block]:
    """The bass line of the track, in the clef of the bass."""
    line = sheet.bass
    if not line.notes:
        return []
    how = replace(drawn(sheet, line, width), clef=bass_clef_of(sheet))
    return [
        heading(heading_of("bass"), width),
        _introduction(said("staff", "bass.words"), width),
        *line_blocks(line, how, gap=3.0),
        *_signs(sheet, "bass", width),
    ]


def guide_tone_blocks(sheet: Sheet, width: float) -> list[Block]:
    """Two lines of guide tones on one staff, their degrees under them."""
    line, degrees = sheet.guide_tones
    if not line.notes:
        return []
    below = {tick: [signs(degree) for degree in found] for tick, found in degrees.items()}
    how = replace(drawn(sheet, line, width), swing="", below=below)
    return [
        heading(heading_of("lines"), width),
        _introduction(said("staff", "guide_tones.words"), width),
        *line_blocks(line, how, gap=3.0),
    ]


def _whole(sheet: Sheet, name: str, words: str, line: NoteLine, width: float) -> list[Block]:
    """A line over a chorus under its heading, none without notes."""
    if not line.notes:
        return []
    return [
        heading(heading_of(name), width),
        _introduction(words, width),
        *line_blocks(to_read(sheet, line), drawn(sheet, line, width), gap=3.0),
        *_signs(sheet, name, width),
    ]


def lick_blocks(sheet: Sheet, width: float) -> list[Block]:
    """A lick for each position, two beside each other."""
    lines = sheet.licks
    if not lines:
        return []
    titles = [lick_title(sheet, number, line) for number, line in enumerate(lines, 1)]
    return [
        heading(heading_of("licks"), width),
        _introduction(licks_words(sheet), width),
        *_beside(sheet, list(zip(titles, lines, strict=True)), width, signs_words(sheet, "licks")),
    ]


def teacher_phrase_blocks(sheet: Sheet, width: float) -> list[Block]:
    """The teacher's own phrases, each over its chord and moved to the others."""
    if not sheet.phrases:
        return []
    blocks = [heading(heading_of("phrases"), width)]
    for phrase in sheet.phrases:
        blocks.append(subheading(phrase.name, width))
        told = [words for words in (phrase.words, stiff_words(phrase)) if words]
        blocks += [_introduction(words, width) for words in told]
        over = [phrase.written, *phrase.moved]
        titled = [(over_title(each), each.line) for each in over]
        last = phrase is sheet.phrases[-1]
        blocks += _beside(sheet, titled, width, signs_words(sheet, "phrases") if last else "")
    return blocks


def _beside(
    sheet: Sheet, titled: Sequence[tuple[str, NoteLine]], width: float, signs: str
) -> list[Block]:
    """Short lines under their titles, two beside each other where both fit, and the meaning of
    their signs: beside the last line where that stands alone, else below."""
    half = width if width < NARROW else (width - BETWEEN) / 2
    cells = []
    for title, line in titled:
        short = len(line.bars) <= HALF_BARS
        cell = _cell(sheet, title, line, half) if short else None
        cells.append(cell or _cell(sheet, title, line, width, broken=True))
    found = [cell for cell in cells if cell]
    halves = 0  # of the line at the end that stand beside each other
    for cell in found:
        halves = (halves + 1) % 2 if cell[0] < width else 0
    under = [paragraph(signs, width, size=SMALL, gap=2.0)] if signs else []
    if under and halves:
        beside = paragraph(signs, half, size=SMALL)
        found.append((half, beside.height, beside.draw, beside.words))
        under = []
    first, *others = row(found, width, between=BETWEEN, gap=6.0)
    return [replace(first, gap=3.0), *others, *under]


def _cell(
    sheet: Sheet, title: str, line: NoteLine, width: float, *, broken: bool = False
) -> Cell | None:
    """A line under its title; None where it needs more than one system and is not to be broken."""
    how = drawn(sheet, line, width)
    shown, head = replace(how, numbers=False), paragraph([(title, "bold")], width, size=SMALL)
    signed = _with_swing(title, head, width, how.swing)
    if signed and len({bar.straight for bar in line.bars}) == 1:
        shown, head = replace(shown, swing=""), signed
    systems = line_blocks(to_read(sheet, line), shown, gap=TITLE_GAP)
    if len(systems) > 1 and not broken:
        return None
    block = stacked([head, *systems])
    return width, block.height, block.draw, f"{title}: {block.words}"


def _with_swing(title: str, head: Block, width: float, kind: str) -> Block | None:
    """A title as it is set with the sign of swung notes beside it, which saves the row over the
    staff; None where it has no room or nothing swings."""
    if not kind:
        return None
    at = text_width(title, SMALL, "bold") + BESIDE_TITLE
    boxes = [box for mark in swing_mark(at, 0.0, kind) if (box := ink_box(mark))]
    foot, over = head.height, max(-min(box.top for box in boxes) - head.height, 0.0)
    if max(box.right for box in boxes) > width:
        return None

    def draw(x: float, y: float) -> list[Mark]:
        return [*head.draw(x, y + over), *swing_mark(x + at, y + over + foot, kind)]

    return replace(head, height=over + head.height, draw=draw)


def _introduction(words: str, width: float) -> Block:
    """Words under a heading, which stay with what they are about as it does."""
    return replace(paragraph(words, width, gap=1.0, keep=True), heads=True)


def _signs(sheet: Sheet, part: str, width: float) -> list[Block]:
    """The meaning of the signs in the lines of a part."""
    words = signs_words(sheet, part)
    return [paragraph(words, width, size=SMALL, gap=2.0)] if words else []
