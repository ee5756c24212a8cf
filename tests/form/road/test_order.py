"""The order of play as text. Source: common practice of charts; the notation is groove's own."""

import pytest

from groove.form.chordline import parse_chords
from groove.form.model import Section
from groove.form.road.order import parse_plays

A = Section("A", parse_chords("I:6"), (parse_chords("V:2"), parse_chords("I:2")))
SECTIONS = (A, Section("Verse 1", parse_chords("I:8")), Section("Tag", parse_chords("V I")))


def read(text: str) -> list[tuple[str, int, int, int]]:
    plays = parse_plays(text, SECTIONS)
    return [(play.section.name, play.first, play.last, play.ending) for play in plays]


def test_sections_follow_in_the_order_that_is_written() -> None:
    assert [name for name, *_ in read("A, Verse 1, Tag, A")] == ["A", "Verse 1", "Tag", "A"]


def test_the_times_of_a_section_count_on_within_a_line() -> None:
    assert [ending for *_, ending in read("A, A, Tag, A")] == [0, 1, 0, 2]


def test_a_part_is_the_first_bars_or_the_last_ones() -> None:
    assert read("A:6, A:-3") == [("A", 0, 6, 0), ("A", 5, 8, 1)]


def test_times_and_ordinals() -> None:
    assert read("Tag x3") == [("Tag", 0, 2, 0), ("Tag", 0, 2, 1), ("Tag", 0, 2, 2)]
    assert read("A 2nd") == [("A", 0, 8, 1)]
    assert read("A:6 2nd x2") == [("A", 0, 6, 1)] * 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("A, X", "no section 'X'"),
        ("A:9", "section A has 8 bars"),
        ("A:0", "section A has 8 bars"),
        ("A 3rd", "time_bars for 2 times"),
        ("Tag 2nd", "no time_bars"),
        ("A x0", "1 to 100 times"),
        ("A,,Tag", "write sections"),
        ("", "write sections"),
    ],
)
def test_what_is_not_in_the_form_is_refused_with_the_remedy(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        parse_plays(text, SECTIONS)


def test_names_are_unique_where_there_is_an_order() -> None:
    with pytest.raises(ValueError, match="two sections are named 'A'"):
        parse_plays("A", (A, A))
