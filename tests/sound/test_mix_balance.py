"""The mix of a band, heard part by part: what stands where, and how loud.

TimGM6mb, which comes with the Python dependencies, is the soundfont that every machine has.
"""

from __future__ import annotations

from functools import cache

import pytest

from groove import library
from groove.band.patterns import pattern
from groove.sound.soundfonts import find_soundfont
from tests.sound.mix_material import PARTS, Heard, hear, usual_form

CENTRE = 64
HANDFUL = ("shuffle", "medium-swing", "bossa", "sixteenth-funk")


@cache
def heard(drums: str) -> Heard:
    return hear(usual_form(drums), find_soundfont(None, {}, []).path)


@pytest.mark.parametrize("kind", ["drums", "bass"])
def test_drums_and_bass_are_set_in_the_middle(kind: str) -> None:
    assert {pattern(kind, name).options["mix"]["pan"] for name in library.names(kind)} == {CENTRE}


def test_comping_is_set_to_a_side_but_not_all_the_way() -> None:
    names = library.names("comping")
    places = {pattern("comping", name).options["mix"]["pan"] - CENTRE for name in names}
    assert all(10 <= abs(place) <= 32 for place in places)


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_the_bass_sounds_from_the_middle(drums: str) -> None:
    assert abs(heard(drums).side("bass")) < 1


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_the_comping_sounds_from_one_side(drums: str) -> None:
    assert 2 < heard(drums).side("comping") < 9


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_left_and_right_go_together(drums: str) -> None:
    assert heard(drums).correlation > 0


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
@pytest.mark.parametrize("part", PARTS)
def test_no_part_loses_more_than_3_db_in_mono(drums: str, part: str) -> None:
    assert heard(drums).lost_in_mono(part) < 3


@pytest.mark.slow
@pytest.mark.parametrize("drums", HANDFUL)
def test_the_comping_is_a_little_quieter_than_drums_and_bass(drums: str) -> None:
    """By 1 to 5 LU, to be heard and to leave the front to a soloist (common practice)."""
    band = heard(drums)
    others = (band.loudness("drums") + band.loudness("bass")) / 2
    assert 1 < others - band.loudness("comping") < 5
