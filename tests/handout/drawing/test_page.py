"""Marks on a page: widths, places and boxes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.handout.drawing.page import (
    Box,
    Circle,
    Glyph,
    Line,
    Mark,
    Polygon,
    Rect,
    Text,
    ascent,
    descent,
    fitted,
    glyph_width,
    ink_box,
    inverted,
    scaled,
    text_width,
)
from groove.handout.drawing.raster import coverage


@given(st.text("ABCdefg ♭♯♮7°", max_size=8), st.text("xyz/09", max_size=8))
def test_texts_side_by_side_are_as_wide_as_both(first: str, second: str) -> None:
    both = text_width(first + second, 12)
    assert both == pytest.approx(text_width(first, 12) + text_width(second, 12))


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


@pytest.mark.parametrize("size", [9.0, 18.0])
def test_face_rises_and_reaches_down_with_its_size(size: float) -> None:
    box = ink_box(Text(0, 0, "Ågj", size))
    assert box
    assert -box.top <= ascent(size)
    assert 0 < box.bottom <= descent(size)
    assert ascent(2 * size) == pytest.approx(2 * ascent(size))


def test_box_of_a_sign_is_as_wide_as_the_sign_and_round_its_origin() -> None:
    head = ink_box(Glyph(50, 20, "black notehead", 2))
    assert head
    assert (head.left, head.top, head.bottom) == pytest.approx((50, 19, 21), abs=0.1)
    assert head.right - head.left == pytest.approx(glyph_width("black notehead", 2), abs=0.1)


def test_boxes_hold_outlines_and_half_the_weight_of_lines() -> None:
    assert ink_box(Line(5, 9, 1, 2, 2.0)) == Box(0, 1, 6, 10)
    assert ink_box(Rect(1, 2, 10, 5, None, 2.0)) == Box(0, 1, 12, 8)
    assert ink_box(Circle(10, 20, 3, None, 2.0)) == Box(6, 16, 14, 24)
    assert ink_box(Polygon(((1, 2), (4, 9), (3, 0)))) == Box(1, 0, 4, 9)


def test_boxes_beside_and_under_each_other_do_not_overlap() -> None:
    box = Box(0, 0, 2, 2)
    for x, y in ((3, 0), (-3, 0), (0, 3), (0, -3)):
        other = Box(x, y, x + 2, y + 2)
        assert not box.overlaps(other)
        assert not other.overlaps(box)
    assert box.overlaps(Box(-5, 1, 5, 1.5))


MARKS = (
    Line(1, 2, 6, 2, 0.4),
    Rect(2, 3, 4, 5, 1.0, 0.3),
    Circle(12, 6, 2.5, 0.0, 0.4),
    Circle(21, 14, 2.0, None, 0.5),
    Polygon(((16, 3), (19, 4), (17, 8)), 1.0, 0.2),
    Text(3, 12, "B♭7", 14, "bold"),
    Glyph(14, 14, "black notehead", 1.5),
)


@pytest.mark.parametrize("mark", MARKS)
def test_a_mark_grows_from_the_corner_with_its_lines(mark: Mark) -> None:
    before, after = ink_box(mark), ink_box(scaled(mark, 2.5, 3.0, 4.0))
    assert before
    assert after
    assert (after.left, after.right) == pytest.approx((
        before.left * 2.5 + 3, before.right * 2.5 + 3,
    ))  # fmt: skip
    assert (after.top, after.bottom) == pytest.approx((
        before.top * 2.5 + 4, before.bottom * 2.5 + 4,
    ))  # fmt: skip


def test_inverted_marks_over_black_are_the_negative_of_the_marks_over_white() -> None:
    """As pypdfium2 draws both; the edges of shapes differ by what is rounded in them."""
    numpy, _ = pytest.importorskip("numpy"), pytest.importorskip("pypdfium2")
    size = 24.0, 18.0, (480, 360)
    plain = coverage(MARKS, *size).astype(int)
    ground = Rect(0, 0, 24, 18, 1.0, 0.0)
    turned = [each for mark in MARKS for each in inverted(mark)]
    negative = 255 - coverage([ground, *turned], *size).astype(int)
    assert numpy.mean(plain > 127) > 0.05
    assert numpy.mean(abs(plain - negative) > 64) < 0.001
