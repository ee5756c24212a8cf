"""The fretboards and double stops of a sheet as blocks."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from groove.handout.drawing.flow import BODY, Block, explained, heading, paragraph, row
from groove.handout.drawing.fretboard import (
    TITLE_SIZE,
    draw_fretboard,
    draw_legend,
    fretboard_size,
    legend_height,
)
from groove.handout.drawing.page import Mark, Text, fitted, text_width
from groove.handout.drawing.tab import Row, draw_tab, tab_size
from groove.handout.sheet.neck_words import (
    alike,
    hand_words,
    moved_shapes,
    named,
    stop_words,
    stops_words,
)
from groove.handout.sheet.sheet import Sheet
from groove.instrument.fretboard import Place, Tuning
from groove.instrument.positions import Position
from groove.lesson.blocks import heading_of
from groove.wording import said

FRET_WIDTH, LEAST_FRET_WIDTH = 6.9, 5.6  # mm, so that positions stand side by side
BETWEEN = 2.0  # mm, between them; the strings' names make it more
TABS_BETWEEN = 4.0  # mm, so that four of six notes stand side by side
LABEL_HEIGHT, LINES_APART = 5.6, 3.0  # mm: over a tablature, between its lines
SHORT = {"third": "3", "sixth": "6", "tenth": "10"}

Cell = tuple[float, float, Callable[[float, float], Sequence[Mark]], str]


def chord_diagrams(sheet: Sheet, width: float) -> list[Block]:
    """Every chord's arpeggio under one hand."""
    if sheet.tuning is None:
        return []
    necks = [(on.under_hand, name) for name, on in named(sheet)]
    blocks = [
        heading(heading_of("arpeggios"), width),
        paragraph(hand_words(sheet), width, gap=1.0, keep=True),
        *_necks(sheet, necks, width, gap=3.0),
    ]
    return _with_legend(sheet, blocks, [position for position, _ in necks])


def in_five_positions(sheet: Sheet, width: float) -> list[Block]:
    """Each chord's arpeggio all over the neck, a chord a row; in a form of many chords those of
    one quality are drawn once, with the frets of the others."""
    if sheet.tuning is None:
        return []
    blocks = [heading(heading_of("positions"), width)]
    for drawn, *others in alike(sheet):
        name = drawn[0]
        titles = [f"{name}: 1", *map(str, range(2, len(drawn[1].five) + 1))]
        necks = list(zip(drawn[1].five, titles, strict=True))
        blocks += _necks(sheet, necks, width, gap=2.2, together=True)
        for other, chord in others:
            blocks[-1] = replace(blocks[-1], keep=True)
            blocks.append(paragraph(moved_shapes(other, chord, name), width, gap=1.0))
    return _with_legend(sheet, blocks, [p for chord in sheet.on_neck for p in chord.five])


def stops(sheet: Sheet, width: float) -> list[Block]:
    """Thirds and sixths of each chord as tablature."""
    if sheet.tuning is None or not any(chord.stops for chord in sheet.on_neck):
        return []
    cells = []
    for title, chord in named(sheet):
        if chord.stops:
            columns = [stop.places for stop in chord.stops]
            names = [SHORT[stop.interval] for stop in chord.stops]
            words = f"{title}: {', '.join(map(stop_words, chord.stops))}"
            cells.append(
                tab_cell(sheet.tuning, columns, title, width, under=[("", names)], words=words)
            )
    return [
        heading(heading_of("stops"), width),
        paragraph(
            f"{stops_words(sheet)} {said('places', 'stops.figures')}", width, gap=1.0, keep=True
        ),
        *row(cells, width, between=TABS_BETWEEN, gap=3.0),
    ]


