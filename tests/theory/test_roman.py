"""Roman numerals. Source: common practice; major keys are compared in tests/references."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.keys import Key
from groove.theory.roman import is_numeral, parse_numeral
from tests.theory.key_material import KEYS

keys = st.sampled_from(KEYS)
EXAMPLES = (
    "I7 ii7 bIII7 #IVdim7 V7alt bVImaj7 V7/V I/3 i iv7 viiø7 V7sus4 ♭VII7 vi7b5 "
    "V7/ii I6/9 iii- i6 II13#11"
)
WRITTEN = EXAMPLES.split()


@pytest.mark.parametrize(
    ("key", "numeral", "chord"),
    [
        ("A", "bIII7", "C7"), ("Gb", "IV", "Cb"), ("C", "#IVdim7", "F#dim7"), ("C", "ii7", "Dm7"),
        ("C", "V7alt", "G7alt"), ("C", "bVImaj7", "Abmaj7"), ("C", "V7/V", "D7"),
        ("G", "V7/ii", "E7"), ("C", "♭VII7", "Bb7"), ("C", "♯IVø7", "F#m7b5"),
        ("C", "iiø7", "Dm7b5"), ("Eb", "bVI", "B"), ("F#", "iii", "A#m"), ("C", "vii°7", "Bdim7"),
        ("C", "IIm7", "Dm7"), ("C", "imaj7", "Cm(maj7)"), ("C", "iMi7", "Cm7"), ("C", "i5", "C5"),
        ("C", "I6/9", "C6/9"), ("C", "iadd9", "Cmadd9"), ("C", "i69", "Cm6/9"),
        ("C", "V7sus4/V", "D7sus4"), ("C", "bV7/bII", "G7"),
    ],
)  # fmt: skip
def test_numeral_is_the_chord(key: str, numeral: str, chord: str) -> None:
    assert str(parse_numeral(numeral).chord(Key.parse(key))) == chord


@pytest.mark.parametrize(
    ("numeral", "chord"),
    [("bVI", "F"), ("bIII", "C"), ("bVII", "G"), ("VI", "F#"), ("V7", "E7"), ("iiø", "Bm7b5")],
)
def test_numeral_in_a_minor_key_counts_from_the_major_scale(numeral: str, chord: str) -> None:
    assert str(parse_numeral(numeral).chord(Key.parse("Am"))) == chord


@pytest.mark.parametrize(
    ("numeral", "chord"),
    [
        ("I/3", "C/E"), ("I/5", "C/G"), ("i/3", "Cm/Eb"), ("ii7/3", "Dm7/F"), ("V7/7", "G7/F"),
        ("iiø/5", "Dm7b5/Ab"), ("Imaj7/7", "Cmaj7/B"), ("viio7/7", "Bdim7/Ab"), ("i/b7", "Cm/Bb"),
        ("V/b7", "G/F"), ("i/7", "Cm/B"), ("I/1", "C"), ("I/9", "C/D"), ("I6/9/3", "C6/9/E"),
        ("V7b9/9", "G7b9/Ab"), ("V7b9/2", "G7b9/Ab"), ("I/b9", "C/Db"), ("I/b1", "C/B"),
    ],
)  # fmt: skip
def test_degree_after_the_slash_is_the_chords_own(numeral: str, chord: str) -> None:
    assert str(parse_numeral(numeral).chord(Key.parse("C"))) == chord


@pytest.mark.parametrize(
    ("numeral", "chord"),
    [
        ("V7/V/3", "D7/F#"), ("V7/ii/5", "A7/E"), ("viio7/V/7", "F#dim7/Eb"), ("V/vi/3", "E/G#"),
        ("V6/9/V/3", "D6/9/F#"), ("V7/V/1", "D7"), ("bVII7/bVI/b7", "Gb7/Fb"),
    ],
)  # fmt: skip
def test_applied_chord_may_have_another_bass(numeral: str, chord: str) -> None:
    assert str(parse_numeral(numeral).chord(Key.parse("C"))) == chord


@pytest.mark.parametrize(
    ("numeral", "chord"),
    [
        ("V7/V/V", "A7"), ("V7/V/V/3", "A7/C#"), ("V/V/ii", "E"), ("viio7/V/vi", "D#dim7"),
        ("V/bVI/V", "Bb"), ("V7/bIII/bIII", "Db7"), ("V65/V/V", "A7/C#"),
    ],
)  # fmt: skip
def test_goal_may_have_a_goal(numeral: str, chord: str) -> None:
    assert str(parse_numeral(numeral).chord(Key.parse("C"))) == chord


@pytest.mark.parametrize(
    ("figured", "written"),
    [
        ("V6/5", "V7/3"), ("V65", "V7/3"), ("V4/3", "V7/5"), ("V43", "V7/5"), ("V4/2", "V7/7"),
        ("V42", "V7/7"), ("I6/4", "I/5"), ("I64", "I/5"), ("I63", "I/3"), ("I5/3", "I"),
        ("ii65", "ii7/3"), ("iiø65", "iiø7/3"), ("vii°43", "vii°7/5"), ("♭VI64", "bVI/5"),
        ("I65", "Imaj7/3"), ("IV42", "IVmaj7/7"), ("bVI65", "bVImaj7/3"), ("V65/V", "V7/V/3"),
        ("V6/4/ii", "V/ii/5"), ("I+64", "I+/5"), ("V6/5[no5]", "V7no5/3"), ("i64(no3)", "ino3/5"),
        ("ii/o6/5", "iiø7/3"), ("vii/o4/3/V", "viiø7/V/5"), ("vii%65", "viiø7/3"), ("ii/o", "iiø"),
        ("N6", "bII/3"), ("N6/V", "bII/V/3"), ("It6", "bVI7no5"), ("It+6/V", "bVI7no5/V"),
        ("Ger65", "bVI7"), ("Gr6/5", "bVI7"), ("Ger", "bVI7"), ("Fr43", "bVI7b5"),
        ("Fr+6", "bVI7b5"), ("Ger65/V", "bVI7/V"), ("Cad64", "I/5"),
    ],
)  # fmt: skip
def test_figured_bass_is_the_numeral_over_its_bass(figured: str, written: str) -> None:
    key = Key.parse("C")
    assert is_numeral(figured)
    assert parse_numeral(figured).text == figured
    assert parse_numeral(figured).chord(key) == parse_numeral(written).chord(key)


def test_cadential_six_four_is_that_of_its_key() -> None:
    assert str(parse_numeral("Cad64").chord(Key.parse("Am"))) == "Am/E"
    assert str(parse_numeral("Cad6/4").chord(Key.parse("A"))) == "A/E"


@pytest.mark.parametrize(
    ("numeral", "notes"),
    [("It6", {8, 0, 6}), ("Ger65", {8, 0, 3, 6}), ("Fr43", {8, 0, 2, 6}), ("N6", {1, 5, 8})],
)
def test_chord_with_a_name_has_the_notes(numeral: str, notes: set[int]) -> None:
    """In C: Ab C F#, with Eb, with D; Db F Ab (common practice)."""
    chord = parse_numeral(numeral).chord(Key.parse("C"))
    assert {note.pitch_class for note in chord.notes} == notes


