"""Marks, their boxes, and the files made of them."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.handout.drawing.faces import SYMBOLS, face, settable
from groove.handout.drawing.page import (
    PAPERS,
    Box,
    Circle,
    Glyph,
    Line,
    Page,
    Polygon,
    Rect,
    Text,
    fitted,
    ink_box,
    text_width,
)
from groove.handout.drawing.pdf import pdf
from groove.handout.drawing.svg import svg

NAMES = ["regular", "bold", "italic"]
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


@given(st.text("ABCdefg ♭♯♮7°", max_size=8), st.text("xyz/09", max_size=8))
def test_texts_side_by_side_are_as_wide_as_both(first: str, second: str) -> None:
    both = text_width(first + second, 12)
    assert both == pytest.approx(text_width(first, 12) + text_width(second, 12))


@pytest.mark.parametrize("name", NAMES)
def test_figures_are_as_wide_as_each_other(name: str) -> None:
    assert len({text_width(figure, 10, name) for figure in "0123456789"}) == 1


@pytest.mark.parametrize("name", NAMES)
def test_text_faces_have_the_signs_of_music(name: str) -> None:
    assert all(sign in face(name).characters for sign in "♭♮♯°–…→")


def test_music_face_has_every_symbol() -> None:
    assert set(map(chr, SYMBOLS.values())) <= set(face("music").characters)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_anchor_says_where_x_stands(anchor: str) -> None:
    box = ink_box(Text(100, 50, "HIH", 20, "regular", anchor))
    assert box
    near = {"start": box.left, "middle": (box.left + box.right) / 2, "end": box.right}[anchor]
    assert near == pytest.approx(100, abs=0.5)


def test_capital_stands_on_the_baseline() -> None:
    box = ink_box(Text(0, 50, "H", 72))
    assert box
    assert box.bottom == pytest.approx(50)
    assert 50 - box.top == pytest.approx(0.67 * 25.4, abs=0.1)  # the face's capital height


def test_space_inks_nothing() -> None:
    assert ink_box(Text(0, 0, "  ", 12)) is None


def test_touching_boxes_do_not_overlap() -> None:
    assert not Box(0, 0, 1, 1).overlaps(Box(1, 0, 2, 1))
    assert Box(0, 0, 1, 1).overlaps(Box(0.9, 0.9, 2, 2))


@given(st.text(max_size=40), st.floats(5, 60))
def test_fitted_text_is_no_wider_than_its_room(text: str, room: float) -> None:
    assert text_width(fitted(text, room, 12), 12) <= room


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=20))
def test_settable_text_has_a_glyph_for_all_but_boxes(text: str) -> None:
    has = face("regular").characters
    assert all(c in has or c == "□" for c in settable(text))


def test_svg_is_well_formed_and_says_what_it_shows() -> None:
    root = ET.fromstring(svg(PAGE))
    names = {"svg": "http://www.w3.org/2000/svg"}
    assert root.findtext("svg:title", namespaces=names) == "A page"
    assert root.findtext("svg:desc", namespaces=names) == "B♭7 then F♯m"
    assert root.get("viewBox") == "0 0 210 297"


def test_svg_defines_each_glyph_once() -> None:
    root = ET.fromstring(svg(PAGE))
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    uses = {
        element.get("{http://www.w3.org/1999/xlink}href", "")[1:]
        for element in root.iter("{http://www.w3.org/2000/svg}use")
    }
    assert len(ids) == len(set(ids))
    assert uses == set(ids) - {"title", "words"}


@pytest.mark.parametrize("writer", [svg, lambda page: pdf([page, page])], ids=["svg", "pdf"])
def test_same_page_gives_the_same_bytes(writer) -> None:  # type: ignore[no-untyped-def]
    assert writer(PAGE) == writer(PAGE)
