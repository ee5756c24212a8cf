"""The drawings of a sheet: pentatonics, arpeggios, double stops and phrases, as blocks."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from groove.handout.diagram import draw_fretboard, draw_legend, fretboard_size, shown_frets
from groove.handout.diagram_tab import draw_tab, tab_size
from groove.handout.fretboard import Place, Tuning
from groove.handout.keyboard import draw_keyboard, keyboard_size
from groove.handout.material import Material, arpeggio
from groove.handout.page import Mark, Text, fitted
from groove.handout.positions import Position
from groove.handout.sheet import Sheet
from groove.handout.sheet_flow import BODY, Block, heading, paragraph, row, subheading
from groove.handout.sheet_words import (
    hand_words,
    moved_words,
    phrase_words,
    placement_words,
    seat_marks,
)
from groove.handout.symbols import note, signs, symbol

FRET_WIDTH = 6.9  # mm, so that positions stand side by side
LABEL_HEIGHT = 6.0  # mm over a drawing
LEGEND_HEIGHT = 6.0

Cell = tuple[float, float, "partial[Sequence[Mark]]", str]


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
            cells = [_neck(sheet, p, f"{p.number}. fret {p.fret}") for p in places]
            blocks += [title, *row(cells, width, between=5.0)]
    return [*blocks, _legend()]


def chord_diagrams(sheet: Sheet, width: float) -> list[Block]:
    """Every chord's arpeggio under one hand, or on the keys."""
    if sheet.instrument == "none":
        return []
    if sheet.tuning is None:
        cells = [
            _keyboard(sheet, arpeggio(c.chord), str(symbol(c.chord))) for c in sheet.guide.chords
        ]
        return [
            heading("The chords on the keyboard", width),
            *row(cells, width, between=7.0, gap=4.0),
            _legend(),
        ]
    dots = [dot for chord in sheet.on_neck for dot in chord.under_hand.dots]
    frets = shown_frets(sheet.tuning, dots)
    cells = [
        _neck(sheet, on.under_hand, str(symbol(c.chord)), frets)
        for c, on in zip(sheet.guide.chords, sheet.on_neck, strict=True)
    ]
    return [
        heading("All chords under one hand", width),
        paragraph(hand_words(sheet), width, gap=1.0, keep=True),
        *row(cells, width, between=7.0, gap=4.0),
        _legend(),
    ]


def stops(sheet: Sheet, width: float) -> list[Block]:
    """Thirds and sixths of each chord as tablature."""
    if sheet.tuning is None or not any(chord.stops for chord in sheet.on_neck):
        return []
    cells = []
    for guide, chord in zip(sheet.guide.chords, sheet.on_neck, strict=True):
        if chord.stops:
            columns = [stop.places for stop in chord.stops]
            names = [f"{stop.interval} {'–'.join(stop.names)}" for stop in chord.stops]
            words = f"{symbol(guide.chord)}: {', '.join(map(str, chord.stops))}"
            cells.append(_stop_tab(sheet.tuning, columns, str(symbol(guide.chord)), names, words))
    return [
        heading("Double stops", width),
        paragraph(
            "Two tones of the chord at once, near the hand: first thirds, on neighbouring "
            "strings, then sixths, with a string between.",
            width, gap=1.0, keep=True,
        ),
        *row(cells, width, between=9.0, gap=4.0),
    ]  # fmt: skip


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
    if tuning:
        cells = [
            _tab(tuning, [[place] for place in p.places], placement_words(p), ())
            for p in found.places
        ]
        blocks += row(cells, width, between=7.0, gap=4.0) if cells else []
    blocks.append(subheading("Moved to each chord", width))
    for moved in found.moved:
        title = f"{symbol(moved.chord)}:  {moved_words(moved)}"
        blocks.append(paragraph(title, width, gap=2.5, keep=moved.placement is not None))
        if tuning and moved.placement:
            columns = [[place] for place in moved.placement.places]
            blocks += row([_tab(tuning, columns, "", seat_marks(moved))], width, gap=1.0)
    return blocks


def _neck(
    sheet: Sheet, position: Position, title: str, frets: tuple[int, int] | None = None
) -> Cell:
    assert sheet.tuning is not None  # asked for by stringed instruments alone
    wide, high = fretboard_size(
        sheet.tuning, position, fret_width=FRET_WIDTH, title=title, frets=frets
    )

    def draw(x: float, y: float) -> Sequence[Mark]:
        assert sheet.tuning is not None
        return draw_fretboard(
            sheet.tuning, position, x=x, y=y, label=sheet.label, left_handed=sheet.left_handed,
            fret_width=FRET_WIDTH, title=title, frets=frets,
        )  # fmt: skip

    return wide, high, partial(draw), f"{title}, fret {position.fret}"


def _keyboard(sheet: Sheet, material: Material, title: str) -> Cell:
    wide, high = keyboard_size(title)

    def draw(x: float, y: float) -> Sequence[Mark]:
        return draw_keyboard(material, x=x, y=y, label=sheet.label, title=title)

    names = " ".join(note_name for note_name in (signs(t.name) for t in material.tones))
    return wide, high, partial(draw), f"{title} {names}".strip()


def _tab(
    tuning: Tuning, columns: Sequence[Sequence[Place]], title: str, marks: Sequence[str]
) -> Cell:
    wide, high = tab_size(tuning, len(columns), marked=bool(marks))
    wide = max(wide, 54.0)
    head = LABEL_HEIGHT if title else 0.0

    def draw(x: float, y: float) -> Sequence[Mark]:
        drawn = draw_tab(tuning, columns, x=x, y=y + head, marks=marks)
        label = Text(x, y + 3.4, fitted(title, wide, BODY), BODY)
        return [label, *drawn] if title else drawn

    return wide, high + head, partial(draw), title


def _stop_tab(
    tuning: Tuning,
    columns: Sequence[Sequence[Place]],
    title: str,
    names: Sequence[str],
    words: str,
) -> Cell:
    wide, high = tab_size(tuning, len(columns))

    def draw(x: float, y: float) -> Sequence[Mark]:
        label = Text(x, y + 3.4, title, BODY + 1, "bold")
        return [label, *draw_tab(tuning, columns, x=x, y=y + LABEL_HEIGHT)]

    return wide, high + LABEL_HEIGHT, partial(draw), words


def _legend() -> Block:
    return Block(
        LEGEND_HEIGHT,
        lambda x, y: list(draw_legend(x=x, y=y + LEGEND_HEIGHT / 2)),
        gap=4.0,
    )


__all__ = ["chord_diagrams", "note", "pentatonic_diagrams", "phrase_blocks", "stops"]
