"""The practice page's tunings, and the positions in which they show the form's key."""

from __future__ import annotations

import pytest

from groove.form.read import read_form
from groove.handout.practice.necks import necks, on_the_neck
from groove.instrument.fretboard import read_tuning, tunings
from groove.instrument.material import scale
from groove.instrument.positions import positions
from groove.lesson.request import USUAL
from groove.theory.keys import twelve_keys


@pytest.mark.parametrize(
    ("name", "home"),
    [
        ("twelve-bar", "minor pentatonic"),  # the first that the guide names
        ("i-vi-iv-v", "major pentatonic"),
        ("minor-twelve-bar", "minor pentatonic"),
    ],
)
def test_the_five_positions_are_those_of_the_form_s_pentatonic(name: str, home: str) -> None:
    form = read_form(name)
    found = necks(form, USUAL)["tunings"]
    assert list(found) == list(tunings())
    for tuning in ("guitar", "drop-d", "ukulele"):
        for number, key in list(enumerate(twelve_keys(form.key)))[::5]:
            five = positions(read_tuning(tuning), scale(key.tonic, home))
            assert found[tuning]["five"][number] == [on_the_neck(each.fret) for each in five]


def test_a_position_above_the_twelfth_fret_is_the_same_an_octave_lower() -> None:
    assert [on_the_neck(fret) for fret in (1, 5, 12, 13, 14, 24)] == [1, 5, 12, 1, 2, 12]
