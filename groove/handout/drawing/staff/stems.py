"""Stems, beams, flags, ledger lines and ties: the strokes around note heads.

Common engraving practice: a stem is three and a half spaces long, a beam joins notes within a beat.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import cos, pi, sin

from groove.handout.drawing.page import MEDIUM, Glyph, Line, Mark, Polygon

BEAM, BETWEEN_BEAMS = 0.45, 0.75  # spaces: a beam, and from one to the next
CURVE = 12  # points of each side of a tie
HEADS = {"half": "half notehead", "whole": "whole notehead"}
FLAG_NAMES = {1: "eighth flag", 2: "16th flag"}
LEDGER = 0.4  # spaces that a ledger line goes over its head on either side


def head_name(value: str) -> str:
    """The head of a note by the name of its value, ``"quarter"``."""
    return HEADS.get(value, "black notehead")


def dots(right: float, y: float, count: int, space: float, *, step: int = 1) -> list[Mark]:
    """The dots of a note whose head ends at ``right``, in the space above where it stands on a
    line, an even step."""
    level = y - space / 2 if step % 2 == 0 else y
    return [Glyph(right + (0.4 + 0.6 * dot) * space, level, "dot", space) for dot in range(count)]


def ledgers(x: float, wide: float, step: int, middle: float, space: float) -> list[Mark]:
    """The ledger lines of a head at x, so many steps over the middle line."""
    return [
        Line(
            x - LEDGER * space,
            middle - line * space / 2,
            x + wide + LEDGER * space,
            middle - line * space / 2,
            MEDIUM,
        )
        for line in (*range(6, step + 1, 2), *range(-6, step - 1, -2))
    ]


def beam(
    left: tuple[float, float], right: tuple[float, float], space: float, *, way: int = 1
) -> Polygon:
    """A beam between two places on its outer edge. way: 1 below that edge, -1 above."""
    half, thick = MEDIUM / 2, way * BEAM * space
    (x1, y1), (x2, y2) = left, right
    return Polygon(
        ((x1 - half, y1), (x2 + half, y2), (x2 + half, y2 + thick), (x1 - half, y1 + thick))
    )


def beams(
    ends: Sequence[tuple[float, float]], flags: Sequence[int], space: float, *, way: int = 1
) -> list[Mark]:
    """The beams that join stems: one for all, a second between neighbours with two flags each.

    ends: of the stems, on one straight line. way: 1 for stems up, whose further beams lie below.
    """

    def at(x: float, level: int) -> tuple[float, float]:
        (x1, y1), (x2, y2) = ends[0], ends[-1]
        slope = (y2 - y1) / (x2 - x1) if x2 > x1 else 0.0
        return x, y1 + slope * (x - x1) + way * level * BETWEEN_BEAMS * space

    marks: list[Mark] = [beam(at(ends[0][0], 0), at(ends[-1][0], 0), space, way=way)]
    for number, (a, b) in enumerate(pairwise(flags)):
        left, right = ends[number][0], ends[number + 1][0]
        if a == b == 2:
            marks.append(beam(at(left, 1), at(right, 1), space, way=way))
        elif b == 2 and (number + 2 == len(flags) or flags[number + 2] != 2):
            marks.append(beam(at(right - space, 1), at(right, 1), space, way=way))
        elif a == 2 and number == 0:
            marks.append(beam(at(left, 1), at(left + space, 1), space, way=way))
    return marks


def tie(left: float, right: float, y: float, space: float, *, over: bool = False) -> Polygon:
    """A tie or slur that hangs from one place to another, or stands over them."""
    return slur((left, y), (right, y), space, over=over)


def slur(
    start: tuple[float, float], end: tuple[float, float], space: float, *, over: bool = False
) -> Polygon:
    """A curve between two places that may differ in height; over: whether it rises."""
    (left, y1), (right, y2) = start, end
    wide = right - left
    deep, thick = min(0.9, 0.3 + 0.06 * wide / space) * space, 0.22 * space
    way = -1 if over else 1
    outer, inner = [], []
    for step in range(CURVE + 1):
        turn = pi * step / CURVE
        share = (1 - cos(turn)) / 2
        x, y = left + wide * share, y1 + (y2 - y1) * share
        outer.append((x, y + way * deep * sin(turn)))
        inner.append((x, y + way * (deep - thick) * sin(turn)))
    return Polygon((*outer, *reversed(inner)))
