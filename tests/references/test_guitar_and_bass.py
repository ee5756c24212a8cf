"""The fretboard against facts from outside; the source stands beside each."""

import pytest
from music21 import scale as m21_scale
from music21.harmony import ChordSymbol

from groove.instrument.double_stops import double_stops
from groove.instrument.fingerings import best_starts
from groove.instrument.fretboard import read_tuning
from groove.instrument.material import arpeggio, scale
from groove.instrument.positions import Position, one_position, positions
from groove.lesson.phrase_notation import read_phrase
from groove.theory.chords import parse_chord
from groove.theory.pitch import NoteName

GUITAR = read_tuning("guitar")


def shape(position: Position) -> str:
    """The frets of each string from the low one, ``5-8 5-7 ...``."""
    return " ".join(
        "-".join(str(dot.fret) for dot in position.dots if dot.string == string)
        for string in GUITAR.strings
    )


@pytest.mark.parametrize(
    ("name", "open_strings"),
    [
        ("guitar", (40, 45, 50, 55, 59, 64)),  # common practice
        ("bass", (28, 33, 38, 43)),  # common practice
        ("drop-d", (38, 45, 50, 55, 59, 64)),  # common practice
        ("dadgad", (38, 45, 50, 55, 57, 62)),  # common practice
        ("open-g", (38, 43, 50, 55, 59, 62)),  # common practice
        ("guitar-7", (35, 40, 45, 50, 55, 59, 64)),  # common practice
        ("bass-5", (23, 28, 33, 38, 43)),  # common practice
        ("ukulele", (67, 60, 64, 69)),  # common practice
        ("mandolin", (55, 62, 69, 76)),  # common practice
    ],
)
def test_open_strings(name: str, open_strings: tuple[int, ...]) -> None:
    assert read_tuning(name).open_strings == open_strings


def test_a_minor_pentatonic_first_shape() -> None:
    # Source: common practice.
    first = positions(GUITAR, scale("A", "minor pentatonic"))[0]
    assert shape(first) == "5-8 5-7 5-7 5-7 5-8 5-8"


def test_the_other_four_shapes_of_a_minor_pentatonic() -> None:
    # Source: common practice (from memory), the last two an octave lower where they fit.
    assert [shape(p) for p in positions(GUITAR, scale("A", "minor pentatonic"))[1:]] == [
        "8-10 7-10 7-10 7-9 8-10 8-10",
        "10-12 10-12 10-12 9-12 10-13 10-12",
        "0-3 0-3 0-2 0-2 1-3 0-3",
        "3-5 3-5 2-5 2-5 3-5 3-5",
    ]


@pytest.mark.parametrize("kind", ["minor pentatonic", "major pentatonic"])
def test_pentatonics_have_two_notes_a_string(kind: str) -> None:
    # Source: common practice.
    for position in positions(GUITAR, scale("G", kind)):
        strings = [dot.string for dot in position.dots]
        assert all(strings.count(string) == 2 for string in range(1, 7))


def test_pentatonic_and_arpeggio_have_five_positions_that_cover_twelve_frets() -> None:
    # Source: common practice.
    for material in (scale("A", "minor pentatonic"), arpeggio(parse_chord("A7"))):
        found = positions(GUITAR, material)
        assert sorted(p.form for p in found) == sorted("CAGED")
        covered = {(dot.string, dot.fret % 12) for p in found for dot in p.dots}
        every = {
            (string, fret)
            for string in GUITAR.strings
            for fret in range(12)
            if material.tone(GUITAR.open(string) + fret)
        }
        assert covered == every


