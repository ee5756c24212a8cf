"""The parts of a sheet before they are laid out."""

import pytest

import groove
from groove.handout.chart.written import write_chart
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.request import Request
from groove.library import names
from tests.handout.sheet.sheet_material import sheet


def test_names_on_a_drawn_scale_are_those_of_the_text() -> None:
    made = write_sheet(groove.read_form("twelve-bar", key="F"), Request(dots="names"))
    for choice, material, _ in made.scales:
        assert {tone.name for tone in material.tones} == {str(name) for name in choice.notes}


@pytest.mark.parametrize("instrument", ["guitar", "bass", "ukulele"])
def test_double_stops_lie_under_the_hand_or_a_stretch_away(instrument: str) -> None:
    made = sheet("i-v-vi-iv", instrument=instrument)
    assert made.tuning
    for chord in made.on_neck:
        hand = chord.under_hand.fret
        frets = [place.fret for stop in chord.stops for place in stop.places]
        assert all(hand - 1 <= fret <= hand + made.tuning.reach for fret in frets)


def test_scale_over_a_slash_chord_has_the_note_in_the_bass() -> None:
    """C major has no B♭ to play over a B♭ in the bass; common practice."""
    sheet = write_sheet(groove.read_form("twelve-bar", key="C", chords="I I/b7 IV/3 iv6"))
    entry = next(c for c in sheet.guide.chords if str(c.chord) == "C/Bb")
    assert "C mixolydian" in [choice.title for choice in entry.choices]
    assert "C major" not in [choice.title for choice in entry.choices]


@pytest.mark.parametrize("form", names("forms"))
def test_its_chart_has_the_ending_that_the_track_plays(form: str) -> None:
    read = groove.read_form(form)
    assert write_sheet(read).chart == write_chart(read)
