"""Keyboards as drawn."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.handout.drawing.keyboard import draw_keyboard, keyboard_size
from groove.handout.drawing.page import Text, ink_box
from groove.instrument.keyboard import keys
from groove.instrument.material import Material, scale
from tests.handout.drawing.drawing_material import texts_apart
from tests.instrument.fret_material import materials


@given(materials, st.sampled_from(["degree", "name"]))
def test_keyboard_texts_are_apart_and_within(material: Material, label: str) -> None:
    marks = draw_keyboard(keys(material), x=0, y=0, label=label, title="C")
    wide, high = keyboard_size("C")
    assert texts_apart(marks)
    for box in filter(None, map(ink_box, marks)):
        assert box.left >= -0.3
        assert box.right <= wide + 0.3
        assert box.bottom <= high + 0.3


def test_keyboard_dots_lie_on_their_keys() -> None:
    marks = draw_keyboard(keys(scale("C", "major")), x=0, y=0, label="name")
    xs = [mark.x for mark in marks if isinstance(mark, Text) and mark.face == "bold"]
    width = keyboard_size()[0] / 14
    assert xs == pytest.approx([width * (n + 0.5) for n in range(14)])


def test_keyboard_may_begin_with_an_f() -> None:
    marks = draw_keyboard(keys(scale("C", "major"), 53), x=0, y=0, lowest=53)
    xs = [mark.x for mark in marks if isinstance(mark, Text) and mark.face == "bold"]
    width = keyboard_size()[0] / 14
    assert xs == pytest.approx([width * (n + 0.5) for n in range(14)])
    cs = [mark.text for mark in marks if isinstance(mark, Text) and mark.text.startswith("C")]
    assert cs == ["C4", "C5"]


def test_unknown_label_is_an_error_that_names_the_known() -> None:
    with pytest.raises(GrooveError, match=r"'names' is not known.*name"):
        draw_keyboard(keys(scale("A", "major")), x=0, y=0, label="names")
