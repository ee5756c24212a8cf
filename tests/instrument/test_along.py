"""Double stops moved along a pair of strings."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.instrument.along import PairStop, intervals, moved_along
from groove.instrument.fretboard import Place, read_tuning, tunings
from groove.theory.chords import Chord, parse_chord
from tests.examples import examples
from tests.instrument.fret_material import QUALITIES, ROOTS

GUITAR = read_tuning("guitar")
SEMITONES = {"third": (3, 4), "sixth": (8, 9), "tenth": (15, 16)}
chords = st.lists(
    st.builds(lambda r, q: parse_chord(r + q), *map(st.sampled_from, (ROOTS, QUALITIES))),
    min_size=1,
    max_size=8,
)


def read(text: str) -> list[Chord]:
    return [parse_chord(chord) for chord in text.split()]


def frets(stops: tuple[PairStop | None, ...]) -> list[tuple[int, int]]:
    return [(stop.lower.fret, stop.upper.fret) for stop in stops if stop]


@given(st.sampled_from(list(tunings())), chords, st.integers(0, 11))
@settings(max_examples=examples(40))
def test_every_stop_is_of_its_chord_on_the_same_two_strings(
    name: str, played: list[Chord], home: int
) -> None:
    tuning = read_tuning(name)
    for interval in intervals(tuning):
        along = moved_along(tuning, played, interval, home)
        if along is None:
            continue
        assert len(along.stops) == len(played)
        for chord, stop in zip(played, along.stops, strict=True):
            if stop is None:
                continue
            assert (stop.lower.string, stop.upper.string) == along.strings
            low, high = (tuning.pitch(Place(d.string, d.fret)) for d in (stop.lower, stop.upper))
            assert (stop.lower.pitch, stop.upper.pitch) == (low, high)
            assert high - low in SEMITONES[interval]
            assert {low % 12, high % 12} <= {note.pitch_class for note in chord.notes}
            assert abs(stop.lower.fret - stop.upper.fret) <= 2 * tuning.frets_a_finger


def test_sixths_lie_on_strings_with_one_between_and_thirds_on_neighbours() -> None:
    played = read("A7 A7 D7 D7 A7 E7 D7 A7")
    sixths, thirds = (moved_along(GUITAR, played, kind, 5) for kind in ("sixth", "third"))
    assert sixths
    assert sixths.strings == (3, 1)
    assert thirds
    assert abs(thirds.strings[0] - thirds.strings[1]) == 1


def test_a_change_goes_to_the_nearest_stop_that_tells_the_chord() -> None:
    along = moved_along(GUITAR, read("A7 D7 A7 E7 D7 A7"), "sixth", 5)
    assert along
    assert frets(along.stops) == [(6, 5), (5, 5), (6, 5), (4, 4), (5, 5), (6, 5)]


@pytest.mark.parametrize("home", [3, 5, 8])
def test_the_line_begins_in_the_home_position_and_a_held_chord_moves(home: int) -> None:
    root = {3: "G", 5: "A", 8: "C"}[home]
    along = moved_along(GUITAR, read(f"{root}7 {root}7"), "sixth", home)
    assert along
    first, second = frets(along.stops)
    assert home <= min(first) <= home + 3
    assert first != second


def test_a_bass_plays_tenths_where_sixths_would_be_mud() -> None:
    assert intervals(read_tuning("bass")) == ("tenth", "third")
    assert intervals(GUITAR) == ("sixth", "third")


def test_chords_without_thirds_and_sixths_have_none() -> None:
    assert moved_along(GUITAR, read("A5 D5"), "sixth", 5) is None
    along = moved_along(GUITAR, read("A A5 A"), "sixth", 5)
    assert along
    assert [stop is None for stop in along.stops] == [False, True, False]
