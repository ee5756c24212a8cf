"""Clefs, key and time signatures, and the places of notes on a staff.

Common engraving practice. A place is a step, counted in lines and spaces over the middle line.
"""

from __future__ import annotations

from groove.handout.drawing.page import Glyph, Mark, glyph_width
from groove.theory.pitch import NoteName

LETTERS = "CDEFGAB"
MIDDLE = {"treble": 4 * 7 + 6, "bass": 3 * 7 + 1}  # the step of the middle line: B4, D3
CLEFS = {"treble": ("treble clef", 1, 0), "bass": ("bass clef", -1, 2)}
# Steps over the middle line of the treble staff for the sharps and flats of a signature in
# their order, F C G D A E B and B E A D G C F (common practice); the bass clef has them two lower.
SHARPS, FLATS = (4, 1, 5, 2, -1, 3, 0), (0, 3, -1, 2, -2, 1, -3)
SIGNS = {-2: "double flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double sharp"}
CLEF = (6, -6)  # steps over and under the middle line that a clef needs, with the padding
SIGN_GAP = 0.2  # mm between two signs of a key signature


def step_of(name: NoteName, octave: int, clef: str) -> int:
    """The step of a note over the middle line of a clef."""
    return octave * 7 + LETTERS.index(name.letter) - MIDDLE[clef]


def clef_marks(x: float, middle: float, clef: str, space: float) -> list[Mark]:
    """A clef with its left edge at x, the middle line at ``middle``; space: mm between lines."""
    name, line, _ = CLEFS[clef]
    return [Glyph(x, middle + line * space, name, space)]


def clef_width(clef: str, space: float) -> float:
    """The width of a clef in mm."""
    return glyph_width(CLEFS[clef][0], space)


def key_marks(
    x: float,
    middle: float,
    clef: str,
    signature: int,
    space: float,
    *,
    natural: bool = False,
    gap: float = SIGN_GAP,
) -> list[Mark]:
    """The signs of a key signature from x on. natural: naturals, which take it back."""
    sign, steps = ("sharp", SHARPS) if signature > 0 else ("flat", FLATS)
    name = "natural" if natural else sign
    marks: list[Mark] = []
    for step in steps[: abs(signature)]:
        marks.append(Glyph(x, middle - (step - CLEFS[clef][2]) * space / 2, name, space))
        x += glyph_width(name, space) + gap
    return marks


def key_width(
    signature: int, space: float, *, natural: bool = False, gap: float = SIGN_GAP
) -> float:
    """The width of a key signature in mm, with the gap after it."""
    name = "natural" if natural else "sharp" if signature > 0 else "flat"
    return abs(signature) * (glyph_width(name, space) + gap)


def time_marks(x: float, middle: float, above: int, below: int, space: float) -> list[Mark]:
    """A time signature from x on, its numbers centred over each other."""
    wide = time_width(above, below, space)
    marks: list[Mark] = []
    for number, y in ((above, middle - space), (below, middle + space)):
        left = x + (wide - _number_width(number, space)) / 2
        for digit in str(number):
            marks.append(Glyph(left, y, f"time {digit}", space))
            left += glyph_width(f"time {digit}", space)
    return marks


def time_width(above: int, below: int, space: float) -> float:
    """The width of a time signature in mm."""
    return max(_number_width(number, space) for number in (above, below))


def _number_width(number: int, space: float) -> float:
    return sum(glyph_width(f"time {digit}", space) for digit in str(number))


def altered(signature: int, letter: str) -> int:
    """Sharps minus flats that a signature gives a letter."""
    order = "FCGDAEB" if signature > 0 else "BEADGCF"
    here = letter in order[: abs(signature)]
    return (1 if signature > 0 else -1) if here else 0


class Accidentals:
    """The accidentals of a bar: each holds to the bar line, in its own octave."""

    def __init__(self, signature: int) -> None:
        self._signature = signature
        self._held: dict[tuple[str, int], int] = {}

    def sign(self, name: NoteName, octave: int, *, tied_over: bool = False) -> str:
        """The sign that a note needs, a name in page.Glyph, empty for none.

        tied_over: whether the note goes on from the bar before; it needs no sign, and a note
        after it does.
        """
        place = name.letter, octave
        if tied_over or self._held.get(place, altered(self._signature, name.letter)) == name.sharps:
            return ""
        self._held[place] = name.sharps
        return SIGNS[name.sharps]
