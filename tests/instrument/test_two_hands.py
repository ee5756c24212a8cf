"""Voicings for both hands of a pianist."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.band.keys.keys_voicings import TENTH
from groove.instrument.two_hands import two_hands
from groove.theory.chords import Chord, parse_chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from tests.instrument.fret_material import chords

C = Key.parse("C")
FORMS = st.lists(chords, min_size=1, max_size=5)


@given(FORMS)
def test_hands_lie_apart_each_within_a_tenth_over_the_root(form: list[Chord]) -> None:
    for hands in two_hands(form, C):
        left, right = ([key.pitch for key in hand] for hand in (hands.left, hands.right))
        assert left == sorted(left)
        assert right == sorted(right)
        assert left[0] % 12 == hands.chord.lowest.pitch_class
        assert 40 <= left[0] <= 51
        assert left[-1] < right[0]
        assert right[-1] <= 79
        assert max(left[-1] - left[0], right[-1] - right[0]) <= TENTH


@given(FORMS)
def test_guide_tones_sound_and_every_key_has_its_name(form: list[Chord]) -> None:
    for hands in two_hands(form, C):
        played = (*hands.left, *hands.right)
        guides = {(hands.chord.root + d).pitch_class for d in hands.chord.quality.guide_tones}
        assert guides <= {key.pitch % 12 for key in played}
        assert all(NoteName.parse(key.name).pitch_class == key.pitch % 12 for key in played)


@pytest.mark.parametrize(
    "form", ["Dm7 G7 Cmaj7", "Bb Gm7 Cm7 F7", "D7 G7 C7 F7", "A7 D7 E7", "Dm7b5 G7 Cm7"]
)
def test_right_hand_moves_little(form: str) -> None:
    found = two_hands([parse_chord(chord) for chord in form.split()], C)
    for one, after in pairwise(found):
        lines = zip(one.right, after.right, strict=True)
        assert sum(abs(a.pitch - b.pitch) for a, b in lines) <= 3 * len(one.right)


def test_slash_chord_has_its_bass_alone_below() -> None:
    (hands,) = two_hands([parse_chord("C/E")], C)
    assert str(hands) == "E2 3 | C4 1, E4 3, G4 5"


def test_no_colour_where_a_dominant_leads_to_a_minor_chord() -> None:
    dominant, _ = two_hands([parse_chord("G7"), parse_chord("Cm7")], Key.parse("Cm"))
    assert {key.degree for key in dominant.right} == {"3", "5", "1"}
