"""The drawings of a sheet: pentatonics, arpeggios, double stops and phrases, as blocks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from groove.handout.diagram import (
    TITLE_SIZE,
    draw_fretboard,
    draw_legend,
    fretboard_size,
    shown_frets,
)
from groove.handout.diagram_tab import draw_tab, tab_size
from groove.handout.fretboard import Place, Tuning
from groove.handout.keyboard import draw_keyboard, keyboard_size
from groove.handout.material import Material, arpeggio
from groove.handout.neck_words import (
    alike,
    hand_words,
    moved_shapes,
    named,
    placement_words,
    position_title,
    stops_words,
)
from groove.handout.page import Mark, Text, fitted
from groove.handout.positions import Dot, Position
from groove.handout.sheet import PhraseGuide, Sheet
from groove.handout.sheet_flow import BODY, Block, heading, paragraph, row, subheading
from groove.handout.sheet_words import (
    LEFT,
    left_line,
    moved_line,
    moved_words,
    phrase_words,
    same_tones,
    seat_marks,
)
from groove.handout.symbols import signs

FRET_WIDTH, LEAST_FRET_WIDTH = 6.9, 5.6  # mm, so that positions stand side by side
BETWEEN = 4.0  # mm, between them
LABEL_HEIGHT = 6.0  # mm over a drawing
LEGEND_HEIGHT = 6.0

LEAST_TAB = 54.0  # mm: three side by side
LEAST_STOPS, BETWEEN_STOPS = 42.0, 2.5  # mm: four side by side
SIDE_BY_SIDE = 5  # necks
FIGURE_BELOW = "The figure below each is its interval."
SHORT = {"third": "3", "sixth": "6", "tenth": "10"}

Cell = tuple[float, float, Callable[[float, float], Sequence[Mark]], str]


def pentatonic_diagrams(sheet: Sheet, width: float) -> list[Block]:
    """The key's pentatonics: five positions on a neck, or the keys."""
    if sheet.instrument == "none" or not sheet.pentatonics:
        return []
    where = "on the keyboard" if sheet.tuning is None else "in five positions"
    blocks = [heading(f"The key's pentatonics {where}", width)]
    for number, (choice, material, places) in enumerate(sheet.pentatonics):
        title = subheading(choice.title, width, gap=2.0 if number == 0 else 5.0)
        if sheet.tuning is None:
            blocks += [title, *row([_keyboard(sheet, material, "")], width)]
        else:
            blocks += [title, *_five(sheet, places, width)]
    return _with_legend(blocks)


def chord_diagrams(sheet: Sheet, width: float) -> list[Block]:
    """Every chord's arpeggio under one hand, or on the keys."""
    if sheet.instrument == "none":
        return []
    if sheet.tuning is None:
        chords = zip(same_tones(sheet.guide.chords), sheet.guide.chords, strict=True)
        cells = [_keyboard(sheet, arpeggio(c.chord), name) for name, c in dict(chords).items()]
        title = heading("The chords on the keyboard", width)
        return _with_legend([title, *row(cells, width, between=7.0, gap=4.0)])
    dots = [dot for chord in sheet.on_neck for dot in chord.under_hand.dots]
    frets = shown_frets(sheet.tuning, dots)
    fret = _fret_width(sheet, [dots] * SIDE_BY_SIDE, frets, width)
    cells = [_neck(sheet, on.under_hand, name, frets, fret) for name, on in named(sheet)]
    blocks = [
        heading("All chords under one hand", width),
        paragraph(hand_words(sheet), width, gap=1.0, keep=True),
        *row(cells, width, between=BETWEEN, gap=4.0),
    ]
    return _with_legend(blocks)


def in_five_positions(sheet: Sheet, width: float) -> list[Block]:
    """Each chord's arpeggio all over the neck; in a form of many chords those of one quality are
    drawn once, with the frets of the others."""
    if sheet.tuning is None:
        return []
    blocks = [heading("Each chord in five positions", width)]
    for number, (drawn, *others) in enumerate(alike(sheet)):
        name = drawn[0]
        blocks.append(subheading(name, width, gap=2.0 if number == 0 else 4.0))
        blocks += _five(sheet, drawn[1].five, width)
        for other, chord in others:
            blocks[-1] = replace(blocks[-1], keep=True)
            blocks.append(paragraph(moved_shapes(other, chord, name), width, gap=1.0))
    return _with_legend(blocks)


def _five(sheet: Sheet, places: Sequence[Position], width: float) -> list[Block]:
    """Five positions in one row, their frets as wide as it allows."""
    fret = _fret_width(sheet, places, None, width)
    cells = [_neck(sheet, p, position_title(p), fret_width=fret) for p in places]
    return row(cells, width, between=BETWEEN, gap=2.0)


def _fret_width(
    sheet: Sheet,
    places: Sequence[Position | Sequence[Dot]],
    frets: tuple[int, int] | None,
    width: float,
) -> float:
    """How wide frets are, in mm, if some necks are to stand in one row."""
    assert sheet.tuning is not None  # asked for by stringed instruments alone
    narrow, wide = (
        sum(fretboard_size(sheet.tuning, p, fret_width=fret, frets=frets)[0] for p in places)
        for fret in (0.0, 1.0)
    )
    room = (width - (len(places) - 1) * BETWEEN - narrow) / (wide - narrow)
    return min(FRET_WIDTH, max(room, LEAST_FRET_WIDTH))


