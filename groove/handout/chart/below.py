"""The rows below a line of the chart: loudness, ritardando, pedal points and lyrics."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from groove.handout.chart.cells import BarCell, Bars, Measures
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THIN,
    Glyph,
    Line,
    Mark,
    Text,
    fitted,
    glyph_width,
    text_width,
)

ROW = 1.35  # of the small size
FIRST = 0.12  # ems from the foot of the bar lines to the first row
LOUDNESS = 0.36  # of the small size, in mm: between two staff lines, for the size of the signs
HAIRPIN = 1.1  # mm, half of how wide it opens
DASH, APART = 1.6, 1.4  # mm
HOOK = 1.6  # mm
GAP = 1.5  # mm


def below_room(line: Bars, measures: Measures) -> float:
    """The height of the rows below a line, in mm."""
    rows = len(_kinds(line)) + max(len(bar.lyrics) for bar in line)
    return rows * _row_height(measures) + (FIRST * measures.em if rows else 0.0)


def below_marks(cells: Sequence[BarCell], bottom: float, measures: Measures) -> list[Mark]:
    """The marks below bar lines that reach down to ``bottom``, in mm."""
    marks: list[Mark] = []
    line = [cell.bar for cell in cells]
    step = _row_height(measures)
    baseline = bottom + FIRST * measures.em + 0.95 * measures.small * POINT
    for kind in _kinds(line):
        if kind == "loudness":
            marks += _loudness(cells, baseline, measures)
        else:
            marks += _spans(cells, kind, baseline, measures)
        baseline += step
    return marks + _lyrics(cells, baseline, step, measures)


def _row_height(measures: Measures) -> float:
    return ROW * measures.small * POINT


def _kinds(line: Bars) -> list[str]:
    """The rows that a line has, from the top."""
    loud = any(bar.dynamic or bar.dynamic_after or bar.hairpin for bar in line)
    rows = {
        "loudness": loud,
        "rit": any(bar.rit for bar in line),
        "pedal": any(bar.pedal for bar in line),
    }
    return [kind for kind, here in rows.items() if here]


def _loudness(cells: Sequence[BarCell], baseline: float, measures: Measures) -> list[Mark]:
    space = LOUDNESS * measures.small * POINT
    marks: list[Mark] = []
    for hairpin, group in groupby(cells, key=lambda cell: cell.bar.hairpin):
        run = list(group)
        for cell in run:
            bar = cell.bar
            if bar.dynamic:
                marks.append(Glyph(cell.first_beat, baseline, bar.dynamic, space))
            if bar.dynamic_after:
                at = cell.right - GAP
                marks.append(Glyph(at, baseline, bar.dynamic_after, space, "end"))
        if hairpin:
            first, last = run[0], run[-1]
            left = first.first_beat
            if first.bar.dynamic:
                left += glyph_width(first.bar.dynamic, space) + GAP
            right = last.right - GAP
            if last.bar.dynamic_after:
                right -= glyph_width(last.bar.dynamic_after, space) + GAP
            middle = baseline - space
            narrow, wide = (left, right) if hairpin == "<" else (right, left)
            marks += [
                Line(narrow, middle, wide, middle + side, MEDIUM) for side in (-HAIRPIN, HAIRPIN)
            ]
    return marks


def _spans(cells: Sequence[BarCell], kind: str, baseline: float, measures: Measures) -> list[Mark]:
    """Words and a broken line to the end of the bars that have them, in mm."""
    marks: list[Mark] = []
    size = measures.small
    for words, group in groupby(cells, key=lambda cell: str(getattr(cell.bar, kind))):
        run = list(group)
        if not words:
            continue
        left, right = run[0].first_beat, run[-1].right - GAP
        shown = fitted(words, right - left, size, "italic")
        marks.append(Text(left, baseline, shown, size, "italic"))
        x, y = left + text_width(shown, size, "italic") + GAP, baseline - 0.22 * size * POINT
        while x < right:
            marks.append(Line(x, y, min(x + DASH, right), y, THIN))
            x += DASH + APART
        if kind == "pedal":
            marks.append(Line(right, y - HOOK, right, y, THIN))
    return marks


def _lyrics(
    cells: Sequence[BarCell], baseline: float, step: float, measures: Measures
) -> list[Mark]:
    marks: list[Mark] = []
    size = max(SMALLEST, 0.9 * measures.small)
    end = max(cells[-1].right, cells[0].left + measures.width)
    for cell in reversed(cells):
        if not cell.bar.lyrics:
            continue
        for row, words in enumerate(cell.bar.lyrics):
            shown = fitted(words, end - cell.first_beat, size)
            marks.append(Text(cell.first_beat, baseline + row * step, shown, size))
        end = cell.left - GAP
    return marks
