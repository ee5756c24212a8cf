"""The keys that a form goes through. Source throughout: common practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.areas import local_keys
from groove.theory.chords import parse_chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from tests.theory.chord_material import CHORDS


def keys(chords: str, key: str) -> str:
    read = [parse_chord(chord) for chord in chords.split()]
    home = Key.parse(key)
    found = local_keys(read, home, "natural minor" if home.mode == "minor" else "major")
    return " ".join(local.symbol for local in found)


@pytest.mark.parametrize(
    ("key", "chords", "found"),
    [
        ("B", "Bmaj7 D7 Gmaj7 Bb7 Ebmaj7 F#7 Bmaj7", "B G G Eb Eb B B"),
        ("C", "Cmaj7 Fm7 Bb7 Ebmaj7 Am7 D7 Dm7 G7", "C Eb Eb Eb C C C C"),
        ("C", "Cmaj7 Fm7 Bb7 Cmaj7", "C C C C"),
        ("C", "Cmaj7 C7 Fmaj7 D7 Gmaj7 G7", "C C C G G C"),
        (
            "F",
            "Fmaj7 Abm7 Db7 Gbmaj7 Ebm7 Abm7 Db7sus4 Db7 Gb6 Gm7 C7",
            "F Gb Gb Gb Gb Gb Gb Gb Gb F F",
        ),
        ("Am", "Am7 Dm7 G7 Cmaj7 Bm7b5 E7", "Am Am Am Am Am Am"),
        ("Am", "Am7 F7 Bbmaj7 E7", "Am Bb Bb Am"),
        ("C", "Cmaj7 Bb7 Ebmaj7 E7", "C Eb Eb C"),
        ("Bb", "Bbmaj7 Bm7 E7 Amaj7 Am7 D7 Gmaj7 F7", "Bb A A A G G G Bb"),
        ("Cm", "Cm7 F7 Bbmaj7 G7", "Cm Bb Bb Cm"),
        ("Bb", "Bb6 D7 G7 C7 F7", "Bb Bb Bb Bb Bb"),
        ("C", "Ebmaj7 C6 Bb7", "Eb C Eb"),
    ],
)
def test_key_of_each_chord(key: str, chords: str, found: str) -> None:
    assert keys(chords, key) == found


@given(
    st.lists(CHORDS, min_size=1, max_size=8),
    st.sampled_from(["C", "F", "D"]),
    st.integers(-2, 2),
)
def test_moving_a_form_moves_its_keys(chords: list, key: str, fifths: int) -> None:  # type: ignore[type-arg]
    home = Key.parse(key)
    there = Key(NoteName(home.tonic.fifths + fifths))
    found = local_keys(chords, home, "major")
    moved = local_keys([chord.transposed(fifths) for chord in chords], there, "major")
    assert [(k.tonic.pitch_class - home.tonic.pitch_class) % 12 for k in found] == [
        (k.tonic.pitch_class - there.tonic.pitch_class) % 12 for k in moved
    ]
