"""The practice page's fingerings are those of the lesson sheet."""

from __future__ import annotations

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.handout.practice.necks import necks, on_the_neck
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.request import Request
from groove.theory.keys import twelve_keys


@pytest.mark.parametrize("name", ["twelve-bar", "minor-twelve-bar", "i-vi-iv-v", "one-chord-vamp"])
@pytest.mark.parametrize("instrument", ["guitar", "bass", "mandolin"])
def test_the_usual_position_is_that_of_the_lesson_sheet(name: str, instrument: str) -> None:
    form, request = read_form(name), Request(instrument=instrument)
    usual = necks(form, (), request)[instrument]["usual"]
    for number, key in list(enumerate(twelve_keys(form.key)))[::5]:
        sheet = write_sheet(in_key(form, key), request)
        assert usual[number] == on_the_neck(sheet.on_neck[0].under_hand.fret)


def test_a_position_above_the_twelfth_fret_is_the_same_an_octave_lower() -> None:
    assert [on_the_neck(fret) for fret in (1, 5, 12, 13, 14, 24)] == [1, 5, 12, 1, 2, 12]
