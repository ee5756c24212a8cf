"""Lengths as written notes."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21.duration import Duration

from groove.handout.drawing.note_values import Value, draw_values, row_height, value
from groove.handout.drawing.page import Glyph, Line, Text, ink_box

LENGTHS = st.builds(Fraction, st.integers(1, 48), st.sampled_from([1, 2, 3, 4, 6, 8, 12, 16]))
HEADS = {"whole": "whole notehead", "half": "half notehead"}
FLAGS = {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4}


def sounding(found: Value) -> Fraction:
    """The length of a written note in quarters, worked out from what is drawn."""
    heads = {"whole notehead": 4, "half notehead": 2, "black notehead": 1}
    length = Fraction(heads[found.head], 2**found.flags) * (2 - Fraction(1, 2**found.dots))
    return length * Fraction(2, 3) if found.triplet else length


@given(LENGTHS)
def test_written_note_lasts_as_long_as_was_asked(length: Fraction) -> None:
    found = value(length)
    if found:
        assert sounding(found) == length


@pytest.mark.parametrize("length", ["4", "3", "2", "3/2", "1", "7/4", "3/4", "1/2", "1/4", "1/8"])
def test_notes_are_written_as_music21_writes_them(length: str) -> None:
    # Source: general-purpose reference library music21.
    found, theirs = value(Fraction(length)), Duration(Fraction(length))
    assert found
    assert found.head == HEADS.get(theirs.type, "black notehead")
    assert (found.flags, found.dots) == (FLAGS.get(theirs.type, 0), theirs.dots)


def test_length_that_one_note_cannot_say_is_a_figure() -> None:
    assert value(Fraction(5, 4)) is None
    (mark,) = draw_values([Fraction(5, 4)], [10.0], 10.0)
    assert isinstance(mark, Text)
    assert mark.text == "5/4"


def test_three_in_the_time_of_two_have_one_figure_over_them() -> None:
    marks = draw_values([Fraction(1, 3)] * 3 + [Fraction(1)], [5.0, 11.0, 17.0, 23.0], 20.0)
    (figure,) = [mark for mark in marks if isinstance(mark, Text)]
    assert (figure.text, figure.x) == ("3", 11.0)
    assert sum(isinstance(mark, Glyph) for mark in marks) == 4


@given(st.lists(LENGTHS, min_size=1, max_size=6))
def test_notes_keep_within_their_row(lengths: list[Fraction]) -> None:
    middles = [6.0 * (number + 1) for number in range(len(lengths))]
    boxes = [ink_box(mark) for mark in draw_values(lengths, middles, 20.0)]
    assert min(box.top for box in boxes if box) >= 20.0 - row_height(lengths)
    assert max(box.bottom for box in boxes if box) <= 20.0


def test_each_flag_halves_and_hangs_from_the_stem() -> None:
    for flags, length in enumerate(("1", "1/2", "1/4")):
        marks = draw_values([Fraction(length)], [5.0], 20.0)
        assert sum(isinstance(mark, Line) for mark in marks) == 1 + flags
