"""The grips that a learner sees."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove import library
from groove.instrument.fretboard import read_tuning, tunings
from groove.instrument.grips.choose import chosen
from groove.instrument.grips.grip import ChordGrip
from groove.theory.chords import parse_chord
from tests.examples import examples
from tests.instrument.fret_material import QUALITIES, ROOTS
from tests.instrument.grips.grip_material import assert_sound_and_playable

GUITAR = read_tuning("guitar")
LEARNERS = {"beginner": 1, "intermediate": 2, "advanced": 3}


def frets(grip: ChordGrip, tuning: str = "guitar") -> str:
    on = {dot.string: str(dot.fret) for dot in grip.dots}
    return " ".join(on.get(string, "x") for string in read_tuning(tuning).strings)


def grips(chord: str, learner: str, home: int = 5, tuning: str = "guitar") -> list[str]:
    found = chosen(read_tuning(tuning), parse_chord(chord), learner, home)
    return [frets(grip, tuning) for grip in found]


@given(
    st.sampled_from(["guitar", "drop-d", "bass", "ukulele", "mandolin", "guitar-7"]),
    st.sampled_from(ROOTS),
    st.sampled_from(QUALITIES),
    st.sampled_from(list(LEARNERS)),
    st.integers(0, 11),
)
@settings(max_examples=examples(60))
def test_grips_sound_their_chord_and_one_hand_can_hold_them(
    tuning: str, root: str, quality: str, learner: str, home: int
) -> None:
    neck, chord = read_tuning(tuning), parse_chord(root + quality)
    found = chosen(neck, chord, learner, home)
    assert 1 <= len(found) <= LEARNERS[learner]
    assert len({grip.places for grip in found}) == len(found)
    for grip in found:
        assert_sound_and_playable(neck, chord, grip)


@pytest.mark.parametrize("quality", ["", "m", "7", "m7", "maj7", "6", "m7b5", "dim7", "9"])
def test_a_guitarist_has_two_or_three_grips_of_every_usual_chord(quality: str) -> None:
    for root in ROOTS:
        chord = parse_chord(root + quality)
        assert len(chosen(GUITAR, chord, "intermediate", 5)) == 2
        assert len(chosen(GUITAR, chord, "advanced", 5)) == 3


def test_a_beginner_has_the_usual_open_chords() -> None:
    for chord, shape in (
        ("C", "x 3 2 0 1 0"), ("Am", "x 0 2 2 1 0"), ("E7", "0 2 0 1 0 0"), ("D7", "x x 0 2 1 2"),
    ):  # fmt: skip
        assert grips(chord, "beginner") == [shape]
    for chord, shape in (
        ("C7", "0 0 0 1"),
        ("G7", "0 2 1 2"),
        ("Am", "2 0 0 0"),
        ("Bb", "3 2 1 1"),
    ):
        assert grips(chord, "beginner", 0, "ukulele") == [shape]


def test_a_beginners_grip_has_no_barre_over_many_strings_and_lies_low() -> None:
    for root in ROOTS:
        for quality in ("", "m", "7", "m7"):
            (grip,) = chosen(GUITAR, parse_chord(root + quality), "beginner", 5)
            assert grip.fret <= 5
            assert all(barre.last - barre.first <= 3 for barre in grip.barres)


def test_grips_lie_where_the_hand_is_at_home() -> None:
    assert grips("C7", "intermediate", 8)[0] == "8 10 8 9 8 8"
    assert grips("F7", "intermediate", 8)[0] == "x 8 10 8 10 8"
    assert grips("F7", "advanced", 8)[0] == "x 8 7 8 x x"


def test_the_sixth_of_a_barre_chord_is_marked() -> None:
    first = chosen(GUITAR, parse_chord("C7"), "intermediate", 8)[0]
    assert first.inside is not None
    assert (first.inside.interval, first.inside.strings) == ("sixth", (3, 1))


def test_a_bass_has_wide_shapes_that_are_clear_low_down() -> None:
    bass = read_tuning("bass")
    for root in ROOTS:
        for grip in chosen(bass, parse_chord(root + "7"), "intermediate", 5):
            low, *rest = sorted(dot.pitch for dot in grip.dots)
            assert low >= 40 or rest[0] - low >= 7


def test_kinds_name_groups_of_the_library() -> None:
    data = library.load("lesson", "grips")
    tables = [data[learner] for learner in LEARNERS] + list(data["low"].values())
    for kind in (kind for table in tables for kind in table):
        assert set(kind["groups"]) <= set(library.names("guitar"))
        assert kind["at"] in ("nut", "home")


def test_every_shipped_neck_has_grips() -> None:
    for neck in tunings().values():
        assert chosen(neck, parse_chord("A7"), "intermediate", 5)
