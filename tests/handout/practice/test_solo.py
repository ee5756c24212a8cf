"""The solo of the practice page: in every page, in every key, as example and in turn."""

from __future__ import annotations

from itertools import accumulate
from typing import Any

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.handout.practice.data import page_data
from groove.handout.practice.solo import PLACES, STRINGS
from groove.handout.practice.streams import rows_of, unpacked
from groove.theory.keys import twelve_keys
from groove.track import compile_take
from tests.handout.practice.page_material import data_of

CHOICES = ("example", "answers")


def solo_rows(data: dict[str, Any], key: int, what: str) -> list[tuple[int, ...]]:
    return [tuple(row) for row in rows_of(data["streams"], data["keys"][key]["solo"][what][0])]


def test_every_page_has_both_solos_in_every_key_and_opens_without() -> None:
    data = data_of("straight")
    assert data["solo"] == "off"
    assert data["parts"][-1]["name"] == "solo"
    for key in range(12):
        for what in CHOICES:
            assert solo_rows(data, key, what)
    assert "solo" not in {part for key in data["keys"] for part in key["round"]}


def test_the_example_is_the_same_in_every_chorus_and_answers_are_not() -> None:
    data = data_of("straight")
    chorus = data["bars"] * data["barTicks"]
    found = {
        what: [
            [(row[0] % chorus, row[2]) for row in solo_rows(data, 3, what) if row[0] // chorus == n]
            for n in range(data["choruses"])
        ]
        for what in CHOICES
    }
    assert all(each == found["example"][0] for each in found["example"])
    assert len({tuple(each) for each in found["answers"]}) == data["choruses"]


def test_the_example_is_that_of_the_track_in_each_key() -> None:
    data = page_data(read_form("one-chord-vamp", solo="example"))
    assert data["solo"] == "example"
    form = read_form("one-chord-vamp", solo="example")
    end = data["bars"] * data["barTicks"]
    for number in (1, 6):
        part = compile_take(in_key(form, twelve_keys(form.key)[number])).parts[-1]
        ours = [(row[0], row[2]) for row in solo_rows(data, number, "example") if row[0] < end]
        first = form.count_in * data["barTicks"]
        assert ours == [(n.grid - first, n.pitch) for n in sorted(
            part.notes, key=lambda n: (n.grid, n.pitch)
        )]  # fmt: skip


@pytest.mark.parametrize("what", CHOICES)
def test_gestures_belong_to_notes_of_their_solo(what: str) -> None:
    data = data_of("straight")
    for key in range(12):
        stream, hand, _ = data["keys"][key]["solo"][what]
        numbers = list(unpacked(data["gestures"][hand]))
        assert len(numbers) % 6 == 0
        assert sum(numbers[::6]) < len(rows_of(data["streams"], stream))
        assert set(numbers[1::6]) <= {0, 1, 2, 4}


@pytest.mark.parametrize("what", CHOICES)
def test_each_note_has_its_place_on_the_neck(what: str) -> None:
    data = data_of("straight")
    for key in (0, 5, 11):
        stream, hand, tab = data["keys"][key]["solo"][what]
        rows, places = rows_of(data["streams"], stream), list(unpacked(data["tabs"][tab]))
        assert len(places) == len(rows)
        numbers = list(unpacked(data["gestures"][hand]))
        bent = set(accumulate(numbers[::6]))
        up = {
            pitch - data["tabStrings"][-(place % STRINGS)] - place % PLACES // STRINGS
            for number, ((_, _, pitch, _, _), place) in enumerate(zip(rows, places, strict=True))
            if number not in bent
        }
        assert len(up) == 1  # all in the octave of the instrument that plays
        assert up.pop() % 12 == 0
