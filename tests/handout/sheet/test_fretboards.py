"""Fretboards on a sheet."""

import pytest

from groove.handout.drawing.page import PAPERS
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.neck_words import alike, position_title
from groove.handout.sheet.pages import sheet_pages
from tests.handout.sheet.sheet_material import sheet, texts


@pytest.mark.parametrize("form", ["twelve-bar", "jazz-twelve-bar", "minor-twelve-bar"])
def test_blues_shows_its_scale_in_five_positions_with_the_blue_note_marked(form: str) -> None:
    made = sheet(form)
    (five,) = [places for choice, _, places in made.scales if choice.scale == "blues"]
    assert len(five) == 5
    blue = {dot.degree for place in five for dot in place.dots if dot.role == "blue"}
    assert blue == {"b5"}
    words = " ".join(mark.text for page in sheet_pages(made, PAPERS["a4"]) for mark in texts(page))
    assert "pass through, don't rest on it" in words
    assert [drawn["scale"] for drawn in sheet_data(made)["other_scales"]] == ["blues"]


def test_positions_of_many_chords_are_drawn_once_for_each_quality_with_the_frets_of_all() -> None:
    made = sheet("rhythm-changes")
    groups = [[name for name, _ in group] for group in alike(made)]
    assert groups == [["B♭6", "E♭6"], ["G7", "F7", "B♭7", "D7", "C7"], ["Cm7", "Fm7"], ["E°7"]]
    words = " ".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    for name, chord in (pair for group in alike(made) for pair in group[1:]):
        places = ", ".join(position_title(position) for position in chord.five)
        assert f"{name}, the shapes of " in words
        assert places in words
