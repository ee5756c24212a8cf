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
        ("C", "Cmaj7 Cm7 F7 Bbmaj7 Bbm7 Eb7 Abmaj7 Dm7 G7", "C Bb Bb Bb Ab Ab Ab C C"),
        ("C", "Cmaj7 C#m7 F#m7 B7 Emaj7 G7", "C E E E E C"),
        ("C", "C Bbm7 Eb7 Ab F#m7 B7 E Dm7 G7", "C Ab Ab Ab E E E C C"),
        ("C", "C Eb7 Ab G7", "C C C C"),
        ("B", "Bmaj7 Am7/D Gmaj7 F#7", "B G G B"),
    ],
)
def test_key_of_each_chord(key: str, chords: str, found: str) -> None:
    assert keys(chords, key) == found


CYCLE = """
    Bmaj7 D7 Gmaj7 Bb7 Ebmaj7 Am7 D7 Gmaj7 Bb7 Ebmaj7 F#7 Bmaj7 Fm7 Bb7
    Ebmaj7 Am7 D7 Gmaj7 C#m7 F#7 Bmaj7 Fm7 Bb7 Ebmaj7 C#m7 F#7
"""
AREAS = "B G G Eb Eb G G G Eb Eb B B Eb Eb Eb G G G B B B Eb Eb Eb B B"


@pytest.mark.parametrize("shift", range(-6, 7))
@pytest.mark.parametrize("bounds", [(0, 7), (7, 14), (14, 20), (20, 26)])
def test_section_of_a_cycle_in_thirds_keeps_each_two_in_the_key_that_it_leads_to(
    shift: int, bounds: tuple[int, int]
) -> None:
    """Its last ii V leads into the section that follows."""
    first, last = bounds
    chords = [parse_chord(chord).transposed(shift) for chord in CYCLE.split()]
    home = NoteName(Key.parse("B").tonic.fifths + shift)
    found = local_keys(
        chords[first:last], Key(home), "major", before=chords[:first], after=chords[last:]
    )
    assert [key.tonic.pitch_class for key in found] == [
        (NoteName.parse(area).pitch_class + 7 * shift) % 12 for area in AREAS.split()[first:last]
    ]


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
