"""Double stops: laws for every chord and tuning."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from groove.instrument.double_stops import CLEAR, LAST_FRET, DoubleStop, double_stops
from groove.instrument.fretboard import Tuning
from groove.instrument.material import arpeggio
from groove.instrument.positions import positions
from groove.theory.chords import Chord, parse_chord
from tests.examples import examples
from tests.instrument.fret_material import GUITAR, chords, moved, shipped_tunings


def frets(stop: DoubleStop) -> tuple[tuple[int, int], ...]:
    return tuple((place.string, place.fret) for place in stop.places)


@settings(max_examples=examples(40))
@given(shipped_tunings, chords)
def test_both_notes_are_chord_tones_a_third_a_sixth_or_low_down_a_tenth_apart(
    tuning: Tuning, chord: Chord
) -> None:
    classes = {note.pitch_class for note in chord.notes}
    for stop in double_stops(tuning, chord):
        low, high = (tuning.pitch(place) for place in stop.places)
        assert {low % 12, high % 12} <= classes
        sizes = {"third": (3, 4), "sixth": (8, 9), "tenth": (15, 16)}
        assert high - low in sizes[stop.interval]
        assert (stop.interval == "tenth") == (low < CLEAR)
        assert stop.lower.string != stop.upper.string


@settings(max_examples=examples(40))
@given(chords)
def test_guitar_has_every_one_there_is_on_the_strings_of_the_trade(chord: Chord) -> None:
    classes = {note.pitch_class for note in chord.notes}
    there_are = set()
    for string in range(2, 7):
        for fret in range(LAST_FRET + 1):
            for semitones, apart in ((3, 1), (4, 1), (8, 2), (9, 2)):
                if string - apart < 1:
                    continue
                pitch = GUITAR.open(string) + fret
                other = pitch + semitones - GUITAR.open(string - apart)
                if {pitch % 12, (pitch + semitones) % 12} <= classes and 0 <= other <= LAST_FRET:
                    there_are.add(((string, fret), (string - apart, other)))
    found = {frets(stop) for stop in double_stops(GUITAR, chord)}
    assert found == there_are


@settings(max_examples=examples(40))
@given(shipped_tunings, chords, st.integers(1, 5))
def test_inside_a_position_both_notes_are_its_dots(
    tuning: Tuning, chord: Chord, number: int
) -> None:
    shape = {(d.string, d.fret) for d in positions(tuning, arpeggio(chord))[number - 1].dots}
    for stop in double_stops(tuning, chord):
        if number not in stop.numbers:
            continue
        assert any({(s, f - up) for s, f in frets(stop)} <= shape for up in (0, 12))


@settings(max_examples=examples(20))
@given(chords, st.integers(1, 5))
def test_transposing_moves_both_notes(chord: Chord, semitones: int) -> None:
    here = {frets(stop) for stop in double_stops(GUITAR, chord)}
    there = {frets(stop) for stop in double_stops(GUITAR, moved(chord, semitones))}
    for stop in here:
        shifted = tuple((string, fret + semitones) for string, fret in stop)
        assert shifted in there or max(fret for _, fret in shifted) > LAST_FRET


def test_most_comfortable_come_first() -> None:
    stops = double_stops(GUITAR, parse_chord("A7"))
    assert all(a.cost <= b.cost for a, b in pairwise(stops))
    assert stops[0].places[0].fret == stops[0].places[1].fret


def test_chord_without_a_third_or_sixth_has_none() -> None:
    assert double_stops(GUITAR, parse_chord("A5")) == ()