@pytest.mark.parametrize(
    ("form", "chord", "frets"),
    [
        ("C", "C", (None, 3, 2, 0, 1, 0)),
        ("A", "A", (None, 0, 2, 2, 2, 0)),
        ("G", "G", (3, 2, 0, 0, 0, 3)),
        ("E", "E", (0, 2, 2, 1, 0, 0)),
        ("D", "D", (None, None, 0, 2, 3, 2)),
    ],
)
def test_position_holds_the_open_chord_that_names_its_form(
    form: str, chord: str, frets: tuple[int | None, ...]
) -> None:
    # Source: common practice, the open major chords of guitar tuning.
    position = next(p for p in positions(GUITAR, arpeggio(parse_chord(chord))) if p.form == form)
    low = min(dot.fret for dot in position.dots)
    places = {(dot.string, dot.fret - (12 if low >= 9 else 0)) for dot in position.dots}
    shape = {(6 - n, fret) for n, fret in enumerate(frets) if fret is not None}
    assert shape <= places


def test_e_minor_pentatonic_has_a_shape_around_the_seventh_position() -> None:
    # Source: common practice.
    assert 7 in {p.fret for p in positions(GUITAR, scale("E", "minor pentatonic"))}


@pytest.mark.parametrize("names", [("C#", "A"), ("C#", "E")])
def test_double_stops_in_a7(names: tuple[str, str]) -> None:
    # Source: common practice. A third lies on adjacent strings, a sixth leaves one out.
    found = [
        stop
        for stop in double_stops(GUITAR, parse_chord("A7"))
        if stop.numbers and stop.names == names
    ]
    assert found
    for stop in found:
        apart = stop.lower.string - stop.upper.string
        assert (stop.interval, apart) in {("third", 1), ("sixth", 2)}


@pytest.mark.parametrize("text", ["A3 C4 D4 E4", "4f7 3f5 3f7 2f5 2f8", "A3 C4 A3 G3 A3"])
def test_one_simple_phrase_is_found_in_about_a_dozen_places(text: str) -> None:
    # Source: common practice. Our reading: from 8 to 16 places to begin, octaves included.
    pitches = [note.pitch for note in read_phrase(text, GUITAR, NoteName.parse("A"))]
    found = best_starts(GUITAR, pitches)
    assert 8 <= len(found) <= 16
    assert len({placement.octaves for placement in found}) > 1


def test_blues_in_a_is_covered_by_one_position() -> None:
    # Source: common practice, A7 · D7 · E7.
    tones = [
        {dot.name for dot in position.dots}
        for position in one_position(GUITAR, [arpeggio(parse_chord(c)) for c in ("A7", "D7", "E7")])
    ]
    assert tones == [{"A", "C#", "E", "G"}, {"D", "F#", "A", "C"}, {"E", "G#", "B", "D"}]


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        ("major", m21_scale.MajorScale), ("dorian", m21_scale.DorianScale),
        ("mixolydian", m21_scale.MixolydianScale), ("natural minor", m21_scale.MinorScale),
        ("harmonic minor", m21_scale.HarmonicMinorScale), ("lydian", m21_scale.LydianScale),
    ],
)  # fmt: skip
@pytest.mark.parametrize("tonic", ["A", "Eb", "F#"])
def test_notes_of_a_scale_on_the_neck_are_those_of_music21(
    ours: str, theirs: type[m21_scale.ConcreteScale], tonic: str
) -> None:
    # Source: general-purpose reference library music21.
    known = {p.name.replace("-", "b") for p in theirs(tonic.replace("b", "-")).getPitches()}
    for position in positions(GUITAR, scale(tonic, ours)):
        assert {dot.name for dot in position.dots} == known


@pytest.mark.parametrize("symbol", ["A7", "Dm7", "Ebmaj7", "F#m7b5", "Bb6", "G"])
def test_notes_of_an_arpeggio_on_the_neck_are_those_of_music21(symbol: str) -> None:
    # Source: general-purpose reference library music21.
    spelled = symbol.replace("b", "-", 1) if symbol[1:2] == "b" else symbol
    known = {p.name.replace("-", "b") for p in ChordSymbol(spelled).pitches}
    for position in positions(GUITAR, arpeggio(parse_chord(symbol))):
        assert {dot.name for dot in position.dots} == known
