"""Streams of notes come back from their text as they were, and a key costs what differs in it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from groove.handout.practice.streams import Row, difference, packed, rows_of, unpacked, whole

NUMBERS = st.integers(-100_000, 100_000)
ROWS = st.lists(st.tuples(*[st.integers(-4, 4)] * 5), max_size=12).map(
    lambda rows: tuple(sorted(rows))
)


@given(st.lists(NUMBERS))
def test_whole_numbers_come_back_from_their_text(numbers: list[int]) -> None:
    text = packed(numbers)
    assert list(unpacked(text)) == numbers
    assert not set(text) & set('"\\<')  # as it stands in JSON in HTML


@given(ROWS)
def test_a_whole_stream_comes_back(rows: tuple[Row, ...]) -> None:
    assert rows_of([whole(rows)], 0) == rows


@given(ROWS, ROWS, st.integers(-6, 6))
def test_a_stream_comes_back_from_its_difference_to_any_other(
    home: tuple[Row, ...], rows: tuple[Row, ...], semitones: int
) -> None:
    assert rows_of([whole(home), difference(rows, home, 0, semitones)], 1) == rows


def test_a_stream_that_is_only_moved_costs_nothing() -> None:
    home = tuple((480 * n, 400, 40 + n % 7, 80, n) for n in range(100))
    moved = tuple((tick, length, pitch + 5, *rest) for tick, length, pitch, *rest in home)
    assert difference(moved, home, 0, 5) == [0, 5, ""]
    changed = (*moved[:50], (*moved[50][:3], 90, 0), *moved[51:])
    assert len(str(difference(changed, home, 0, 5)[2])) < 12
