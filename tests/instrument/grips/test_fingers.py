"""Fingers of grips: the laws of a hand."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from groove import library
from groove.band.guitar.shape_library import group
from groove.instrument.grips.fingers import barres, fingered, may_be_held

# shapes of the library that no sheet gives: three frets between two fingers, a little finger that
# reaches back over the hand
BEYOND_A_HAND = {
    ("drop-two", "7sus4", (4, 4, 1, 4)), ("rootless", "6/9", (4, 4, 1, 4)),
    ("drop-three", "7sus4", (1, 1, 4, 1)), ("drop-three", "7b5", (3, 1, 2, 2)),
}  # fmt: skip

shapes = st.dictionaries(st.integers(1, 6), st.integers(0, 5), min_size=1, max_size=6)


@given(shapes)
def test_no_finger_is_at_two_frets_and_higher_frets_have_higher_fingers(
    frets: dict[int, int],
) -> None:
    fingers = fingered(frets)
    if fingers is None:
        return
    assert may_be_held(frets, fingers)
    held = sorted((frets[s], fingers[s]) for s in frets if frets[s])
    assert all(1 <= finger <= 4 for _, finger in held)
    assert all(fingers[s] == 0 for s in frets if not frets[s])
    for (fret, finger), (other, next_) in pairwise(held):
        assert next_ > finger if other > fret else next_ >= finger


@given(shapes)
def test_a_finger_across_lies_over_no_string_that_sounds_lower(frets: dict[int, int]) -> None:
    fingers = fingered(frets)
    for barre in barres(frets, fingers or dict.fromkeys(frets, 0)) if fingers else ():
        across = range(barre.first, barre.last + 1)
        assert min(frets[s] for s in across if s in frets) >= barre.fret > 0
        for silent in (s for s in across if s not in frets):
            assert frets.get(silent + 1, 0) > barre.fret


def test_five_notes_at_five_places_and_wide_stretches_cannot_be_held() -> None:
    assert fingered({6: 3, 5: 0, 4: 4, 3: 5, 2: 6, 1: 5}) is None
    assert fingered({2: 1, 1: 5}) is not None
    assert fingered({3: 1, 2: 1, 1: 7}) is None


def test_usual_chords_have_their_usual_fingers() -> None:
    for frets, fingers in (
        ("x32010", ".32.1."), ("022100", ".231.."), ("133211", "134211"),
        ("x02220", "..123."), ("xx0232", "...132"),
    ):  # fmt: skip
        strings = range(6, 0, -1)
        on = {s: int(f) for s, f in zip(strings, frets, strict=True) if f != "x"}
        wanted = {s: int(f.replace(".", "0")) for s, f in zip(strings, fingers, strict=True)}
        assert fingered(on) == {s: wanted[s] for s in on}


def test_fingers_of_the_library_keep_the_same_laws() -> None:
    for name in library.names("guitar"):
        for shape in group(name).shapes:
            frets = dict(zip(shape.strings, shape.frets, strict=True))
            fingers = dict(zip(shape.strings, shape.fingers, strict=True))
            beyond = (name, shape.chord, shape.frets) in BEYOND_A_HAND
            assert may_be_held(frets, fingers) != beyond, (name, shape.chord)


def held(frets: str, fingers: str) -> bool:
    on = {s: int(f) for s, f in zip(range(6, 0, -1), frets, strict=True) if f != "x"}
    return may_be_held(on, {s: int(fingers[6 - s].replace(".", "0")) for s in on})


def test_no_barre_lies_over_a_silent_string_that_no_finger_damps() -> None:
    assert not held("x6x676", ".1.121")
    assert held("x6x676", ".1.243")
    assert held("6x666x", "2.333.")
    assert held("13x211", "13.211")  # the third finger's tip is on string 4


def test_a_little_finger_does_not_reach_back_over_the_hand() -> None:
    assert not held("3x122x", "4.123.")
    assert not held("3x122x", "3.122.")
    assert held("320001", "32...1")
    assert held("320002", "31...2")
