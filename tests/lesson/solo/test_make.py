"""Solos, answers and licks as lines."""

from groove.form.read import read_form
from groove.instrument.fretboard import read_tuning
from groove.lesson.solo.make import answers, example_solo, licks

GUITAR = read_tuning("guitar")
BLUES = read_form("twelve-bar")


def test_the_same_form_gives_the_same_solo() -> None:
    assert example_solo(BLUES, GUITAR) == example_solo(BLUES, GUITAR)


def test_places_sound_their_pitches() -> None:
    lines = [example_solo(BLUES, GUITAR), answers(BLUES, GUITAR), *licks(BLUES, GUITAR)]
    for line in lines:
        assert line.notes
        for note in line.notes:
            assert note.place
            assert GUITAR.pitch(note.place) == note.pitch


def test_there_is_a_lick_for_each_of_the_five_positions() -> None:
    assert len({line.position for line in licks(BLUES, GUITAR)}) == 5
