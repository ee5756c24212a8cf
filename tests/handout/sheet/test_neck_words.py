"""Sentences and titles for a neck."""

import pytest

from groove.handout.sheet.neck_words import hand_words, position_title, stops_words
from tests.handout.sheet.sheet_material import sheet


def test_bass_has_tenths_and_the_sheet_names_only_the_intervals_it_shows() -> None:
    assert "thirds, sixths and tenths." in stops_words(sheet(instrument="bass"))
    assert "thirds and sixths." in stops_words(sheet(instrument="guitar"))


@pytest.mark.parametrize("position", [None, 5])
def test_words_on_the_hand_say_where_a_finger_stretches(position: int | None) -> None:
    made = sheet("twelve-bar", position=position)
    words = hand_words(made)
    hand = made.on_neck[0].under_hand.fret
    lowest = min(chord.under_hand.lowest for chord in made.on_neck)
    assert f"The hand stays at fret {hand}:" in words
    assert ("reaches back one fret" in words) == (0 < lowest < hand)


def test_titles_of_positions_name_the_frets_that_are_drawn() -> None:
    for chord in sheet("rhythm-changes").on_neck:
        for position in chord.five:
            frets = [dot.fret for dot in position.dots]
            assert position_title(position) == (
                f"{position.number} · frets {min(frets)}–{max(frets)}"
            )
