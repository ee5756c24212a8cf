"""Levels and places of players in a form file."""

from __future__ import annotations

from typing import Any

import pytest

from groove.form.build import FormError
from groove.form.road.mix_fields import read_levels, read_places
from tests.form.road_material import arranged


def test_levels_are_decibels_by_player() -> None:
    assert read_levels({"bass": 3, "drums": -2.5}) == (("bass", 3.0), ("drums", -2.5))


@pytest.mark.parametrize(
    ("written", "place"),
    [("left 30", -30), ("Left", -100), ("middle", 0), ("right  100", 100), (-45, -45), (12.4, 12)],
)
def test_a_place_is_written_in_words_or_as_a_number(written: Any, place: int) -> None:
    assert read_places({"bass": written}) == (("bass", place),)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"levels": {"bass": 7}}, "bass: found '7'; -12 to 6 dB"),
        ({"levels": {"bass": "loud"}}, "bass: found 'loud', which is no number; -12 to 6 dB"),
        ({"levels": {"bas": 1}}, "found 'bas'; did you mean bass?"),
        ({"levels": 3}, "found '3'; write { bass = 3, drums = -2 }"),
        ({"levels": {}}, "write { bass = 3, drums = -2 }"),
        ({"places": {"guitar": "left 120"}}, 'write "left 30", "middle", "right 100"'),
        ({"places": {"guitar": "middle 20"}}, "guitar: found 'middle 20'"),
        ({"places": {"guitar": 101}}, "guitar: found '101'"),
        ({"places": {"guitar": True}}, "guitar: found 'True'"),
        ({"places": {"harp": 10}}, "found 'harp'; "),
    ],
)
def test_what_can_not_be_read_is_said(fields: dict[str, Any], words: str) -> None:
    with pytest.raises(FormError) as error:
        arranged(chords="| C7 |", **fields)
    assert words in str(error.value)


def test_they_stand_for_the_whole_form_only() -> None:
    sections = [{"name": "A", "chords": "| C7 |", "levels": {"bass": 3}}]
    with pytest.raises(FormError, match="fields of the whole form stand above"):
        arranged(sections=sections)
