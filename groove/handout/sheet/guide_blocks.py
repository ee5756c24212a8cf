"""The guide's words on a sheet as blocks: keys, scales, chords and changes in turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.handout.drawing.chord_symbol import chord_marks, chord_width
from groove.handout.drawing.flow import (
    ASCENT,
    BODY,
    SMALL,
    SUBHEADING,
    Block,
    Run,
    beside,
    heading,
    paragraph,
    row,
    stacked,
    subheading,
)
from groove.handout.drawing.page import POINT, Mark, Text, fitted, text_width
from groove.handout.sheet.sheet import Sheet
from groove.handout.sheet.words import (
    beyond_words,
    change_title,
    chords_words,
    entries,
    entry_line,
    key_chords,
    keys_words,
    notes_line,
    numbered_lines,
    said_once,
    section_about,
    section_choices,
    section_chords,
    section_guide_tones,
    section_lines,
    section_lines_title,
    section_title,
    tones_lines,
    watch_cells,
)
from groove.lesson.blocks import heading_of
from groove.lesson.change_words import brief_sentences
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.form_scales import Choice
from groove.lesson.key_by_key import KeyGuide
from groove.theory.symbols import symbol
from groove.wording import said, words_of

CHORD_COLUMN, CHORD_SIZE, LEAST_CHORD = 27.0, 21.0, 11.0  # mm, points, points
CHORDS_SHARE = 0.55  # of the room of a row of the keys, for the chords
FEW_CHANGES, BETWEEN_COLUMNS = 2, 8.0  # more changes than that stand in two columns; mm
MANY_CHANGES = 6  # more of them are described briefly
LAST_KEPT = 5  # blocks that are not set apart from the end of an entry
MOST_KEPT = 85.0  # mm: the words about a chord are not broken unless they are higher


def key_blocks(sheet: Sheet, width: float) -> list[Block]:
    """The keys of a cycle, a row for each; width: in mm, here and below."""
    rows = sheet.guide.others
    if not rows:
        return []
    names = max(text_width(found.key, SUBHEADING, "bold") for found in rows) + 5.0
    room = (width - names) * CHORDS_SHARE
    blocks = [
        heading(heading_of("keys"), width),
        paragraph(keys_words(sheet.guide), width, gap=1.0, keep=True),
    ]
    for found in rows:
        chords = paragraph(key_chords(found), room - 4.0)
        scale = paragraph(
            [(f"{found.scale.title}   ", "italic"), (notes_line(found.scale), "regular")],
            width - names - room,
        )
        high = max(chords.height, scale.height)

        def draw(
            x: float,
            y: float,
            found: KeyGuide = found,
            chords: Block = chords,
            scale: Block = scale,
        ) -> list[Mark]:
            baseline = y + BODY * POINT * ASCENT
            return [
                Text(x, baseline, found.key, BODY, "bold"),
                *chords.draw(x + names, y),
                *scale.draw(x + names + room, y),
            ]

        blocks.append(Block(high, draw, f"{found.key}: {chords.words}; {scale.words}", gap=1.4))
    return [*(replace(block, keep=True) for block in blocks[:4]), *blocks[4:]]


def _lines(sheet: Sheet, width: float) -> list[Block]:
    """The road line by line."""
    rows = [
        paragraph([(label, "bold"), (line.words, "regular")], width, gap=0.6, keep=True)
        for label, line in numbered_lines(sheet.guide)
    ]
    if not rows:
        return []
    return [
        heading(said("guide", "headings.road"), width),
        *rows[:-1],
        replace(rows[-1], keep=False),
    ]


def _sections(sheet: Sheet, width: float) -> list[Block]:
    """The sections in turn: chords, guide tones and scales, what was said before not again."""
    sections, words = sheet.guide.sections, words_of("guide")["headings"]
    blocks = _lines(sheet, width)
    blocks.append(heading(said("guide", "headings.sections"), width))
    for section, (like, choices) in zip(sections, section_choices(sections), strict=True):
        title: list[Run] = [
            (f"{section.name or words['form']}:", "bold"),
            (section_title(section), "regular"),
        ]
        rows: list[list[Run]] = [
            [(" ".join(section_about(section)), "italic")],
            [(f"{words['chords']}:", "bold"), (section_chords(section), "regular")],
            [
                (f"{section_lines_title(section)}:", "bold"),
                (section_guide_tones(section), "regular"),
            ],
        ]
        if like:
            as_in = said("guide", "scales.as_in", section=like)
            rows.append([(f"{words['scales']}:", "bold"), (as_in, "regular")])
        blocks.append(paragraph(title, width, size=SUBHEADING, gap=4.0, keep=True))
        shown = [row for row in rows if row[0][0]]
        blocks += [paragraph(row, width, gap=0.6, keep=row is not shown[-1]) for row in shown]
        for choice, before in choices:
            blocks += _choice(choice, width, choice.words, before)
            if choice.watch:
                blocks[-1] = replace(blocks[-1], keep=True)
                blocks += _watch(choice, width)
    return blocks


def section_blocks(sheet: Sheet, width: float) -> list[Block]:
    guide = sheet.guide
    if guide.sections:
        return _sections(sheet, width)
    blocks = [
        heading(heading_of("sections"), width),
        paragraph([(f"{guide.title}. ", "bold"), (guide.about, "regular")], width, keep=True),
        paragraph(said("guide", "intro.simple_first"), width, gap=1.0, keep=True),
    ]
    for choice in guide.choices:
        blocks += _choice(choice, width, choice.words, gap=3.0)
        if choice.watch:
            blocks[-1] = replace(blocks[-1], keep=True)
            blocks += _watch(choice, width)
    by_section = section_lines(guide)
    if by_section:
        blocks.append(subheading(said("guide", "headings.sections"), width))
        blocks += [
            paragraph([(f"{name}: ", "bold"), (s, "regular")], width) for name, s in by_section
        ]
    return blocks


def _watch(choice: Choice, width: float) -> list[Block]:
    """A row of chords in bold, each with the notes not to rest on over it."""
    cells = watch_cells(choice)
    runs: list[Run] = [(said("guide", "scales.watch"), "italic")]
    for number, (chord, notes) in enumerate(cells, 1):
        runs += [(f"{chord}:", "bold"), (f"{notes}{';' if number < len(cells) else ''}", "regular")]
    return [paragraph(runs, width, size=SMALL, gap=0.6)]


def _choice(
    choice: Choice, width: float, words: str, before: str = "", *, gap: float = 1.5
) -> list[Block]:
    """Name, notes and mark on one line; when it works on the next, unless that was said before."""
    beyond = beyond_words(choice, before)
    runs: list[Run] = [(choice.title, "bold"), (f"   {notes_line(choice)}", "regular")]
    if beyond:
        runs.append((f"   {beyond}", "italic"))
    title = paragraph(runs, width, size=SUBHEADING - 0.5, gap=gap, keep=not before)
    if before:
        return [title]
    return [replace(title, heads=True), paragraph(words, width, gap=0.3)]


def chord_blocks(sheet: Sheet, width: float) -> list[Block]:
    blocks = [
        heading(heading_of("chords"), width),
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
    told = entry_line(entry)
    right = [
        *(
            paragraph([(line, "bold")], room, size=SUBHEADING - 0.5, keep=True)
            for line in tones_lines(entry)
        ),
        paragraph(told, room, gap=0.4, keep=True),
    ]
    for choice, before in choices:
        right += _choice(choice, room, choice.words, before)
    blocks = beside(stacked([_chord_name(guide) for guide in entry]), right, CHORD_COLUMN, gap=gap)
    if sum(block.height + block.gap for block in blocks) > MOST_KEPT:  # broken, but not at its end
        first, end = blocks[:-LAST_KEPT], blocks[-LAST_KEPT:]
        return [*first, *(replace(block, keep=True) for block in end[:-1]), end[-1]]
    return [*(replace(block, keep=True) for block in blocks[:-1]), blocks[-1]]


def _chord_name(guide: ChordGuide) -> Block:
    """The symbol as large as the column takes it, its numeral below."""
    shown, size = symbol(guide.chord), CHORD_SIZE
    in_place = said("guide", "sections.place", section=guide.place)
    while size > LEAST_CHORD and chord_width(shown, size) > CHORD_COLUMN - 3:
        size -= 1

    def draw(x: float, y: float) -> list[Mark]:
        baseline = y + size * POINT * ASCENT
        below = baseline + 6.0
        marks: list[Mark] = [
            *chord_marks(shown, x, baseline, size),
            Text(x, below, guide.numeral, BODY),
        ]
        if guide.place:
            place = fitted(in_place, CHORD_COLUMN - 3, SMALL, "italic")
            marks.append(Text(x, below + 4.5, place, SMALL, "italic"))
        return marks

    where, high = (f" {in_place}", 4.5) if guide.place else ("", 0.0)
    words = f"{shown}, {guide.numeral}{where}:"
    return Block(size * POINT + 7.0 + high, draw, words, gap=2.5)


def change_blocks(sheet: Sheet, width: float) -> list[Block]:
    changes = sheet.guide.changes
    if not changes:
        return []
    blocks = [
        heading(heading_of("changes"), width),
        paragraph(said("guide", "intro.changes"), width, gap=1.0, keep=True),
    ]
    columns = 2 if len(changes) > FEW_CHANGES else 1
    column = (width - (columns - 1) * BETWEEN_COLUMNS) / columns
    cells = []
    for entry in changes:
        title = subheading(change_title(entry), column)
        few = len(changes) <= MANY_CHANGES
        sentences = entry.sentences if few else brief_sentences(entry.change)
        told = [paragraph(sentence, column, gap=0.3) for sentence in sentences]
        block = stacked([title, *told])
        cells.append((column, block.height, block.draw, block.words))
    *others, last = row(cells, width, between=BETWEEN_COLUMNS, gap=3.5)
    others = [*others[:-1], replace(others[-1], keep=True)] if len(others) > 1 else others
    return [*blocks, *others, last]
