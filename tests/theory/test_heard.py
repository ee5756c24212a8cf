"""The chord that a slash chord is heard as. Source: common practice."""

import pytest
from hypothesis import given

from groove.theory.chords import Chord, parse_chord
from groove.theory.heard import heard
from groove.theory.pitch import NoteName
from tests.theory.chord_material import CHORDS


@pytest.mark.parametrize(
    ("written", "sounds"),
    [
        ("Db/Eb", "Eb9sus4"), ("F/G", "G9sus4"), ("C/D", "D9sus4"), ("A/B", "B9sus4"),
        ("Dm7/G", "G9sus4"), ("Fmaj7/G", "G13sus4"), ("Am/D", "D7sus2"), ("Bm7b5/E", "E7sus4b9"),
        ("Em/C", "Cmaj7"), ("C/A", "Am7"), ("Am/F#", "F#m7b5"), ("Bdim/G", "G7"),
        ("Em7/C", "Cmaj9"), ("Cmaj7/A", "Am9"), ("Bm7b5/G", "G9"),
        ("C/E", "C/E"), ("D7/F#", "D7/F#"), ("G7/F", "G7/F"), ("G/C", "G/C"), ("C/Db", "C/Db"),
        ("C7/Bb", "C7/Bb"), ("G/F", "G7/F"), ("D/C", "D7/C"), ("Am/G", "Am7/G"),
        ("Am/G#", "Am(maj7)/G#"), ("C/B", "Cmaj7/B"), ("Bdim/A", "Bm7b5/A"),
    ],
)  # fmt: skip
def test_slash_chord_is_heard_from_its_bass_where_that_is_a_root(written: str, sounds: str) -> None:
    assert str(heard(parse_chord(written))) == sounds


@pytest.mark.parametrize("fifths", range(-6, 7))
def test_triad_over_the_note_a_whole_step_above_is_a_suspended_dominant(fifths: int) -> None:
    found = heard(parse_chord("F/G").transposed(fifths))
    assert found == parse_chord("G9sus4").transposed(fifths)
    assert found.quality.is_dominant


@given(CHORDS)
def test_chord_over_its_own_tone_is_heard_as_it_is_written(chord: Chord) -> None:
    for note in chord.notes:
        turned = Chord(chord.root, chord.quality, note)
        assert heard(turned) == turned


@given(CHORDS)
def test_heard_chord_stands_on_the_bass_and_holds_every_tone_but_that_of_its_fifth(
    chord: Chord,
) -> None:
    for fifths in range(-5, 7):
        bass = NoteName(fifths)
        whole = heard(Chord(chord.root, chord.quality, bass))
        if whole.bass is None and whole.root == bass:
            sounding = {n.pitch_class for n in (*chord.notes, bass)}
            own = {n.pitch_class for n in whole.notes}
            assert sounding <= own
            spare = {(bass.pitch_class + step) % 12 for step in (2, 7)}
            assert own - sounding <= spare
