"""The rows above a line of the chart: brackets, letters, names and signs; over them changes of
feel, tempo and key, and words to the players."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from groove.handout.chart.bar import WrittenBar
from groove.handout.chart.cells import BarCell, Bars, Measures
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    Glyph,
    Line,
    Mark,
    Rect,
    Text,
    fitted,
    glyph_width,
    ink_box,
    moved,
    text_width,
)
from groove.rhythm.meter import TICKS_PER_QUARTER
from groove.wording import in_figures, said

SECTION = 1.25  # of the small size: section names
BRACKET = 0.14  # ems from the bar lines up to a bracket
RISING, HANGING = 0.78, 0.26  # of the size of text, over and under its baseline
LABEL_GAP = 2.5  # mm between neighbours in the row above
HOOK = 2.2  # mm, the ends of a bracket
SIGN = 0.28  # of the small size: between two staff lines, for the size of segno and coda
OVER_LABELS = 0.25  # of the small size, between names and the words over them
TEMPO_NOTES = {
    TICKS_PER_QUARTER // 2: ("tempo eighth", False),
    TICKS_PER_QUARTER: ("tempo quarter", False),
    TICKS_PER_QUARTER * 3 // 2: ("tempo quarter", True),
    TICKS_PER_QUARTER * 2: ("tempo half", False),
    TICKS_PER_QUARTER * 3: ("tempo half", True),
}
Item = tuple[float, list[Mark]]
"""A width in mm, and marks from the left end of a baseline."""
Placed = list[tuple[float, Item]]
"""The left ends of items in mm."""


def labelled(bar: WrittenBar) -> bool:
    """True if the row above a bar has a bracket, a name or a sign."""
    signs_ = bar.letter or bar.segno or bar.coda or bar.to_coda
    return bool(
        bar.section or bar.bracket or bar.times > 1 or bar.finish or bar.in_bracket or signs_
    )


def label_room(measures: Measures) -> float:
    """The height of the row of names and signs, in mm."""
    return (RISING + HANGING) * SECTION * measures.small * POINT + 1.4 * BRACKET * measures.em


def above_room(line: Bars, cells: Sequence[BarCell], measures: Measures) -> float:
    """The height of all rows above a line, in mm."""
    rows = len(_rows(cells, measures)[1])
    labels = label_room(measures) if any(labelled(bar) for bar in line) else 0.0
    if labels and rows:
        labels += OVER_LABELS * measures.small * POINT
    return labels + rows * _row_height(measures)


def above_marks(cells: Sequence[BarCell], top: float, measures: Measures) -> list[Mark]:
    """The marks above bar lines that reach up to ``top``, in mm."""
    y = top - BRACKET * measures.em
    marks: list[Mark] = []
    for number in range(len(cells)):
        marks += _labels(cells, number, y, measures)
    beside, rows = _rows(cells, measures)
    marks += [moved(m, x, _label_line(y, measures)) for x, (_, drawn) in beside for m in drawn]
    if any(labelled(cell.bar) for cell in cells):
        y = top - label_room(measures) - OVER_LABELS * measures.small * POINT
    baseline = y - HANGING * measures.small * POINT
    for row in rows:
        for x, (_, drawn) in row:
            marks += [moved(mark, x, baseline) for mark in drawn]
        baseline -= _row_height(measures)
    return marks


def _label_line(y: float, measures: Measures) -> float:
    """The baseline of the row of names over a bracket at a height in mm."""
    return y - HANGING * SECTION * measures.small * POINT - MEDIUM


def _labels(cells: Sequence[BarCell], number: int, y: float, measures: Measures) -> list[Mark]:
    """The marks in the row above a bar: bracket, signs, section name, number of repeats."""
    cell, bar, small = cells[number], cells[number].bar, measures.small
    after = cells[number + 1].bar if number + 1 < len(cells) else None
    marks: list[Mark] = []
    x, baseline = cell.left, _label_line(y, measures)
    end = next(
        (c.left - LABEL_GAP for c in cells[number + 1 :] if labelled(c.bar)), cells[-1].right
    )
    if bar.in_bracket:
        goes_on = after is not None and after.in_bracket and not (bar.closes or after.bracket)
        right = cell.right if goes_on else cell.right - 0.8
        marks.append(Line(cell.left, y, right, y, MEDIUM))
        if bar.bracket:
            marks.append(Line(cell.left, y, cell.left, y + HOOK, MEDIUM))
            marks.append(Text(cell.left + 1.6, baseline, bar.bracket, small))
            x += 1.6 + text_width(bar.bracket, small) + LABEL_GAP
        if bar.closes:
            marks.append(Line(right, y, right, y + HOOK, MEDIUM))
            end = min(end, right - LABEL_GAP)
    right = cell.right - (LABEL_GAP if after and labelled(after) else 0.0)
    for wide, drawn in reversed(list(_at_the_right(bar, small))):
        marks += [moved(mark, right - wide, baseline) for mark in drawn]
        right -= wide + LABEL_GAP
        end = right
    for wide, drawn in _at_the_left(bar, small):
        marks += [moved(mark, x, baseline) for mark in drawn]
        x += wide + LABEL_GAP
    if bar.section != bar.letter:
        name = fitted(bar.section, end - x, SECTION * small, "bold")
        if name:
            marks.append(Text(x, baseline, name, SECTION * small, "bold"))
    if bar.finish and not bar.in_bracket:
        words = said("chart", "marks.finish")
        most = max(cells[-1].right, cells[0].left + measures.width)
        x = min(x, most - text_width(words, small, "italic"))
        marks.append(Text(x, baseline, words, small, "italic"))
    return marks


def _at_the_left(bar: WrittenBar, small: float) -> Iterator[Item]:
    """Segno, coda and rehearsal letter."""
    for name, here in (("segno", bar.segno), ("coda", bar.coda)):
        if here:
            yield _sign(name, small)
    if bar.letter:
        size = SECTION * small
        wide = text_width(bar.letter, size, "bold")
        inside, high = 0.16 * size * POINT, 0.70 * size * POINT
        box = Rect(0.2, -high - inside, wide + 2 * inside, high + 2 * inside, None, MEDIUM)
        yield wide + 2 * inside, [box, Text(0.2 + inside, 0.0, bar.letter, size, "bold")]


def _at_the_right(bar: WrittenBar, small: float) -> Iterator[Item]:
    """How often a repeat is played, and the way to the coda."""
    if bar.closes and bar.times > 1:
        key = "twice" if bar.times == 2 else "times"
        words = said("chart", f"marks.{key}", number=bar.times)
        wide = text_width(words, small, "italic")
        yield wide, [Text(wide, 0.0, words, small, "italic", "end")]
    if bar.to_coda:
        reach, marks = _text(said("road", "way.to_coda"), small, "bold")
        sign, drawn = _sign("coda", small)
        at = reach + 0.4 * small * POINT
        yield at + sign, marks + [moved(mark, at, 0.0) for mark in drawn]


def _sign(name: str, small: float) -> Item:
    """A segno or coda that stands on the baseline."""
    space = SIGN * small * POINT
    sign = Glyph(0.0, 0.0, name, space)
    box = ink_box(sign)
    return glyph_width(name, space), [moved(sign, 0.0, -box.bottom if box else 0.0)]


def _text(words: str, size: float, face: str) -> Item:
    return text_width(words, size, face), [Text(0.0, 0.0, words, size, face)]


def _row_height(measures: Measures) -> float:
    return 1.3 * measures.small * POINT


def _rows(cells: Sequence[BarCell], measures: Measures) -> tuple[Placed, list[Placed]]:
    """The words over a line with the places of their left ends: those beside the names, and rows
    from the lowest to the highest.

    Each stands as low as is free, and further left than its bar where it would leave the line.
    Words stand beside names where the measures say so.
    """
    beside: Placed = []
    rows: list[Placed] = []
    left, right = cells[0].left, cells[-1].right
    right = max(right, left + measures.width)
    taken = _taken(cells, measures) if measures.beside_names else []
    for cell in cells:
        room = right - left
        placed = [
            (min(cell.left, right - item[0]), item)
            for item in reversed(_items(cell.bar, room, measures))
        ]
        placed += [(cell.right - item[0], item) for item in _jumps(cell.bar, room, measures)]
        for x, item in placed:
            x = max(left, x)
            after = max([at + wide + LABEL_GAP for at, (wide, _) in taken if at < cell.right] + [x])
            if taken and after < cell.right and _free(after, item, taken) <= right:
                taken.append((after, item))
                beside.append((after, item))
                continue
            for row in rows:
                if _free(x, item, row) < inf:
                    row.append((x, item))
                    break
            else:
                rows.append([(x, item)])
    return beside, rows


def _free(x: float, item: Item, row: Placed) -> float:
    """The end of an item that begins at x, in mm; infinite where it has no room in a row."""
    end = x + item[0]
    apart = all(x >= at + wide + LABEL_GAP or at >= end + LABEL_GAP for at, (wide, _) in row)
    return end if apart else inf


def _taken(cells: Sequence[BarCell], measures: Measures) -> Placed:
    """The places of names and signs over a line."""
    marks = [mark for n in range(len(cells)) for mark in _labels(cells, n, 0.0, measures)]
    boxes = [box for mark in marks if (box := ink_box(mark))]
    return [(box.left, (box.right - box.left, [])) for box in boxes]


def _jumps(bar: WrittenBar, room: float, measures: Measures) -> list[Item]:
    """The words at the right end of a bar on how it goes on, the last to be read first."""
    words = (bar.jump, bar.again, said("road", "way.fine_sign") if bar.fine else "")
    small = measures.small
    return [_text(fitted(each, room, small, "bold"), small, "bold") for each in words if each]


def _items(bar: WrittenBar, room: float, measures: Measures) -> list[Item]:
    """The words over a bar: its changes together, then each of its other words."""
    small = measures.small
    change = bar.change
    together: list[Item] = []
    if change.feel:
        together.append(_text(change.feel, small, "bold"))
    if change.beat:
        together.append(_joined([_note(change.beat[0], small), _text("=", small, "regular"),
                                 _note(change.beat[1], small)], 1.2))  # fmt: skip
    if change.tempo is not None:
        count = _text(f"= {in_figures(change.tempo)}", small, "regular")
        together.append(_joined([_note(bar.meter.beat_ticks, small), count], 1.0))
    if change.home:
        together.append(_text(change.home, small, "bold"))
    found = [_joined(together, 4.0)] if together else []
    for words in bar.words:
        found.append(_text(fitted(words, room, small, "italic"), small, "italic"))
    return found


def _note(ticks: int, small: float) -> Item:
    space = 0.31 * small * POINT
    name, dotted = TEMPO_NOTES.get(ticks, ("tempo quarter", False))
    wide = glyph_width(name, space)
    marks: list[Mark] = [Glyph(0.0, -0.2, name, space)]
    if dotted:
        marks.append(Glyph(wide + 0.4, -0.5, "tempo dot", space))
        wide += 0.4 + glyph_width("tempo dot", space)
    return wide, marks


def _joined(items: Sequence[Item], gap: float) -> Item:
    """Items beside each other."""
    at, marks = 0.0, []
    for wide, drawn in items:
        marks += [moved(mark, at, 0.0) for mark in drawn]
        at += wide + gap
    return at - gap, marks
