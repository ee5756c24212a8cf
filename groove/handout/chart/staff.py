"""The melody of a line of the chart on a staff under its slashes.

Common engraving practice: stems go up below the middle line, else down; an accidental holds to
the bar line; clef and key signature begin each line.
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.handout.chart.bar import MelodyNote, WrittenBar
from groove.handout.chart.cells import BarCell, Bars, Measures, staff_space
from groove.handout.chart.rhythm import FLAGS
from groove.handout.chart.rhythm_marks import HEADS, tie
from groove.handout.drawing.page import MEDIUM, THIN, Glyph, Line, Mark, glyph_width

LETTERS = "CDEFGAB"
MIDDLE = {"treble": 4 * 7 + 6, "bass": 3 * 7 + 1}  # the step of the middle line: B4, D3
CLEFS = {"treble": ("treble clef", 1, 0), "bass": ("bass clef", -1, 2)}
# Steps over the middle line of the treble staff for the sharps and flats of a signature in
# their order, F C G D A E B and B E A D G C F (common practice); the bass clef has them two lower.
SHARPS, FLATS = (4, 1, 5, 2, -1, 3, 0), (0, 3, -1, 2, -2, 1, -3)
SIGNS = {-2: "double flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double sharp"}
CLEF = (6, -6)  # steps over and under the middle line that a clef needs, with the padding
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
    return note.octave * 7 + LETTERS.index(note.name.letter) - MIDDLE[clef]


def _reach(line: Bars, clef: str) -> tuple[int, int]:
    """The steps over the middle line up to which, and down to which, notes and stems go."""
    steps = [_step(n, clef) for bar in line for n in bar.melody if not n.note.rest]
    ends = [step + STEM if step < 0 else step - STEM for step in steps]
    return max([CLEF[0], *steps, *ends]), min([CLEF[1], *steps, *ends])


def _clef(cell: BarCell, middle: float, measures: Measures) -> list[Mark]:
    space = staff_space(measures)
    name, line, lower = CLEFS[measures.clef]
    at = cell.left + 1.0
    marks: list[Mark] = [Glyph(at, middle + line * space, name, space)]
    at += glyph_width(name, space) + 1.0
    count = cell.bar.signature
    sign, steps = ("sharp", SHARPS) if count > 0 else ("flat", FLATS)
    for step in steps[: abs(count)]:
        marks.append(Glyph(at, middle - (step - lower) * space / 2, sign, space))
        at += glyph_width(sign, space) + 0.2
    return marks


def _altered(bar: WrittenBar, letter: str) -> int:
    """Sharps minus flats that the signature gives a letter."""
    order = "FCGDAEB" if bar.signature > 0 else "BEADGCF"
    here = letter in order[: abs(bar.signature)]
    return (1 if bar.signature > 0 else -1) if here else 0


def _notes(cell: BarCell, middle: float, measures: Measures) -> list[Mark]:
    space, bar = staff_space(measures), cell.bar
    marks: list[Mark] = []
    held: dict[tuple[str, int], int] = {}
    for index, note in enumerate(bar.melody):
        x = cell.at(note.note.start)
        name, dots = note.note.value
        if note.note.rest:
            if note.note.whole_bar:
                x = (cell.first_beat + cell.beats_end) / 2
            up = space if name == "whole" else 0.0
            marks.append(Glyph(x, middle - up, f"{name} rest", space))
            continue
        step = _step(note, measures.clef)
        y = middle - step * space / 2
        head = HEADS.get(name, "black notehead")
        wide = glyph_width(head, space)
        place = note.name.letter, note.octave
        if held.get(place, _altered(bar, note.name.letter)) != note.name.sharps:
            held[place] = note.name.sharps
            if not note.note.tied:
                sign = SIGNS[note.name.sharps]
                marks.append(Glyph(x - glyph_width(sign, space) - 0.3, y, sign, space))
        marks.append(Glyph(x, y, head, space))
        for dot in range(dots):
            in_space = y - space / 2 if step % 2 == 0 else y
            marks.append(Glyph(x + wide + (0.4 + 0.6 * dot) * space, in_space, "dot", space))
        for ledger in (*range(6, step + 1, 2), *range(-6, step - 1, -2)):
            level = middle - ledger * space / 2
            marks.append(Line(x - 0.4 * space, level, x + wide + 0.4 * space, level, MEDIUM))
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