def tab_cell(
    tuning: Tuning,
    columns: Sequence[Sequence[Place]],
    title: str,
    width: float,
    *,
    face: str = "bold",
    lengths: Sequence[Fraction] = (),
    under: Sequence[Row] = (),
    words: str = "",
) -> Cell:
    """A tablature under its title, if it has one, in as many lines as a width in mm asks for.

    lengths, under: as in draw_tab. words: its text for a screen reader, the title if left out.
    """
    at_once = len(columns)
    while at_once > 1 and tab_size(tuning, at_once, under=under)[0] > width:
        at_once -= 1
    at_once = ceil(len(columns) / ceil(len(columns) / at_once))
    parts = [slice(start, start + at_once) for start in range(0, len(columns), at_once)]
    _, high = tab_size(tuning, at_once, lengths=lengths, under=under)
    wide, _ = tab_size(tuning, at_once, under=under)
    wide = max(wide, min(text_width(title, BODY, face), width))

    over = LABEL_HEIGHT if title else 0.0

    def draw(x: float, y: float) -> Sequence[Mark]:
        label = Text(x, y + 3.4, fitted(title, wide, BODY, face), BODY, face)
        marks: list[Mark] = [label] if title else []
        for number, part in enumerate(parts):
            marks += draw_tab(
                tuning, columns[part], x=x, y=y + over + number * (high + LINES_APART),
                lengths=lengths[part], under=[(name, marks_[part]) for name, marks_ in under],
            )  # fmt: skip
        return marks

    total = over + len(parts) * (high + LINES_APART) - LINES_APART
    return wide, total, draw, words or title


def _necks(
    sheet: Sheet,
    necks: Sequence[tuple[Position, str]],
    width: float,
    *,
    gap: float = 1.5,
    together: bool = False,
) -> list[Block]:
    """Fretboards with their titles in as few rows as can be, their frets as wide as that allows.

    together: whether the rows stay on one page.
    """
    places = [position for position, _ in necks]
    lines = fitting_lines(sheet, places, width)
    fret_width = min(FRET_WIDTH, *(widest_fret(sheet, places[line], width) for line in lines))
    cells = [_neck(sheet, position, title, fret_width) for position, title in necks]
    blocks = [
        block for line in lines for block in row(cells[line], width, between=BETWEEN, gap=gap)
    ]
    if together:
        blocks = [*(replace(block, keep=True) for block in blocks[:-1]), blocks[-1]]
    return blocks


def fitting_lines(sheet: Sheet, places: Sequence[Position], width: float) -> list[slice]:
    """The fewest lines, of about the same length, in which some fretboards fit."""
    for count in range(1, len(places) + 1):
        each = ceil(len(places) / count)
        lines = [slice(start, start + each) for start in range(0, len(places), each)]
        if all(_width(sheet, places[line], LEAST_FRET_WIDTH) <= width for line in lines):
            break
    return lines


def _width(sheet: Sheet, line: Sequence[Position], fret_width: float) -> float:
    """The width of some fretboards side by side, in mm."""
    assert sheet.tuning is not None  # or there would be no fretboards
    sizes = (fretboard_size(sheet.tuning, place, fret_width=fret_width) for place in line)
    return sum(wide for wide, _ in sizes) + (len(line) - 1) * BETWEEN


def widest_fret(sheet: Sheet, line: Sequence[Position], width: float) -> float:
    """The widest fret with which some fretboards fit side by side."""
    narrow, wide = (_width(sheet, line, fret) for fret in (0.0, 1.0))
    return max((width - narrow) / (wide - narrow), LEAST_FRET_WIDTH)


def _neck(sheet: Sheet, position: Position, title: str, fret_width: float) -> Cell:
    tuning = sheet.tuning
    assert tuning is not None  # or there would be no fretboards
    wide, high = fretboard_size(tuning, position, fret_width=fret_width, title=title)
    shown = fitted(title, wide, TITLE_SIZE, "bold")

    def draw(x: float, y: float) -> Sequence[Mark]:
        return draw_fretboard(
            tuning, position, x=x, y=y, label=sheet.label, left_handed=sheet.left_handed,
            fret_width=fret_width, title=shown,
        )  # fmt: skip

    low, high_ = position.frets
    words = said("places", "positions.words", title=title, first=low, last=high_)
    return wide, high, draw, words


def _with_legend(
    sheet: Sheet, blocks: Sequence[Block], positions: Sequence[Position]
) -> list[Block]:
    roles = {dot.role for position in positions for dot in position.dots}
    return with_legend(blocks, roles, sheet.label)


def with_legend(blocks: Sequence[Block], roles: Collection[str], label: str) -> list[Block]:
    """Drawings with the meaning of their shapes below, on each of their pages."""
    legend = Block(
        legend_height(label),
        lambda x, y: list(draw_legend(roles, x=x, y=y, label=label)),
        gap=1.5,
    )
    return explained(blocks, legend)
