"""Over the staff of a system: the row of chord symbols, and over that a row of section names and
of the feel: the sign of swung notes, or a word, where it begins or changes."""

from __future__ import annotations

from collections.abc import Sequence

from groove.handout.drawing.chord_symbol import chord_marks, chord_width
from groove.handout.drawing.page import (
    MEDIUM,
    SMALLEST,
    Box,
    Glyph,
    Line,
    Mark,
    Text,
    fitted,
    glyph_width,
    text_width,
)
from groove.handout.drawing.staff.spacing import CHORD_GAP, CHORD_SIZE, SPACE, StaffCell
from groove.handout.drawing.staff.stems import beams
from groove.handout.drawing.staff.written import StaffBar
from groove.theory.symbols import Symbol, symbol
from groove.wording import said

CHORDS_OVER = 1.6  # mm from chord symbols to what stands under them
LEAST_CHORD = 6.0  # points: of chord symbols over a bar that is too full
SWING_SPACE, SWING_GAP = 1.15, 1.6  # mm
SECTION_SIZE, AFTER_SECTION = 12.0, 2.5  # points, mm
STRAIGHT = "straight"


def chord_row(cells: Sequence[StaffCell], boxes: Sequence[Box]) -> list[Mark]:
    """The chord symbols of a system on one level, clear of what stands under them; smaller where
    they would go over its end."""
    size = CHORD_SIZE
    placed = _placed(cells, size)
    while size > LEAST_CHORD and placed and _end(placed, size) > cells[-1].right:
        size -= 0.5
        placed = _placed(cells, size)
    level = -2 * SPACE - CHORDS_OVER
    for x, shown in placed:
        end = x + chord_width(shown, size)
        under = [box.top for box in boxes if box.left < end + 0.5 and x - 0.5 < box.right]
        level = min([level, *(top - CHORDS_OVER * 0.75 for top in under)])
    return [mark for x, shown in placed for mark in chord_marks(shown, x, level, size)]


def _placed(cells: Sequence[StaffCell], size: float) -> list[tuple[float, Symbol]]:
    """The chord symbols of a system where they begin, none over the one before."""
    placed: list[tuple[float, Symbol]] = []
    free = 0.0
    for cell in cells:
        for at, chord in cell.staff_bar.chords:
            shown = symbol(chord)
            placed.append((max(cell.at(at), free), shown))
            free = _end(placed, size) + CHORD_GAP * 0.5
    return placed


def _end(placed: Sequence[tuple[float, Symbol]], size: float) -> float:
    x, shown = placed[-1]
    return x + chord_width(shown, size)


def feel_of(bar: StaffBar, before: StaffBar | None, swing: str) -> str:
    """The sign over a bar that tells its feel: ``"straight"``, the note that swings where it does,
    or nothing. swing: that note, empty in a line that does not swing. before: the bar before it."""
    if not swing or (before and before.bar.straight == bar.bar.straight):
        return ""
    return STRAIGHT if bar.bar.straight else swing


def head_row(
    cells: Sequence[StaffCell], feels: Sequence[str], boxes: Sequence[Box], *, sections: bool
) -> list[Mark]:
    """Section names and feels over the bars of a system on one level, clear of what stands under
    them; empty where there is nothing to say."""
    top = min(box.top for box in boxes)
    foot = top - SWING_GAP
    marks: list[Mark] = []
    for cell, feel in zip(cells, feels, strict=True):
        x = cell.left
        name = cell.staff_bar.bar.section if sections and cell.staff_bar.number > 0 else ""
        if name:
            shown = fitted(name, cell.right - x, SECTION_SIZE, "bold")
            marks.append(Text(x, foot, shown, SECTION_SIZE, "bold"))
            x += text_width(shown, SECTION_SIZE, "bold") + AFTER_SECTION
        if feel == STRAIGHT:
            marks.append(Text(x, foot, said("staff", "feel.straight"), SMALLEST + 2, "italic"))
        elif feel:
            marks += swing_mark(x, foot, feel)
    return marks


def swing_mark(x: float, foot: float, kind: str) -> list[Mark]:
    """Two notes of a kind are the first and the last of a triplet: the head mark of swing."""
    space = SWING_SPACE
    y = foot - 0.6 * space
    flags = {"eighth": 1, "16th": 2}[kind]
    wide = glyph_width("black notehead", space)
    high = 3.2 * space
    marks: list[Mark] = []

    def head(at: float) -> float:
        marks.append(Glyph(at, y, "black notehead", space))
        stem = at + wide - MEDIUM / 2
        marks.append(Line(stem, y - 0.15 * space, stem, y - high, MEDIUM))
        return stem

    ends = [(head(x), y - high), (head(x + 3.2), y - high)]
    marks.extend(beams(ends, [flags, flags], space))
    x += 3.2 + wide + 1.6
    marks.append(Text(x, foot, "=", SMALLEST + 2))
    x += text_width("=", SMALLEST + 2) + 1.6
    left = x
    long, short = head(x), head(x + 4.2)
    if flags == 2:
        marks.append(Glyph(long - MEDIUM / 2, y - high, "eighth flag", space))
    marks.append(Glyph(short - MEDIUM / 2, y - high, f"{kind} flag", space))
    right, level = x + 4.2 + wide, y - high - 1.2
    middle, figure = (left + right) / 2, text_width("3", SMALLEST, "italic") / 2 + 0.4
    marks.append(Text(middle, level + 1.0, "3", SMALLEST, "italic", "middle"))
    for a, b in ((left, middle - figure), (middle + figure, right)):
        marks.append(Line(a, level, b, level))
    for at in (left, right):
        marks.append(Line(at, level, at, level + 0.7))
    return marks
