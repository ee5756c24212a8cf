"""Chord symbols. Spellings: common practice; contents are compared in tests/references."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from groove.theory.chords import parse_chord
from groove.theory.near_miss import SUFFIXES
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality, parse_quality

# What is written for a quality, and all the ways it is read.
SPELLINGS = {
    "": "maj M Maj ma",
    "m": "min - mi Min MI MIN Mi",
    "m7": "-7 min7 mi7 Mi7 MI7 MIN7",
    "maj7": "(maj7) mj7 Δ Δ7 △ △7 M7 ma7 Ma7 MA7 Maj7 MAJ7 7M 7maj 7MA 7Maj ^ ^7 (MA7)",
    "m7b5": "ø ø7 Ø -7b5 min7b5 m7-5 m7(b5) m7♭5 mi7b5 m7(♭5) MI7b5 MI7(b5)",
    "dim": "o ° º DIM Dim",
    "dim7": "o7 °7 º7 DIM7",
    "+": "aug +5 AUG Aug",
    "7#5": "+7 aug7 7+ 7aug 7+5 7♯5 7(#5)",
    "maj7#5": "+M7 +maj7 augM7 M7#5 Δ#5",
    "7b5": "7-5 7♭5 7(b5)",
    "7#9": "7+9 7♯9 7(#9) 7(♯9)",
    "7b9": "7-9 7♭9 7(b9)",
    "7b9b13": "7(b9,b13) 7(b9b13)",
    "6/9": "69 6(9)",
    "m6/9": "m69 -69 -6/9",
    "m6": "-6 min6",
    "6": "maj6 M6",
    "sus4": "sus SUS SUS4 Sus4",
    "sus2": "SUS2 Sus2",
    "7sus4": "7sus m7sus4 7SUS4",
    "9sus4": "9sus",
    "7alt": "alt ALT 7ALT 7(alt)",
    "m(maj7)": "mM7 mmaj7 minMaj7 -Δ -Δ7 mΔ m(M7) -maj7 mi(ma7) MI(MA7) mMA7",
    "add9": "(add9) 2 add2 maadd9 ADD9 MADD9 MAADD9",
    "madd9": "m(add9) -add9 m2",
    "maj9": "M9 Δ9 ma9 MA9 maj7(9)",
    "m9": "-9 min9",
    "7no5": "7omit5 7(no5) 7NO5",
    "m11b5": "ø11",
    "m13b5": "ø13",
    "5": "",
    "13": "7(13) 7(9,13)",
    "11": "7(11)",
    "maj7#11": "M7(#11) Δ♯11",
    "(b5)": "",
}
WAYS = [(way, written) for written, ways in SPELLINGS.items() for way in ways.split()]
ALPHABET = (
    "m - maj M ^ dim o + aug ø 5 6 7 9 11 13 69 6/9 2 sus sus2 sus4 alt add9 add11 add4 add6 add13 "
    "no3 no5 b5 #5 b9 #9 #11 b13 +5 -9 7M ( )"
)
PARTS = ALPHABET.split()
suffixes = st.lists(st.sampled_from(PARTS), max_size=5).map("".join)


@st.composite
def qualities(draw: st.DrawFn) -> Quality:
    while True:
        try:
            return parse_quality(draw(suffixes))
        except ValueError:
            continue


roots = st.integers(-15, 19).map(NoteName)


@pytest.mark.parametrize(("way", "written"), WAYS)
@pytest.mark.parametrize("root", ["A", "Bb", "F#"])
def test_spelling_is_read_as(root: str, way: str, written: str) -> None:
    assert str(parse_chord(root + way)) == root + written


@pytest.mark.parametrize("written", SPELLINGS)
def test_canonical_suffix_reads_back_as_itself(written: str) -> None:
    assert parse_chord("Eb" + written).quality.suffix == written


@pytest.mark.parametrize(
    ("symbol", "notes"),
    [
        ("A7", "A C# E G"), ("D7", "D F# A C"), ("E7", "E G# B D"), ("Am7", "A C E G"),
        ("A-7", "A C E G"), ("AΔ", "A C# E G#"), ("Amaj7", "A C# E G#"), ("Aø", "A C Eb G"),
        ("Am7b5", "A C Eb G"), ("Ao7", "A C Eb Gb"), ("A+", "A C# E#"), ("A7#9", "A C# E G B#"),
        ("A13", "A C# E G B F#"), ("Asus4", "A D E"), ("A6/9", "A C# E F# B"),
        ("A/C#", "A C# E"), ("A♭7", "Ab C Eb Gb"), ("F♯m7♭5", "F# A C E"),
        ("A7alt", "A C# G Bb B# D# F"),
    ],
)  # fmt: skip
def test_chord_has_the_notes(symbol: str, notes: str) -> None:
    """A7, D7, E7: check-values, common practice; the others: common practice."""
    assert [str(note) for note in parse_chord(symbol).notes] == notes.split()


@pytest.mark.parametrize(
    ("symbol", "written", "lowest"),
    [
        ("A/C#", "A/C#", "C#"), ("Bbmaj7/D", "Bbmaj7/D", "D"), ("A6/9/E", "A6/9/E", "E"),
        ("A69/C♯", "A6/9/C#", "C#"), ("A/A", "A", "A"),
        ("Am7/G", "Am7/G", "G"), ("A6/9", "A6/9", "A"),
    ],
)  # fmt: skip
def test_slash_names_the_lowest_note(symbol: str, written: str, lowest: str) -> None:
    chord = parse_chord(symbol)
    assert (str(chord), str(chord.lowest)) == (written, lowest)


@pytest.mark.parametrize(
    "symbol",
    [
        "", "H", "a7", "A/H", "A/c", "A/9", "A77", "Am7alt", "A7altb9", "Asus4sus2", "A7susalt",
        "Adimb5", "A+#5", "A7b9b9", "A7#3", "A7b10", "A5 7", "A57", "Aadd9add9", "A6add13",
        "A7no5no5", "A7\nB7", "A/", "A//C", "N.C.", "A7b", "A" + "sus" * 300_000,
        "A" + "(" * 300_000, "G7^", "G7Δ", "G9△",
    ],
)  # fmt: skip
def test_no_chord_symbol_is_refused_in_a_short_line(symbol: str) -> None:
    with pytest.raises(ValueError, match=r"^chord .{1,300}$"):
        parse_chord(symbol)


@given(
    st.text(max_size=30) | suffixes.map("A".__add__) | st.text("ABm7b5#/(sumaj9\n ", max_size=20)
)
@example("A7\n")
@example("A\x00")
def test_parsing_raises_only_value_error(text: str) -> None:
    for parse in (parse_chord, parse_quality):
        try:
            parse(text)
        except ValueError as error:
            assert str(error)  # noqa: PT017


@given(roots, qualities())
def test_symbol_reads_back(root: NoteName, quality: Quality) -> None:
    chord = parse_chord(f"{root}{quality.suffix}")
    assert (chord.root, chord.quality) == (root, quality)


@given(qualities(), roots, st.none() | roots, st.integers(-12, 12))
def test_transposing_keeps_the_intervals(
    quality: Quality, root: NoteName, bass: NoteName | None, fifths: int
) -> None:
    chord = parse_chord("C" + quality.suffix).transposed(root.fifths)
    moved = chord.transposed(fifths)
    apart = {
        there.fifths - here.fifths for here, there in zip(chord.notes, moved.notes, strict=True)
    }
    assert apart == {fifths}


@given(qualities(), st.integers(-12, 12))
def test_round_the_circle_and_back_is_the_same_sound(quality: Quality, fifths: int) -> None:
    chord = parse_chord("C" + quality.suffix + "/E").transposed(fifths)
    again = chord.transposed(12)
    assert [n.pitch_class for n in (*again.notes, again.lowest)] == [
        n.pitch_class for n in (*chord.notes, chord.lowest)
    ]


@given(qualities())
def test_every_chord_has_its_root(quality: Quality) -> None:
    assert quality.degrees[0].fifths == 0


@given(qualities())
def test_no_degree_stands_twice(quality: Quality) -> None:
    assert len(set(quality.degrees)) == len(quality.degrees)


@pytest.mark.parametrize(
    ("suffix", "third", "seventh"),
    [
        ("7", "3", "b7"), ("m7", "b3", "b7"), ("maj7", "3", "7"), ("6", "3", "6"),
        ("dim7", "b3", "bb7"), ("7sus4", "4", "b7"), ("sus2", "2", "None"), ("5", "None", "None"),
        ("7alt", "3", "b7"), ("m(maj7)", "b3", "7"),
    ],
)  # fmt: skip
def test_guide_tones_are(suffix: str, third: str, seventh: str) -> None:
    quality = parse_quality(suffix)
    assert (str(quality.third), str(quality.seventh)) == (third, seventh)


@pytest.mark.parametrize("suffix", ["7", "9", "13", "7sus4", "7alt", "7b5", "7#5"])
def test_is_dominant(suffix: str) -> None:
    assert parse_quality(suffix).is_dominant


@pytest.mark.parametrize("suffix", ["", "m7", "maj7", "6", "m7b5", "dim7", "5", "m(maj7)"])
def test_is_not_dominant(suffix: str) -> None:
    assert not parse_quality(suffix).is_dominant


def test_text_of_any_length_is_refused() -> None:
    for part in ("add9", "no5", "(", "/", "b5", "maj", "#", "\n"):
        with pytest.raises(ValueError, match=re.escape("chord")):
            parse_chord("A" + part * 200_000)


@pytest.mark.parametrize(
    ("written", "right"),
    [
        ("Fmja7", "Fmaj7"),
        ("Bbm7b", "Bbm7b5"),
        ("Asuz4", "Asus4"),
        ("G7^", "Gmaj7"),
        ("G7Δ", "Gmaj7"),
        ("G13△", "Gmaj13"),
    ],
)
def test_chord_mistyped_is_told_the_nearest(written: str, right: str) -> None:
    with pytest.raises(ValueError, match=f"did you mean {re.escape(right)}\\?"):
        parse_chord(written)


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_every_quality_that_is_suggested_can_be_read(suffix: str) -> None:
    assert parse_chord(f"C{suffix}")
