"""The faces: characters they have, and those they lack."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.handout.drawing.faces import SYMBOLS, face, lacking, settable

NAMES = ["regular", "bold", "italic"]


@pytest.mark.parametrize("name", NAMES)
def test_figures_are_as_wide_as_each_other(name: str) -> None:
    assert len({face(name).glyph(figure).advance for figure in "0123456789"}) == 1


@pytest.mark.parametrize("name", NAMES)
def test_text_faces_have_the_signs_of_music(name: str) -> None:
    assert all(sign in face(name).characters for sign in "♭♮♯°–…→")


def test_music_face_has_every_symbol() -> None:
    assert set(map(chr, SYMBOLS.values())) <= set(face("music").characters)


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
def test_settable_text_has_a_glyph_for_all_but_boxes(text: str) -> None:
    has = face("regular").characters
    assert all(c in has or c == "□" for c in settable(text))


def test_letter_stands_without_the_marks_that_the_face_lacks() -> None:
    assert settable("Ǎveiro, Žluťoučký") == "Aveiro, Žluťoučký"
    assert settable("C\N{COMBINING CEDILLA}a") == "Ça"


def test_characters_that_have_no_glyph_are_named_once() -> None:
    assert lacking("夜のバスの夜") == "夜のバス"
    assert lacking("B♭7 → Ǎ") == ""
    assert lacking("□") == ""


def test_box_stands_for_a_character_that_the_face_lacks() -> None:
    box = face("regular").glyph("夜")
    assert box.box
    assert box == face("regular").glyph("の")
    assert box != face("regular").glyph("n")


def test_space_has_a_width_and_no_ink() -> None:
    space = face("regular").glyph(" ")
    assert space.advance > 0
    assert (space.box, space.outline) == (None, "")
