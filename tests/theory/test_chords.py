"""Chord symbols. Spellings: common practice; contents are compared in tests/references."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from groove.theory.chords import parse_chord
from groove.theory.near_miss import SUFFIXES
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality, parse_quality
from tests.cases import in_turn
from tests.theory.chord_material import WAYS, qualities, roots, suffixes


@in_turn(("way", "written"), WAYS)
@in_turn("root", ["A", "Bb", "F#"])
def test_spelling_is_read_as(root: str, way: str, written: str) -> None:
    assert str(parse_chord(root + way)) == root + written


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
        ("Am7/G", "Am7/G", "G"), ("A6/9", "A6/9", "A"), ("A/c#", "A/C#", "C#"),
        ("Am7/b7", "Am7/G", "G"), ("A/3", "A/C#", "C#"), ("Am/3", "Am/C", "C"),
        ("A+/5", "A+/E#", "E#"), ("A7(b9/#11)", "A7b9#11", "A"), ("Am/maj7", "Am(maj7)", "A"),
        ("Amin/M7/E", "Am(maj7)/E", "E"),
    ],
)  # fmt: skip
def test_slash_names_the_lowest_note(symbol: str, written: str, lowest: str) -> None:
    chord = parse_chord(symbol)
    assert (str(chord), str(chord.lowest)) == (written, lowest)


@pytest.mark.parametrize(
    "symbol",
    [
        "", "H", "a7", "A/H", "A/9", "A77", "Am7alt", "A7altb9", "A7susalt",
        "Adimb5", "A+#5", "A7b9b9", "A7#3", "A7b11", "A5 7", "A57", "Aadd9add9", "A6add13",
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


@pytest.mark.parametrize(("length", "fault"), [(40, "can't be read"), (41, "is too long")])
def test_longest_text_that_is_looked_at(length: int, fault: str) -> None:
    with pytest.raises(ValueError, match=fault):
        parse_chord("A" + "x" * (length - 1))


@pytest.mark.parametrize(("symbol", "hinted"), [("H7", True), ("Hm", True), ("x", False)])
def test_german_names_are_explained_where_one_may_be_meant(symbol: str, hinted: bool) -> None:
    with pytest.raises(ValueError, match="chord") as error:
        parse_chord(symbol)
    assert ("German" in str(error.value)) == hinted


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


@in_turn("suffix", SUFFIXES)
def test_every_quality_that_is_suggested_can_be_read(suffix: str) -> None:
    assert parse_chord(f"C{suffix}")
