"""A page of every kind of mark, and a check that the tests of several drawings share."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from groove.handout.drawing.page import (
    PAPERS,
    Circle,
    Glyph,
    Line,
    Mark,
    Page,
    Polygon,
    Rect,
    Text,
    ink_box,
)

PAGE = Page(
    PAPERS["a4"],
    (
        Text(20, 20, "B♭7 & <F♯m>", 20, "bold"),
        Glyph(20, 60, "treble clef", 2),
        Line(20, 80, 40, 80),
        Rect(20, 90, 10, 5, 0.5),
        Circle(50, 90, 3, 1.0),
        Polygon(((60, 90), (70, 90), (65, 80))),
    ),
    "A page",
    "B♭7 then F♯m",
)


def texts_apart(marks: Sequence[Mark]) -> bool:
    """True if no text lies on another."""
    boxes = [box for m in marks if isinstance(m, Text) and (box := ink_box(m))]
    return not any(a.overlaps(b) for a, b in combinations(boxes, 2))
