"""Voicings for a pianist's left hand."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.band.keys.keys_voicings import TENTH
from groove.instrument.left_hand import is_jazz, left_hands
from groove.theory.chords import Chord, parse_chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from tests.instrument.fret_material import chords

SEVENTHS = st.lists(
    chords.filter(lambda chord: chord.quality.seventh is not None), min_size=1, max_size=5
)
C = Key.parse("C")


def classes(chord: Chord) -> set[int]:
    return {note.pitch_class for note in chord.notes}


@given(SEVENTHS)
def test_shell_is_root_third_and_seventh_within_a_tenth_near_middle_c(form: list[Chord]) -> None:
    for hand in left_hands(form, C, rootless=False):
        pitches = [key.pitch for key in hand.keys]
        guides = {(hand.chord.root + d).pitch_class for d in hand.chord.quality.guide_tones}
        assert {pitch % 12 for pitch in pitches} == guides | {hand.chord.root.pitch_class}
        assert pitches == sorted(pitches)
        assert pitches[-1] - pitches[0] <= TENTH
        assert 48 <= pitches[0] <= pitches[-1] <= 71


@given(SEVENTHS)
def test_rootless_voicing_has_the_guide_tones_and_lies_on_two_octaves(
    form: list[Chord],
) -> None:
    for hand in left_hands(form, C, rootless=True):
        sounding = {key.pitch % 12 for key in hand.keys}
        assert {
            (hand.chord.root + d).pitch_class for d in hand.chord.quality.guide_tones
        } <= sounding
        assert all(48 <= key.pitch <= 71 for key in hand.keys)


@given(st.lists(chords, min_size=1, max_size=5), st.booleans())
def test_every_key_is_named_as_it_sounds(form: list[Chord], rootless: bool) -> None:
    for hand in left_hands(form, C, rootless=rootless):
        for key in hand.keys:
            assert (hand.chord.root.pitch_class + _above(key.degree)) % 12 == key.pitch % 12


def _above(degree: str) -> int:
    plain = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11, 9: 2, 11: 5, 13: 9}[int(degree.strip("b#"))]
    return plain + degree.count("#") - degree.count("b")


@pytest.mark.parametrize(
    ("rootless", "first", "then", "last"),
    [
        (False, "D3 1, C4 b7, F4 b3", "G3 1, B3 3, F4 b7", "C3 1, B3 7, E4 3"),
        (True, "F3 b3, A3 5, C4 b7, E4 9", "F3 b7, A3 9, B3 3, E4 13", "E3 3, G3 5, B3 7, D4 9"),
    ],
)
def test_two_five_one_is_voiced_as_every_teacher_shows_it(
    rootless: bool, first: str, then: str, last: str
) -> None:
    """Common practice: the thirds become sevenths, the sevenths fall to thirds."""
    form = [parse_chord(chord) for chord in ("Dm7", "G7", "Cmaj7")]
    assert [str(hand) for hand in left_hands(form, C, rootless=rootless)] == [first, then, last]


def test_upper_voices_of_a_blues_move_by_a_step_or_two() -> None:
    form = [parse_chord(chord) for chord in ("A7", "D7", "A7", "E7", "D7", "A7")]
    hands = left_hands(form, Key.parse("A"), rootless=True)
    for before, after in pairwise(hands):
        moves = [abs(a.pitch - b.pitch) for a, b in zip(before.keys, after.keys, strict=True)]
        assert sum(moves) / len(moves) <= 2


def test_chord_with_an_altered_ninth_leaves_out_the_root_too() -> None:
    (hand,) = left_hands([parse_chord("G7b9")], Key.parse("Cm"), rootless=True)
    assert {key.degree for key in hand.keys} == {"3", "5", "b7", "b9"}


def test_triads_stay_triads() -> None:
    form = [parse_chord(chord) for chord in ("C", "Am", "F", "G")]
    for hand in left_hands(form, C, rootless=False):
        assert {key.pitch % 12 for key in hand.keys} == classes(hand.chord)


BASSES = st.sampled_from([NoteName(fifths) for fifths in range(-5, 7)])


@given(st.lists(st.tuples(chords, BASSES), min_size=1, max_size=4), st.booleans())
def test_written_bass_of_a_slash_chord_is_the_lowest_key(
    written: list[tuple[Chord, NoteName]], rootless: bool
) -> None:
    """Common practice: the bass line is what a slash chord is written for."""
    form = [replace(chord, bass=bass if bass != chord.root else None) for chord, bass in written]
    for hand in left_hands(form, C, rootless=rootless):
        pitches = [key.pitch for key in hand.keys]
        if hand.chord.bass:
            assert pitches[0] % 12 == hand.chord.bass.pitch_class
            assert not hand.rootless
        assert pitches == sorted(set(pitches))
        assert pitches[-1] - pitches[0] <= TENTH
        assert 48 <= pitches[0] <= pitches[-1] <= 72


def test_bass_line_under_triads_is_heard_in_the_left_hand() -> None:
    """C, G over B, Am, Am over G, F: the line C B A G F; common practice."""
    form = [parse_chord(chord) for chord in ("C", "G/B", "Am", "Am/G", "F", "F/G")]
    hands = left_hands(form, C, rootless=False)
    assert [hand.keys[0].name for hand in hands] == ["C", "B", "A", "G", "F", "G"]
    assert str(hands[-1]) == "G3 1, C4 4, F4 b7"


def test_slash_chord_heard_with_a_seventh_is_jazz() -> None:
    assert is_jazz([parse_chord(chord) for chord in ("Dm7", "F/G", "Cmaj7")], "swing")


def test_form_that_swings_on_sevenths_is_jazz() -> None:
    sevenths = [parse_chord("Dm7"), parse_chord("G7")]
    assert is_jazz(sevenths, "swing")
    assert not is_jazz(sevenths, "shuffle")
    assert not is_jazz([*sevenths, parse_chord("C")], "swing")
