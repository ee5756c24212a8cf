"""A line of notes as blocks, a system each: chord symbols, staff, and tablature under it.

Systems are never broken, and none stands apart from the heading above it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import floor

from groove.handout.drawing.flow import Block
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THICK,
    THIN,
    Box,
    Line,
    Mark,
    Text,
    ink_box,
    moved,
)
from groove.handout.drawing.staff.clefs import (
    clef_marks,
    clef_width,
    key_marks,
    key_width,
    time_marks,
    time_width,
)
from groove.handout.drawing.staff.note_marks import note_marks
from groove.handout.drawing.staff.over_staff import chord_row, feel_of, head_row
from groove.handout.drawing.staff.spacing import (
    CLEF_PAD,
    PAD,
    SPACE,
    StaffCell,
    new_meter,
    spaced_system,
    systems,
)
from groove.handout.drawing.staff.tab_marks import names_width, tab_height, tab_marks
from groove.handout.drawing.staff.written import Clef, StaffBar, clef_for, written_line
from groove.instrument.fretboard import Tuning
from groove.lesson.line import NoteLine
from groove.theory.pitch import octave
from groove.theory.symbols import note as note_words
from groove.theory.symbols import symbol
from groove.wording import said

TAB_UNDER = 2.0  # mm between the layers of a system
BELOW, BELOW_LINE = 0.3, 3.9  # mm: over words under a system, and from line to line
LEAST_TAB_UNDER = 6.5  # mm from staff to tablature at least
SYSTEM_GAP = 4.5  # mm over a system
OCTAVE_SIZE = SMALLEST  # points, of the 8 under a clef
FIGURE = 0.68  # of the type size: the height of a figure


@dataclass(frozen=True, slots=True)
class Drawn:
    """The settings with which a line is drawn. clef: for its readers, else by its tuning. swing:
    ``"eighth"`` or ``"16th"`` where these are swung in the bars that are not straight, which stands
    over the first of them. numbers: whether bars are numbered and sections named. below: words
    under the notes that begin at a tick of the line, one under another."""

    width: float
    tuning: Tuning | None = None
    clef: Clef | None = None
    swing: str = ""
    numbers: bool = True
    below: Mapping[int, Sequence[str]] = field(default_factory=dict)

    @property
    def written_in(self) -> Clef:
        """The clef that it is written in."""
        return self.clef or clef_for(self.tuning)


def line_blocks(line: NoteLine, how: Drawn, *, gap: float = SYSTEM_GAP) -> list[Block]:
    """The systems of a line. gap: over the first, in mm."""
    clef, tuning = how.written_in, how.tuning
    bars = written_line(line, clef)
    indent = names_width(tuning) if tuning else 0.0
    groups = systems(bars, how.width - indent, clef, tuning)
    found: list[Block] = []
    before: StaffBar | None = None
    for number, group in enumerate(groups):
        whole = len(groups) > 1 and len(group) == len(groups[0])
        full = whole or len(group) >= 4 or number < len(groups) - 1
        cells = spaced_system(group, how.width - indent, clef, tuning, before=before, full=full)
        feels = [feel_of(bar, ahead, how.swing) for ahead, bar in pairwise([before, *group]) if bar]
        last = number == len(groups) - 1
        marks = _system(cells, how, feels=feels, before=before, last=last)
        found.append(_block(marks, indent, _words(group), gap if number == 0 else SYSTEM_GAP))
        before = group[-1]
    return found


def _block(marks: Sequence[Mark], indent: float, words: str, gap: float) -> Block:
    """Marks as a block whose top is that of the highest."""
    boxes = [box for mark in marks if (box := ink_box(mark))]
    top, foot = min(box.top for box in boxes), max(box.bottom for box in boxes)

    def draw(x: float, y: float) -> list[Mark]:
        return [moved(mark, x + indent, y - top) for mark in marks]

    return Block(foot - top, draw, words, gap)


def _system(
    cells: Sequence[StaffCell],
    how: Drawn,
    *,
    feels: Sequence[str],
    before: StaffBar | None,
    last: bool,
) -> list[Mark]:
    """The marks of a system; the middle line of its staff is at 0, its left edge too."""
    staff = _staff(cells, how, before)
    notes = note_marks(cells)
    boxes = [box for mark in [*staff, *notes] if (box := ink_box(mark))]
    marks = [*staff, *notes]
    marks += chord_row(cells, boxes)
    under = [box for mark in marks if (box := ink_box(mark))]
    marks += head_row(cells, feels, under, sections=how.numbers)
    tuning, end = how.tuning, 2 * SPACE
    if tuning:
        tab = tab_marks(cells, tuning)
        down = end + max(LEAST_TAB_UNDER, _clear(boxes, tab) - end)
        marks += [moved(mark, 0.0, down) for mark in tab]
        end = down + tab_height(tuning)
        marks.append(Line(0.0, -2 * SPACE, 0.0, end, MEDIUM))
    for low, high in [
        (-2 * SPACE, 2 * SPACE),
        *([(end - tab_height(tuning), end)] if tuning else []),
    ]:
        right = cells[-1].right
        if last:
            marks.append(Line(right - THICK / 2, low, right - THICK / 2, high, THICK))
            marks.append(Line(right - THICK - 0.9, low, right - THICK - 0.9, high, MEDIUM))
    return marks + _below(cells, how.below, marks)


def _below(
    cells: Sequence[StaffCell], words: Mapping[int, Sequence[str]], over: Sequence[Mark]
) -> list[Mark]:
    """Words under the notes of a system, all on the same lines under everything else."""
    if not words:
        return []
    foot = max(box.bottom for mark in over if (box := ink_box(mark))) + BELOW
    found: list[Mark] = []
    for cell in cells:
        for place in cell.places:
            note = place.column.note
            if place.column.heads and not note.tied:
                said_here = words.get(cell.staff_bar.start + note.start, ())
                for row, word in enumerate(said_here, 1):
                    y = foot + row * BELOW_LINE
                    found.append(Text(place.middle, y, word, SMALLEST, "regular", "middle"))
    return found


def _clear(boxes: Sequence[Box], below: Sequence[Mark]) -> float:
    """The distance by which marks go down so that all of them are clear of some boxes over them, in
    mm."""
    depth: dict[int, float] = {}
    for box in boxes:
        for place in range(floor(box.left) - 1, floor(box.right) + 2):
            depth[place] = max(box.bottom, depth.get(place, box.bottom))
    down = 0.0
    for box in filter(None, map(ink_box, below)):
        over = (depth[p] for p in range(floor(box.left), floor(box.right) + 1) if p in depth)
        down = max(down, max(over, default=0.0) + TAB_UNDER - box.top)
    return down


def _staff(cells: Sequence[StaffCell], how: Drawn, before: StaffBar | None) -> list[Mark]:
    """Lines, bar lines, clef, signatures and the number of the first bar."""
    right, clef = cells[-1].right, how.written_in
    marks: list[Mark] = [Line(0.0, row * SPACE, right, row * SPACE, THIN) for row in range(-2, 3)]
    marks += [
        Line(x, -2 * SPACE, x, 2 * SPACE, MEDIUM)
        for x in (*([] if how.tuning is None else [0.0]), *(cell.right for cell in cells))
    ]
    first = cells[0].staff_bar
    x = CLEF_PAD
    marks += clef_marks(x, 0.0, clef.name, SPACE)
    drawn = ink_box(marks[-1])
    assert drawn
    if clef.octaves:
        foot = drawn.bottom + 0.2 + OCTAVE_SIZE * POINT * FIGURE
        middle = x + clef_width(clef.name, SPACE) / 2
        marks.append(Text(middle, foot, "8", OCTAVE_SIZE, "italic", "middle"))
    if how.numbers and first.number > 1:
        marks.append(
            Text(0.0, min(drawn.top, -2 * SPACE) - 0.8, str(first.number), SMALLEST, "italic")
        )
    x += clef_width(clef.name, SPACE) + PAD
    signature = first.bar.key.signature
    marks += key_marks(x, 0.0, clef.name, signature, SPACE)
    x += key_width(signature, SPACE)
    if before is None or new_meter(first, before):
        meter = first.bar.meter
        marks += time_marks(x + 0.4, 0.0, meter.numerator, meter.denominator, SPACE)
    for cell in cells[1:]:
        marks += _changes(cell, clef)
    return marks


def _changes(cell: StaffCell, clef: Clef) -> list[Mark]:
    """The signatures that change at a bar line."""
    marks: list[Mark] = []
    x = cell.signatures
    meter = cell.staff_bar.bar.meter
    if cell.key_before is not None:
        signature = cell.staff_bar.bar.key.signature
        natural = signature == 0
        shown = cell.key_before if natural else signature
        marks += key_marks(x, 0.0, clef.name, shown, SPACE, natural=natural)
        x += key_width(shown, SPACE, natural=natural) + 0.6
    if cell.meter:
        marks += time_marks(x, 0.0, meter.numerator, meter.denominator, SPACE)
        x += time_width(meter.numerator, meter.denominator, SPACE)
    return marks


def _words(group: Sequence[StaffBar]) -> str:
    """The notes of a system for a screen reader."""
    parts = []
    for bar in group:
        notes = [
            "+".join(
                f"{note_words(h.note.name)}{octave(h.note.name, h.note.pitch)}"
                for h in column.heads
            )
            for column in bar.columns
            if column.heads and not column.note.tied
        ]
        chords = " ".join(str(symbol(chord)) for _, chord in bar.bar.chords)
        if notes:
            key = "bar" if chords else "bar_alone"
            shown = {"number": bar.number, "chords": chords, "notes": " ".join(notes)}
            parts.append(said("staff", f"spoken.{key}", **shown))
    return " ".join(parts)
