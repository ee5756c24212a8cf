"""The spelling of chords for readers. Source throughout: common practice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.chords import Chord, parse_chord
from groove.theory.keys import Key
from groove.theory.pitch import Degree, NoteName
from groove.theory.quality import parse_quality
from groove.theory.roman import NUMERALS, parse_numeral
from groove.theory.spelling import degree_in, degree_over, in_context, respelled
from groove.theory.symbols import numeral
from tests.theory.key_material import KEYS

QUALITIES = ("", "m", "7", "m7", "maj7", "m7b5", "dim7", "+", "7alt", "7sus4", "6", "5")
DEGREES = [Degree(number, alter) for number in range(1, 8) for alter in (-1, 0, 1)]
DISGUISED = {"E#", "B#", "Cb", "Fb"}

keys = st.sampled_from(KEYS)
chords = st.builds(
    lambda root, suffix, bass: Chord(NoteName(root), parse_quality(suffix), bass),
    st.integers(-19, 19),
    st.sampled_from(QUALITIES),
    st.none() | st.integers(-19, 19).map(NoteName),
)


def has(key: Key, name: NoteName) -> bool:
    """True if a note is in the scale of a key, its leading note in minor among them."""
    scale = {"major": "1 2 3 4 5 6 7", "minor": "1 2 b3 4 5 b6 b7 7"}[key.mode].split()
    return name in {key.tonic + Degree.parse(degree) for degree in scale}


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_every_numeral_in_every_key_has_a_plain_root_and_sounds_as_counted(key: Key) -> None:
    for degree in DEGREES:
        for suffix in QUALITIES:
            written = f"{str(degree)[:-1]}{NUMERALS[degree.number - 1]}"
            letters = written.lower() if parse_quality(suffix).is_minor else written
            chord = parse_numeral(letters + suffix).chord(key)
            assert abs(chord.root.sharps) < 2, chord
            assert str(chord.root) not in DISGUISED or has(key, chord.root), chord
            sounding = Chord(key.tonic + degree, parse_quality(suffix))
            assert [n.pitch_class for n in chord.notes] == [n.pitch_class for n in sounding.notes]


@given(chords, keys)
def test_respelling_changes_no_sound_and_is_done_once(chord: Chord, key: Key) -> None:
    written = respelled(chord, key)
    assert [n.pitch_class for n in (*written.notes, written.lowest)] == [
        n.pitch_class for n in (*chord.notes, chord.lowest)
    ]
    assert respelled(written, key) == written
    assert abs(written.root.sharps) < 2
    assert abs(written.lowest.sharps) < 2


@given(chords, keys)
def test_chord_whose_root_is_in_the_key_and_plain_is_left_as_it_is(chord: Chord, key: Key) -> None:
    odd = DISGUISED | {"Gb", "G#", "D#", "A#"}
    if str(chord.root) not in odd and abs(chord.root.sharps) < 2:
        assert respelled(chord, key).root == chord.root


@pytest.mark.parametrize(
    ("key", "text", "written"),
    [
        ("Db", "bII7", "D7"), ("Gb", "bIII", "A"), ("Gb", "bVII7", "E7"), ("Gb", "IV", "Cb"),
        ("Gb", "iv7", "Bm7"), ("Db", "iv7", "F#m7"), ("Gb", "i7", "Gbm7"), ("Eb", "bVI", "B"),
        ("Cb", "IV", "Fb"), ("F#", "viiø7", "E#m7b5"), ("F#", "VII7", "F7"),
        ("B", "IIImaj7", "Ebmaj7"), ("A", "IIImaj7", "Dbmaj7"), ("F#", "Vmaj7", "C#maj7"),
        ("B", "III7", "D#7"), ("Eb", "V7/bVI", "F#7"),
        ("Ab", "ii7/bIII", "C#m7"), ("B", "#IVdim7", "Fdim7"),
        ("F#m", "viio7", "E#dim7"),
        ("C#m", "viio7", "B#dim7"), ("G#m", "viio7", "Gdim7"), ("G#m", "V7/3", "D#7/G"),
        ("F#", "III7", "A#7"), ("C#m", "V7/3", "G#7/B#"), ("Abm", "i/3", "Abm/Cb"),
    ],
)  # fmt: skip
def test_numeral_is_written_as_players_read_it(key: str, text: str, written: str) -> None:
    assert str(parse_numeral(text).chord(Key.parse(key))) == written


@pytest.mark.parametrize(
    ("key", "text", "written"),
    [
        ("Eb", "Imaj7 bIII7 bVImaj7", "Ebmaj7 F#7 Bmaj7"),
        ("Eb", "bvii7 bIII7 bVImaj7", "C#m7 F#7 Bmaj7"),
        ("Ab", "iv7 bVII7 bIIImaj7", "C#m7 F#7 Bmaj7"),
        ("D", "#iv7 VII7 IIImaj7", "G#m7 C#7 F#maj7"),
        ("A", "#iv7 VII7 IIImaj7", "Ebm7 Ab7 Dbmaj7"),
        ("Db", "I7 IV7 bVII", "Db7 F#7 B"),
        ("Gb", "I7 IVmaj7", "Gb7 Cbmaj7"),
        ("F", "Imaj7 bII7 Imaj7", "Fmaj7 Gb7 Fmaj7"),
        ("Eb", "Imaj7 bIIImaj7 bVImaj7", "Ebmaj7 Gbmaj7 Bmaj7"),
        ("Eb", "Imaj7 bIII7/3 bVImaj7", "Ebmaj7 F#7/A# Bmaj7"),
    ],
)
def test_chord_that_leads_by_a_fifth_is_spelled_to_suit_the_next(
    key: str, text: str, written: str
) -> None:
    home = Key.parse(key)
    chords = [parse_numeral(word).chord(home) for word in text.split()]
    found = in_context([(chord, home) for chord in chords])
    assert " ".join(str(found.get(chord, chord)) for chord in chords) == written


@given(st.lists(chords, min_size=2, max_size=8), keys)
def test_neighbours_change_no_sound_and_no_root_gets_two_signs(line: list[Chord], key: Key) -> None:
    line = [respelled(chord, key) for chord in line]
    for chord, spelled in in_context([(chord, key) for chord in line]).items():
        before, after = ([n.pitch_class for n in (*c.notes, c.lowest)] for c in (chord, spelled))
        assert before == after
        assert abs(spelled.root.sharps) < 2
        assert abs(spelled.lowest.sharps) < 2


@pytest.mark.parametrize(
    ("key", "chord", "degree"),
    [
        ("Db", "D7", "b2"), ("Db", "Dmaj7", "b2"), ("Db", "Ddim7", "#1"), ("Gb", "Bm7", "4"),
        ("Gb", "E7", "b7"), ("G#m", "Gdim7", "7"), ("F", "B7", "b5"), ("Eb", "F#7", "b3"),
        ("Eb", "C#m7", "b7"),
        ("B", "Bb7", "7"), ("F", "Bm7b5", "#4"), ("C", "F#7", "#4"), ("C", "G#dim7", "#5"),
        ("F#", "F7", "7"), ("Eb", "B", "b6"),
    ],
)  # fmt: skip
def test_degree_of_a_respelled_root_is_the_one_that_is_meant(
    key: str, chord: str, degree: str
) -> None:
    assert str(degree_in(parse_chord(chord), Key.parse(key))) == degree


@given(st.sampled_from(DEGREES), st.sampled_from(QUALITIES), keys)
def test_numeral_of_a_chord_reads_back_as_the_chord(degree: Degree, suffix: str, key: Key) -> None:
    chord = respelled(Chord(key.tonic + degree, parse_quality(suffix)), key)
    again = parse_numeral(numeral(chord, key)).chord(key)
    assert again.quality == chord.quality
    assert again.root.pitch_class == chord.root.pitch_class
    assert numeral(again, key) == numeral(chord, key)


@given(chords, st.integers(-15, 19).map(NoteName))
def test_degree_over_a_chord_leads_to_the_note(chord: Chord, name: NoteName) -> None:
    assert (chord.root + degree_over(chord, name)).pitch_class == name.pitch_class
