"""Sentences about a solo say what is in it."""

from groove.form.read import read_form
from groove.instrument.fretboard import read_tuning
from groove.lesson.solo.make import example_solo
from groove.lesson.solo.words import solo_words

GUITAR = read_tuning("guitar")


def test_they_name_the_motif_the_peak_the_five_and_the_end() -> None:
    form = read_form("twelve-bar", key="A", seed=1)
    said = solo_words(form, example_solo(form, GUITAR))
    assert said[0].startswith("The motif of bar 1 comes back in bar")
    assert said[1].startswith("The highest note is")
    assert "E major pentatonic" in said[2]
    assert said[3].startswith("It comes home to A")


def test_a_second_chorus_has_the_other_pentatonic_of_the_five() -> None:
    form = read_form("twelve-bar", key="A", seed=1, choruses=2)
    said = solo_words(form, example_solo(form, GUITAR, round=1), round=1)
    assert any("has E minor pentatonic" in sentence for sentence in said)
