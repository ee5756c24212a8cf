"""Lengths as written notes: heads, stems, flags and dots, to stand over a tablature.

Common engraving practice: a whole note has no stem, a half note an open head, each flag halves a
quarter, a dot adds half, a second dot a quarter more; three in the time of two have a 3 over them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from groove.handout.drawing.page import MEDIUM, SMALLEST, Glyph, Line, Mark, Text, glyph_width

SPACE = 1.35  # mm, that of the staff from which the heads would come
STEM = 3.1 * SPACE
FLAG_WIDE, FLAG_HIGH, FLAG_GAP, FLAG_LINE = 1.15, 1.5, 0.95, 0.4  # mm
HEIGHT = 6.4  # mm, of a row of notes; more where there are triplets
FIGURE_HEIGHT = 3.6  # mm, of a 3 over them
MOST_FLAGS = 4
CAP = 0.36  # of the type size: half the height of a figure


@dataclass(frozen=True, slots=True)
class Value:
    """A written note. head: a name in faces.SYMBOLS. flags, dots: how many. triplet: of three."""

    head: str
    flags: int
    dots: int
    triplet: bool

    @property
    def stem(self) -> bool:
        """True if the note has a stem."""
        return self.head != "whole notehead"


def value(quarters: Fraction) -> Value | None:
    """The written note for a length in quarter notes; None where no single note has that length.

    >>> value(Fraction(3, 4))
    Value(head='black notehead', flags=1, dots=1, triplet=False)
    >>> value(Fraction(1, 3)), value(Fraction(5, 4))
    (Value(head='black notehead', flags=1, dots=0, triplet=True), None)
    """
    for triplet in (False, True):
        sounding = quarters * (Fraction(3, 2) if triplet else 1)
        for dots in range(3):
            plain = sounding / (2 - Fraction(1, 2**dots))
            for power in range(-MOST_FLAGS, 3):
                if plain == Fraction(2) ** power:
                    heads = {1: "half notehead", 2: "whole notehead"}
                    return Value(heads.get(power, "black notehead"), max(-power, 0), dots, triplet)
    return None


def row_height(lengths: Sequence[Fraction]) -> float:
    """The height of a row of notes in mm; 0 for none. lengths: in quarter notes."""
    triplets = any(found.triplet for length in lengths if (found := value(length)))
    return (HEIGHT + (FIGURE_HEIGHT if triplets else 0)) if lengths else 0.0


def draw_values(lengths: Sequence[Fraction], middles: Sequence[float], y: float) -> list[Mark]:
    """Notes of some lengths in quarter notes, their middles at x in mm, the row's foot at y.

    A length that no note has stands there as a figure, in quarter notes.
    """
    marks: list[Mark] = []
    run: list[tuple[float, Fraction]] = []
    for length, x in zip(lengths, middles, strict=True):
        found = value(length)
        if found is None:
            foot = y - SPACE / 2
            marks.append(Text(x, foot, str(length), SMALLEST, "regular", "middle"))
            continue
        marks += _note(found, x, y - SPACE)
        if found.triplet:
            run.append((x, length))
            total = sum((part for _, part in run), Fraction(0))
            if total.denominator & (total.denominator - 1) == 0:
                at = sum(place for place, _ in run) / len(run)
                foot = y - HEIGHT - 0.4
                marks.append(Text(at, foot, "3", SMALLEST, "italic", "middle"))
                run = []
        else:
            run = []
    return marks


def _note(found: Value, x: float, middle: float) -> list[Mark]:
    """A note with its head's middle at (x, middle)."""
    wide = glyph_width(found.head, SPACE)
    left = x - wide / 2
    marks: list[Mark] = [Glyph(left, middle, found.head, SPACE)]
    for number in range(found.dots):
        marks.append(Glyph(left + wide + 0.5 + number * 0.9, middle - SPACE / 2, "dot", SPACE))
    if not found.stem:
        return marks
    stem, top = left + wide - MEDIUM / 2, middle - STEM
    marks.append(Line(stem, middle - 0.2, stem, top, MEDIUM))
    for number in range(found.flags):
        at = top + number * FLAG_GAP + FLAG_LINE / 2
        marks.append(Line(stem, at, stem + FLAG_WIDE, at + FLAG_HIGH, FLAG_LINE))
    return marks
