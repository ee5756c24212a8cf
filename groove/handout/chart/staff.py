"""The melody of a line of the chart on a staff under its slashes.

Common engraving practice: stems go up below the middle line, else down; an accidental holds to
the bar line; clef and key signature begin each line.
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.handout.chart.bar import MelodyNote
from groove.handout.chart.cells import BarCell, Bars, Measures, staff_space
from groove.handout.drawing.page import MEDIUM, THIN, Glyph, Line, Mark, glyph_width
from groove.handout.drawing.staff.clefs import (
    CLEF,
    Accidentals,
    clef_marks,
    clef_width,
    key_marks,
    step_of,
)
from groove.handout.drawing.staff.rhythm import FLAGS
from groove.handout.drawing.staff.stems import dots, head_name, ledgers, tie

STEM = 7  # steps
PAD = 2  # steps over and under the outermost notes


def staff_room(line: Bars, measures: Measures) -> float:
    """The height of the staff under a line, in mm; 0 without a melody."""
    if not any(bar.melody for bar in line):
        return 0.0
    top, bottom = _reach(line, measures.clef)
    return (top - bottom + 2 * PAD) * staff_space(measures) / 2


def staff_marks(cells: Sequence[BarCell], top: float, measures: Measures) -> list[Mark]:
    """The staff of a line, its room beginning at ``top``, in mm."""
    line = [cell.bar for cell in cells]
    if not any(bar.melody for bar in line):
        return []
    space = staff_space(measures)
    middle = top + (_reach(line, measures.clef)[0] + PAD) * space / 2
    left, right = cells[0].left, cells[-1].right
    marks: list[Mark] = [
        Line(left, middle + row * space, right, middle + row * space, THIN) for row in range(-2, 3)
    ]
    marks += [
        Line(x, middle - 2 * space, x, middle + 2 * space, MEDIUM)
        for x in (left, *(cell.right for cell in cells))
    ]
    marks += _clef(cells[0], middle, measures)
    for cell in cells:
        marks += _notes(cell, middle, measures)
    return marks


def _step(note: MelodyNote, clef: str) -> int:
    """Steps over the middle line."""
    return step_of(note.name, note.octave, clef)


def _reach(line: Bars, clef: str) -> tuple[int, int]:
    """The steps over the middle line up to which, and down to which, notes and stems go."""
    steps = [_step(n, clef) for bar in line for n in bar.melody if not n.note.rest]
    ends = [step + STEM if step < 0 else step - STEM for step in steps]
    return max([CLEF[0], *steps, *ends]), min([CLEF[1], *steps, *ends])


def _clef(cell: BarCell, middle: float, measures: Measures) -> list[Mark]:
    space, clef = staff_space(measures), measures.clef
    at = cell.left + 1.0
    marks = clef_marks(at, middle, clef, space)
    at += clef_width(clef, space) + 1.0
    return marks + key_marks(at, middle, clef, cell.bar.signature, space)


def _notes(cell: BarCell, middle: float, measures: Measures) -> list[Mark]:
    space, bar = staff_space(measures), cell.bar
    marks: list[Mark] = []
    signs = Accidentals(bar.signature)
    for index, note in enumerate(bar.melody):
        x = cell.at(note.note.start)
        name, count = note.note.value
        if note.note.rest:
            if note.note.whole_bar:
                x = (cell.first_beat + cell.beats_end) / 2
            up = space if name == "whole" else 0.0
            marks.append(Glyph(x, middle - up, f"{name} rest", space))
            continue
        step = _step(note, measures.clef)
        y = middle - step * space / 2
        head = head_name(name)
        wide = glyph_width(head, space)
        over = note.note.tied and note.note.start == 0
        sign = signs.sign(note.name, note.octave, tied_over=over)
        if sign:
            marks.append(Glyph(x - glyph_width(sign, space) - 0.3, y, sign, space))
        marks.append(Glyph(x, y, head, space))
        marks += dots(x + wide, y, count, space, step=step)
        marks += ledgers(x, wide, step, middle, space)
        if name != "whole":
            marks += _stem(x, y, wide, step, FLAGS.get(name, 0), space)
        if note.note.ties:
            rest = bar.melody[index + 1 :]
            end = cell.at(rest[0].note.start) if rest else cell.right + 1.5
            marks.append(tie(x + wide / 2, end + wide / 2 * bool(rest), y + 0.7 * space, space))
    return marks


def _stem(x: float, y: float, wide: float, step: int, flags: int, space: float) -> list[Mark]:
    """A stem, and its flags as short slanted lines."""
    up = step < 0
    at = x + wide - MEDIUM / 2 if up else x + MEDIUM / 2
    end = y - STEM / 2 * space if up else y + STEM / 2 * space
    marks: list[Mark] = [Line(at, y, at, end, MEDIUM)]
    way = 1 if up else -1
    for flag in range(flags):
        start = end + way * flag * 0.75 * space
        marks.append(Line(at, start, at + 0.9 * space, start + way * 1.1 * space, 1.4 * MEDIUM))
    return marks
