"""Tablature as text."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.instrument.fretboard import Place, read_tuning
from groove.instrument.tablature import tablature
from tests.instrument.fret_material import GUITAR

columns = st.lists(
    st.dictionaries(st.integers(1, 6), st.integers(0, 24), min_size=1, max_size=3).map(
        lambda held: [Place(string, fret) for string, fret in held.items()]
    ),
    min_size=1,
    max_size=10,
)


@given(columns)
def test_tablature_reads_back_string_by_string(played: list[list[Place]]) -> None:
    lines = tablature(GUITAR, played).splitlines()
    for string, line in enumerate(lines, 1):
        frets = [int(word) for word in line.split("|")[1].split("-") if word]
        assert frets == [p.fret for column in played for p in column if p.string == string]


@given(columns)
def test_lines_are_of_one_length_and_columns_start_together(played: list[list[Place]]) -> None:
    lines = tablature(GUITAR, played).splitlines()
    assert len({len(line) for line in lines}) == 1
    starts = [iter([m.start() for m in re.finditer(r"\d+", line)]) for line in lines]
    for column in played:
        assert len({next(starts[place.string - 1]) for place in column}) == 1


def test_marks_stand_under_their_columns() -> None:
    text = tablature(
        GUITAR, [[Place(6, 10)], [Place(5, 7)]], under=[("", ["root", "b3"])]
    ).splitlines()
    assert text[-1].index("root") == text[5].index("10")
    assert text[-1].index("b3") == text[4].index("7")


def test_strings_are_named_by_the_tuning() -> None:
    text = tablature(read_tuning("Eb2 Ab2 Db3"), [[Place(1, 0)]])
    assert [line.split()[0] for line in text.splitlines()] == ["Db", "Ab", "Eb"]


def test_two_notes_on_one_string_are_refused() -> None:
    with pytest.raises(ValueError, match="two notes on one string"):
        tablature(GUITAR, [[Place(1, 2), Place(1, 3)]])


def test_lengths_stand_over_their_columns_and_every_line_has_its_label() -> None:
    columns = [[Place(6, 10)], [Place(5, 7)]]
    text = tablature(GUITAR, columns, over=["1/2", "2"], under=[("F#m7", ["1", "3"])])
    head, *lines = text.splitlines()
    assert head.index("1/2") == lines[5].index("10")
    assert head.index("2", head.index("1/2") + 3) == lines[4].index("7")
    assert lines[6].startswith("F#m7")
    assert lines[6].index("3") == lines[4].index("7")