def stops(sheet: Sheet, width: float) -> list[Block]:
    """Thirds and sixths of each chord as tablature."""
    if sheet.tuning is None or not any(chord.stops for chord in sheet.on_neck):
        return []
    cells = []
    for title, chord in named(sheet):
        if chord.stops:
            columns = [stop.places for stop in chord.stops]
            names = [SHORT[stop.interval] for stop in chord.stops]
            words = f"{title}: {signs(', '.join(map(str, chord.stops)))}"
            cells.append(_tab(sheet.tuning, columns, title, names, words, "bold", LEAST_STOPS))
    return [
        heading("Double stops", width),
        paragraph(f"{stops_words(sheet)} {FIGURE_BELOW}", width, gap=1.0, keep=True),
        *row(cells, width, between=BETWEEN_STOPS, gap=4.0),
    ]


def phrase_blocks(sheet: Sheet, width: float) -> list[Block]:
    """Where a phrase lies, and how it fits each chord."""
    found = sheet.phrase
    if found is None:
        return []
    tuning = sheet.tuning
    blocks = [
        heading("The phrase", width),
        paragraph(phrase_words(found, tuning), width, gap=1.0, keep=bool(found.places)),
    ]
    if tuning and found.places:
        cells = [
            _tab(tuning, [[place] for place in p.places], placement_words(p)) for p in found.places
        ]
        blocks += row(cells, width, between=7.0, gap=4.0)
    blocks.append(subheading("Moved to each chord", width))
    if tuning is None:
        blocks += [paragraph(moved_line(m), width, gap=1.0) for m in found.moved]
        return [*blocks, *_left(found, width)]
    if words := moved_words(found):
        blocks.append(paragraph(words, width, keep=True))
    cells = []
    for moved in found.moved:
        if moved.placement:
            columns = [[place] for place in moved.placement.places]
            title = moved_line(moved)
            cells.append(_tab(tuning, columns, title, seat_marks(moved), face="bold"))
    lacking = [moved for moved in found.moved if moved.placement is None]
    blocks += row(cells, width, between=7.0, gap=4.0) if cells else []
    blocks += [paragraph(moved_line(m), width, gap=1.0) for m in lacking]
    return [*blocks, *_left(found, width)]


def _left(found: PhraseGuide, width: float) -> list[Block]:
    """The phrase over each chord of a blues as it is."""
    if not found.left:
        return []
    lines = [left_line(left) for left in found.left]
    return [
        subheading(LEFT, width),
        *(paragraph(line, width, gap=1.0, keep=line is not lines[-1]) for line in lines),
    ]


def _neck(
    sheet: Sheet,
    position: Position,
    title: str,
    frets: tuple[int, int] | None = None,
    fret_width: float = FRET_WIDTH,
) -> Cell:
    assert sheet.tuning is not None  # asked for by stringed instruments alone
    wide, high = fretboard_size(
        sheet.tuning, position, fret_width=fret_width, title=title, frets=frets
    )
    shown = fitted(title, wide, TITLE_SIZE, "bold")

    def draw(x: float, y: float) -> Sequence[Mark]:
        assert sheet.tuning is not None
        return draw_fretboard(
            sheet.tuning, position, x=x, y=y, label=sheet.label, left_handed=sheet.left_handed,
            fret_width=fret_width, title=shown, frets=frets,
        )  # fmt: skip

    return wide, high, draw, title


def _keyboard(sheet: Sheet, material: Material, title: str) -> Cell:
    wide, high = keyboard_size(title)

    def draw(x: float, y: float) -> Sequence[Mark]:
        return draw_keyboard(material, x=x, y=y, label=sheet.label, title=title)

    names = " ".join(note_name for note_name in (signs(t.name) for t in material.tones))
    return wide, high, draw, f"{title} {names}".strip()


def _tab(
    tuning: Tuning,
    columns: Sequence[Sequence[Place]],
    title: str,
    marks: Sequence[str] = (),
    words: str = "",
    face: str = "regular",
    least: float = LEAST_TAB,
) -> Cell:
    """A tablature under its title; words: what it says, the title if left out; least: its width
    in mm if it is short."""
    wide, high = tab_size(tuning, len(columns), marked=bool(marks))
    wide = max(wide, least)

    def draw(x: float, y: float) -> Sequence[Mark]:
        label = Text(x, y + 3.4, fitted(title, wide, BODY, face), BODY, face)
        return [label, *draw_tab(tuning, columns, x=x, y=y + LABEL_HEIGHT, marks=marks)]

    return wide, high + LABEL_HEIGHT, draw, words or title


def _with_legend(blocks: Sequence[Block]) -> list[Block]:
    """Drawings with the meaning of their shapes below, on the page of the last of them."""
    legend = Block(
        LEGEND_HEIGHT,
        lambda x, y: list(draw_legend(x=x, y=y + LEGEND_HEIGHT / 2)),
        gap=4.0,
    )
    return [*blocks[:-1], replace(blocks[-1], keep=True), legend]
