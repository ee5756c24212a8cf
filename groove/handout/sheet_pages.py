"""The lesson sheet on paper: chart, form and plan first, then what to play, part by part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.handout.chart_page import FOOT, chart_pages
from groove.handout.chart_page import MARGIN as CHART_MARGIN
from groove.handout.chord_marks import chord_marks, chord_width
from groove.handout.guide import ChordGuide
from groove.handout.guide_scales import Choice
from groove.handout.guide_words import brief_sentences
from groove.handout.page import POINT, Mark, Page, Paper, Text
from groove.handout.sheet import Sheet
from groove.handout.sheet_diagrams import (
    chord_diagrams,
    in_five_positions,
    scale_diagrams,
    stops,
)
from groove.handout.sheet_flow import (
    ASCENT,
    BODY,
    MARGIN,
    SMALL,
    SUBHEADING,
    Block,
    Run,
    beside,
    heading,
    numbered,
    pages,
    paragraph,
    row,
    stacked,
    subheading,
)
from groove.handout.sheet_keys import chord_keyboards, scale_keyboards
from groove.handout.sheet_phrase import phrase_blocks
from groove.handout.sheet_words import (
    beyond_words,
    built_line,
    change_title,
    choice_words,
    chords_words,
    entries,
    form_line,
    guide_line,
    notes_line,
    said_once,
    step_title,
    time_words,
    tones_lines,
)
from groove.handout.symbols import signs, symbol

CHORD_COLUMN, CHORD_SIZE, LEAST_CHORD = 27.0, 21.0, 11.0  # mm, points, points
STEP_COLUMN = 30.0  # mm
FEW_CHANGES, BETWEEN_COLUMNS = 2, 8.0  # more changes than that stand in two columns; mm
MANY_CHANGES = 6  # what is said of more of them is brief
MOST_KEPT = 85.0  # mm: what is said about a chord is not broken unless it is higher


def sheet_pages(sheet: Sheet, paper: Paper) -> tuple[Page, ...]:
    """The pages of a sheet, numbered from the chart on."""
    width = paper.width - 2 * MARGIN
    blocks = [
        *_form(sheet, width),
        *_plan(sheet, width),
        *_cautions(sheet, width),
        *scale_diagrams(sheet, width),
        *scale_keyboards(sheet, width),
        *_chords(sheet, width),
        *chord_diagrams(sheet, width),
        *chord_keyboards(sheet, width),
        *_changes(sheet, width),
        *stops(sheet, width),
        *phrase_blocks(sheet, width),
        *in_five_positions(sheet, width),
    ]
    first = chart_pages(sheet.chart, paper)
    rest = pages(blocks, paper, sheet.title)
    return numbered([*first, *rest], CHART_MARGIN - FOOT)


def _form(sheet: Sheet, width: float) -> list[Block]:
    guide = sheet.guide
    blocks = [
        heading("The form", width),
        paragraph(form_line(sheet), width, gap=2.0),
        paragraph(built_line(guide), width, gap=1.0),
        paragraph([(f"{guide.title}. ", "bold"), (guide.about, "regular")], width, gap=2.5),
        heading("Scales for the whole form", width),
        paragraph("From the simplest to the most colourful.", width, gap=1.0, keep=True),
    ]
    for choice in guide.choices:
        blocks += _choice(choice, width, choice_words(choice), gap=3.0)
    return blocks


def _choice(
    choice: Choice, width: float, words: str, before: str = "", *, gap: float = 1.5
) -> list[Block]:
    """Name, notes and mark on one line; when it works on the next, unless that was said before."""
    beyond = beyond_words(choice, before)
    runs: list[Run] = [(choice.title, "bold"), (f"   {notes_line(choice)}", "regular")]
    if beyond:
        runs.append((f"   {beyond}", "italic"))
    title = paragraph(runs, width, size=SUBHEADING - 0.5, gap=gap, keep=not before)
    return [title] if before else [title, paragraph(words, width, gap=0.3)]


def _chords(sheet: Sheet, width: float) -> list[Block]:
    blocks = [
        heading("Chord by chord", width),
        paragraph(chords_words(sheet.guide.chords), width, gap=1.0, keep=True),
    ]
    spoken_of = entries(sheet.guide.chords)
    for number, (entry, choices) in enumerate(zip(spoken_of, said_once(spoken_of), strict=True)):
        blocks += _chord(entry, choices, width, gap=4.0 if number == 0 else 5.5)
    return blocks


def _chord(
    entry: Sequence[ChordGuide], choices: Sequence[tuple[Choice, str]], width: float, gap: float
) -> list[Block]:
    room = width - CHORD_COLUMN
    said = " ".join([guide_line(entry[0]), *entry[0].words])
    right = [
        *(
            paragraph([(line, "bold")], room, size=SUBHEADING - 0.5, keep=True)
            for line in tones_lines(entry)
        ),
        paragraph(said, room, gap=0.4, keep=True),
    ]
    for choice, before in choices:
        right += _choice(choice, room, choice.words, before)
    blocks = beside(stacked([_chord_name(guide) for guide in entry]), right, CHORD_COLUMN, gap=gap)
    if sum(block.height + block.gap for block in blocks) > MOST_KEPT:
        return blocks
    return [*(replace(block, keep=True) for block in blocks[:-1]), blocks[-1]]


def _chord_name(guide: ChordGuide) -> Block:
    """The symbol as large as the column takes it, its numeral below."""
    shown, size = symbol(guide.chord), CHORD_SIZE
    while size > LEAST_CHORD and chord_width(shown, size) > CHORD_COLUMN - 3:
        size -= 1

    def draw(x: float, y: float) -> list[Mark]:
        baseline = y + size * POINT * ASCENT
        below = baseline + 6.0
        return [*chord_marks(shown, x, baseline, size), Text(x, below, guide.numeral, BODY)]

    return Block(size * POINT + 7.0, draw, f"{shown}, {guide.numeral}:", gap=2.5)


def _changes(sheet: Sheet, width: float) -> list[Block]:
    changes = sheet.guide.changes
    if not changes:
        return []
    blocks = [
        heading("From chord to chord", width),
        paragraph("What stays, and where the guide tones go.", width, gap=1.0, keep=True),
    ]
    columns = 2 if len(changes) > FEW_CHANGES else 1
    column = (width - (columns - 1) * BETWEEN_COLUMNS) / columns
    cells = []
    for entry in changes:
        title = subheading(change_title(entry), column)
        few = len(changes) <= MANY_CHANGES
        sentences = entry.sentences if few else brief_sentences(entry.change)
        said = [paragraph(sentence, column, gap=0.3) for sentence in sentences]
        block = stacked([title, *said])
        cells.append((column, block.height, block.draw, block.words))
    return [*blocks, *row(cells, width, between=BETWEEN_COLUMNS, gap=3.5)]


def _plan(sheet: Sheet, width: float) -> list[Block]:
    plan = sheet.guide.plan
    blocks = [
        heading("Practice plan", width),
        *(paragraph(words, width, gap=1.2, keep=True) for words in plan.tempo_words),
    ]
    several = plan.steps[-1].time > 1
    time = 0
    for step in plan.steps:
        if several and step.time != time:
            blocks.append(subheading(time_words(step.time), width))
        time = step.time
        room = width - STEP_COLUMN
        left = paragraph(step_title(step), STEP_COLUMN - 2.0)
        right = [
            paragraph([(step.title, "bold")], room, keep=True),
            paragraph(step.words, room, gap=0.3),
        ]
        blocks += beside(left, right, STEP_COLUMN, gap=2.5)
    return blocks


def _cautions(sheet: Sheet, width: float) -> list[Block]:
    return [
        heading("Look after yourself", width),
        *(paragraph(signs(w), width, size=SMALL, gap=1.5) for w in sheet.guide.cautions),
    ]