@pytest.mark.parametrize(
    ("sixth", "chord"), [("Imaj6/5", "C6/G"), ("iim6/3", "Dm6/F"), ("bVImaj6/5", "Ab6/Eb")]
)
def test_sixth_chord_over_another_bass_can_be_written(sixth: str, chord: str) -> None:
    assert str(parse_numeral(sixth).chord(Key.parse("C"))) == chord


@pytest.mark.parametrize(
    ("numeral", "inversion"),
    [
        ("I6", "I/3"), ("ii6", "ii/3"), ("vii°6", "vii°/3"), ("V6/V", "V/V/3"), ("♭VI6", "bVI/3"),
        ("V2", "V7/7"), ("I2", "Imaj7/7"), ("ii2/V", "ii7/V/7"), ("I", None), ("I6/9", None),
        ("im6", None), ("Imaj6", None), ("V7", None), ("Vsus2", None), ("V/3", None),
    ],
)  # fmt: skip
def test_sixth_chord_knows_the_inversion_that_its_figure_may_mean(
    numeral: str, inversion: str | None
) -> None:
    assert parse_numeral(numeral).inversion == inversion
    assert inversion is None or parse_numeral(inversion)


@given(st.sampled_from(WRITTEN), keys, keys)
def test_numeral_is_the_same_in_every_key(numeral: str, one: Key, other: Key) -> None:
    read = parse_numeral(numeral)
    here, there = read.chord(one), read.chord(other)
    moved = here.transposed(other.tonic.fifths - one.tonic.fifths)
    assert [n.pitch_class for n in (*moved.notes, moved.lowest)] == [
        n.pitch_class for n in (*there.notes, there.lowest)
    ]


@pytest.mark.parametrize("numeral", WRITTEN)
def test_numeral_keeps_its_text(numeral: str) -> None:
    assert parse_numeral(numeral).text == numeral


@pytest.mark.parametrize(
    "text",
    ["", "X", "IIII", "Vii", "iV", "IX", "bbbII", "V7/", "V7/H", "V7/3/V", "N", "V[no1]", "i7alt",
     "I77", "A7", "I\nV", "I/14", "I" * 300_000, "I" + "add9" * 200_000],
)  # fmt: skip
def test_no_numeral_is_refused_in_a_short_line(text: str) -> None:
    with pytest.raises(ValueError, match=r"^numeral .{1,300}$"):
        parse_numeral(text)


@given(st.text(max_size=20) | st.text("IViv7b#/mo+3 \n", max_size=12))
def test_parsing_raises_only_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        parse_numeral(text)


@pytest.mark.parametrize("text", ["I", "bVII7", "♭VI", "#ivo7", "vi"])
def test_is_a_numeral(text: str) -> None:
    assert is_numeral(text)


@pytest.mark.parametrize("text", ["A7", "Bb", "C#m", "", "7", "bb", "Cadd9", "NC", "F", "G"])
def test_is_no_numeral(text: str) -> None:
    assert not is_numeral(text)


def test_text_of_any_length_is_refused() -> None:
    for part in ("V", "b", "/V", "no3"):
        with pytest.raises(ValueError, match="numeral"):
            parse_numeral("I" + part * 200_000)
