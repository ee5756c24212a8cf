"""Tablature as drawn."""

from __future__ import annotations

from fractions import Fraction

from groove.handout.drawing.page import Line, Text, ink_box
from groove.handout.drawing.tab import draw_tab, tab_size
from groove.instrument.fretboard import Place
from tests.handout.drawing.drawing_material import texts_apart
from tests.instrument.fret_material import GUITAR


def test_drawn_tablature_has_each_fret_on_its_string() -> None:
    columns = [[Place(6, 12)], [Place(1, 0), Place(3, 11)]]
    under = [("A7", ["b3", "5"]), ("E7", ["b6", "1!"])]
    lengths = [Fraction(1), Fraction(1, 3)]
    marks = draw_tab(GUITAR, columns, x=0, y=0, lengths=lengths, under=under)
    levels = sorted({m.y1 for m in marks if isinstance(m, Line) and m.y1 == m.y2})
    frets = [m for m in marks if isinstance(m, Text) and m.face == "bold" and m.text.isdigit()]
    found = [(min(range(6), key=lambda n: abs(levels[n] - m.y)) + 1, m.text) for m in frets]
    assert found == [(6, "12"), (1, "0"), (3, "11")]
    assert texts_apart(marks)
    wide, high = tab_size(GUITAR, 2, lengths=lengths, under=under)
    boxes = [box for box in map(ink_box, marks) if box]
    assert max(box.right for box in boxes) <= wide + 0.2
    assert max(box.bottom for box in boxes) <= high + 0.2
    assert min(box.top for box in boxes) >= -0.2


def test_note_that_clashes_stands_out_by_its_mark_and_in_bold() -> None:
    marks = draw_tab(GUITAR, [[Place(1, 0)], [Place(1, 3)]], x=0, y=0, under=[("", ["7!", "1"])])
    faces = {mark.text: mark.face for mark in marks if isinstance(mark, Text)}
    assert (faces["7!"], faces["1"]) == ("bold", "regular")
