"""Blocks set one under another on pages."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.handout.drawing.flow import (
    FOOT,
    MARGIN,
    Block,
    beside,
    broken,
    explained,
    heading,
    numbered,
    paragraph,
    placed_on_pages,
    row,
    stacked,
)
from groove.handout.drawing.page import PAPERS, Mark, Page, Rect, Text, text_width

A4 = PAPERS["a4"]
LOWEST = A4.height - FOOT


def block(height: float, words: str = "", **values: float) -> Block:
    """A block drawn as an empty box of its height."""
    return Block(height, lambda x, y: [Rect(x, y, 10, height)], words, **values)  # type: ignore[arg-type]


def tops(marks: Sequence[Mark]) -> list[tuple[float, float]]:
    return [(mark.x, mark.y) for mark in marks if isinstance(mark, Rect)]


@given(st.lists(st.sampled_from(["a", "gig", "ferry", "landing,", "—", "x" * 90]), max_size=60))
def test_words_are_broken_into_lines_that_fit_and_none_is_lost(words: list[str]) -> None:
    half = len(words) // 2
    runs = [(" ".join(part), face) for part, face in
            ((words[:half], "regular"), (words[half:], "bold"))]  # fmt: skip
    lines = broken(runs, 80.0, 10.5)
    for line in lines:
        assert sum(text_width(text.rstrip(), 10.5, face) for text, face in line) <= 80 + 3
    set_ = "".join(text for line in lines for text, _ in line).split()
    assert len(set_) == len([word for word in words if word])
    short = [word for word in words if len(word) < 90]
    assert [word for word in set_ if not word.endswith("…")] == short


def test_paragraph_is_as_high_as_its_lines_and_indented() -> None:
    one, two = (paragraph("Practise slowly. " * n, 60.0, indent=5.0) for n in (1, 3))
    lines = [mark for mark in two.draw(10.0, 20.0) if isinstance(mark, Text)]
    assert two.height == pytest.approx(len(lines) * one.height)
    assert {mark.x for mark in lines} == {15.0}
    assert [mark.y - 20 for mark in lines] == pytest.approx(
        [0.74 * 10.5 * 25.4 / 72 + n * one.height for n in range(len(lines))]
    )
    assert two.words == "Practise slowly. " * 3


def test_blocks_stand_under_each_other_with_their_gaps_inside_the_page() -> None:
    ((first, second, third),) = placed_on_pages([block(20), block(30, gap=5), block(10, gap=2)], A4)
    assert second[0] == first[0] + 25
    assert third[0] == second[0] + 32
    assert first[0] > MARGIN


def test_full_page_is_followed_by_another_that_begins_without_a_gap() -> None:
    pages = placed_on_pages([block(50, gap=4)] * 7, A4)
    assert [len(page) for page in pages] == [4, 3]
    assert pages[0][0][0] == pages[1][0][0]
    assert all(y + each.height <= LOWEST for page in pages for y, each in page)


def test_blocks_begin_under_what_is_on_the_first_page_already() -> None:
    ((y, _),) = placed_on_pages([block(20, gap=3)], A4, begun=100.0)[0]
    assert y == 103


def test_heading_never_stands_last_on_a_page() -> None:
    for filled in range(150, 250):
        blocks = [block(float(filled)), heading("Scales", 170), block(30), block(30)]
        for page in placed_on_pages(blocks, A4):
            assert not page[-1][1].heads


def test_blocks_that_belong_together_go_on_to_the_next_page_if_this_one_is_nearly_full() -> None:
    pages = placed_on_pages([block(200), block(40, keep=True), block(40)], A4)
    assert [len(page) for page in pages] == [1, 2]


def test_blocks_that_belong_together_are_parted_where_too_much_of_a_page_would_stay_empty() -> None:
    pages = placed_on_pages([block(100), *[block(60, keep=True)] * 3], A4)
    assert [len(page) for page in pages] == [3, 1]


def test_column_at_the_left_moves_the_blocks_beside_it_and_makes_room() -> None:
    left, first, second = block(50, "left"), block(20, "first"), block(10, "second", gap=2)
    made = beside(left, [first, second], 40.0, gap=7.0)
    assert [each.height for each in made] == [38, 10]
    assert tops(made[0].draw(10, 0)) == [(10, 0), (50, 0)]
    assert tops(made[1].draw(10, 0)) == [(50, 0)]
    assert (made[0].words, made[0].gap, made[0].keep) == ("left first", 7, True)
    assert beside(block(5), [first], 40.0, gap=7.0)[0].height == 20


def test_stacked_blocks_are_one_with_gaps_between_them() -> None:
    made = stacked([block(10, "one", gap=9), block(20, "two", gap=3), block(5)])
    assert (made.height, made.words) == (38, "one two")
    assert tops(made.draw(1, 2)) == [(1, 2), (1, 15), (1, 35)]


def test_drawings_side_by_side_take_as_many_rows_as_they_need() -> None:
    cell = (40.0, 20.0, lambda x, y: [Rect(x, y, 40, 20)], "a")
    made = row([cell] * 5, 132.0)
    assert [len(tops(each.draw(0, 0))) for each in made] == [3, 2]
    assert tops(made[0].draw(10, 5)) == [(10, 5), (56, 5), (102, 5)]
    assert [each.height for each in made] == [20, 20]
    assert made[1].words == "a; a"


def test_pages_are_numbered_at_the_foot_once() -> None:
    pages = [Page(A4, (Text(20, 20, "Scales", 12),), "Ferry")] * 2
    once = numbered(pages, 10.0)
    twice = numbered(once, 10.0)
    for number, page in enumerate(twice, 1):
        words, said = page.marks
        assert isinstance(words, Text)
        assert isinstance(said, Text)
        assert (words.text, said.text) == ("Scales", f"{number} of 2")
        assert (said.x, said.y, said.anchor) == (105, 287, "middle")
    assert once[1].title == "Ferry, page 2"


def test_what_explains_drawings_stands_on_each_of_their_pages() -> None:
    drawing = block(60.0, "drawing")
    key = block(8.0, "legend", gap=2.0)
    made = explained([heading("Necks", 170.0), *[drawing] * 9], key)
    found = placed_on_pages(made, A4)
    assert len(found) == 3
    for page in found:
        y, last = page[-1]
        assert last.words.endswith("legend")
        assert y + last.height <= LOWEST
        assert sum("legend" in block.words for _, block in page) == 1
