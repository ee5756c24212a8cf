"""Phrases moved from chord to chord."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.lesson.phrase_moves import by_degree, seats
from groove.lesson.phrase_notation import Note, Phrase, read_phrase
from groove.theory.chords import Chord, parse_chord
from groove.theory.pitch import NoteName
from tests.instrument.fret_material import GUITAR, chords, moved

A7 = parse_chord("A7")


def phrase(text: str) -> Phrase:
    return read_phrase(text, GUITAR, A7.root)


def names(notes: Phrase) -> list[str]:
    return [note.full_name for note in notes]


@given(chords, chords)
def test_moved_by_degree_third_goes_to_third_and_root_to_root(old: Chord, new: Chord) -> None:
    third, there = old.quality.of_step(3), new.quality.of_step(3)
    notes = tuple(
        Note(str(old.root + d), 60 + (old.root + d).pitch_class)
        for d in (old.quality.degrees[0], third)
        if d
    )
    found = by_degree(notes, old, new)
    assert found[0].pitch % 12 == new.root.pitch_class
    if third and there:
        assert found[1].pitch % 12 == (new.root + there).pitch_class


@given(chords, st.lists(st.integers(50, 80), min_size=1, max_size=6))
def test_moved_to_its_own_chord_a_phrase_sounds_the_same(chord: Chord, pitches: list[int]) -> None:
    notes = tuple(Note(str(NoteName((p * 7 + 5) % 12 - 5)), p) for p in pitches)
    assert [n.pitch for n in by_degree(notes, chord, chord)] == pitches


@given(chords, st.integers(-5, 6), st.lists(st.integers(50, 80), min_size=1, max_size=6))
def test_to_a_chord_of_the_same_kind_every_note_moves_as_far(
    chord: Chord, semitones: int, pitches: list[int]
) -> None:
    notes = tuple(Note(str(NoteName((p * 7 + 5) % 12 - 5)), p) for p in pitches)
    found = by_degree(notes, chord, moved(chord, semitones))
    assert [note.pitch for note in found] == [pitch + semitones for pitch in pitches]
    assert all(NoteName.parse(n.name).pitch_class == n.pitch % 12 for n in found)


def test_adapted_to_minor_the_third_and_what_is_chromatic() -> None:
    notes = phrase("C4 C#4 E4 G4")  # the flat third slides to the third of A7
    assert names(by_degree(notes, A7, parse_chord("Dm7"))) == ["F4", "F4", "A4", "C5"]
    assert names(by_degree(notes, A7, parse_chord("D7"))) == ["F4", "F#4", "A4", "C5"]


def test_lengths_stay() -> None:
    notes = phrase("C#4:1/2 E4:3/2")
    assert [n.beats for n in by_degree(notes, A7, parse_chord("E7"))] == [n.beats for n in notes]


@pytest.mark.parametrize(
    ("note", "chord", "degree", "how", "clash"),
    [
        ("C#4", "A7", "3", "chord", False),
        ("B3", "A7", "2", "scale", False),
        ("D4", "A7", "4", "avoid", True),
        ("C4", "A7", "b3", "blue", False),
        ("Eb4", "A7", "b5", "blue", False),
        ("F4", "A7", "b6", "outside", True),
        ("C4", "Amaj7", "b3", "outside", True),
        ("F#4", "Am7", "6", "scale", False),
        ("C4", "A7#9", "#9", "chord", False),
    ],
)
def test_how_a_note_sits_over_a_chord(
    note: str, chord: str, degree: str, how: str, clash: bool
) -> None:
    (seat,) = seats(phrase(note), parse_chord(chord))
    assert (seat.degree, seat.how, seat.clash) == (degree, how, clash)


@pytest.mark.parametrize(
    ("scale", "how"), [(None, "scale"), ("natural minor", "scale"), ("phrygian", "outside")]
)
def test_scale_of_the_chord_where_it_stands_judges_a_note(scale: str | None, how: str) -> None:
    (seat,) = seats(phrase("B3"), parse_chord("Am7"), scale)
    assert seat.how == how


def test_by_degree_lands_on_the_scale_that_the_chord_has_where_it_stands() -> None:
    moved_ = by_degree(phrase("B3"), A7, parse_chord("Em7"), "mixolydian", "phrygian")
    assert names(moved_) == ["F3"]


def test_moved_notes_are_named_as_players_read_them() -> None:
    """A and not B double flat over D flat; common practice."""
    phrase = read_phrase("C4 D4 E4", None, NoteName.parse("Ab"))
    a_flat = parse_chord("Ab")
    moved = {
        chord: [note.name for note in by_degree(phrase, a_flat, parse_chord(chord))]
        for chord in ("Db", "Eb7", "Abm")
    }
    assert moved["Db"] == ["F", "G", "A"]
    assert moved["Eb7"] == ["G", "A", "B"]
    assert moved["Abm"] == ["Cb", "D", "E"]


GM7 = parse_chord("Gm7")
FALLING = "Bb3 C4 D4 F4 G4 F4 Eb4 C4 Bb3"  # third, fourth, fifth; and down by the sixth


@pytest.mark.parametrize(
    ("text", "chord", "moved"),
    [
        (FALLING, "C7alt", "E F# Ab Bb C Bb Ab F# E"),
        (FALLING, "D7alt", "F# G# Bb C D C Bb G# F#"),
        ("D4 Eb4 D4 Eb4 F4", "C7alt", "F# Ab F# Ab Bb"),
        ("Bb3 C4 D4 Eb4 F4 G4", "E7alt", "G G# Bb C D E"),  # the scale itself
        ("D4 Eb4 D4 C4 Bb3", "C7#5", "G# Bb G# F# E"),
        (FALLING, "C7sus4", "F G G Bb C Bb A G F"),  # home to the suspension
    ],
)
def test_steps_that_sound_as_one_note_are_told_apart(text: str, chord: str, moved: str) -> None:
    """Fourth and fifth over an altered chord are F sharp and A flat: common practice."""
    notes = read_phrase(text, None, GM7.root)
    over = by_degree(notes, GM7, parse_chord(chord), "natural minor")
    assert " ".join(note.name for note in over) == moved


@given(
    chords, st.lists(st.sampled_from(["G", "A", "Bb", "C", "D", "Eb", "F"]), min_size=2, max_size=7)
)
def test_moved_steps_are_never_one_pitch_under_two_names(chord: Chord, steps: list[str]) -> None:
    notes = tuple(Note(name, 60 + NoteName.parse(name).pitch_class) for name in steps)
    for a, b in pairwise(by_degree(notes, GM7, chord, "natural minor")):
        assert a.pitch % 12 != b.pitch % 12 or a.name == b.name


def test_slash_chord_takes_the_scale_of_the_chord_that_it_is_heard_as() -> None:
    """Over F over G, B is the third that is held back: lydian from F; common practice."""
    chord = parse_chord("F/G")
    phrase = read_phrase("F4 A4 B4 C5", None, NoteName.parse("C"))
    found = [str(seat) for seat in seats(phrase, chord, "mixolydian")]
    assert found == ["b7 chord", "9 chord", "3 avoid", "4 chord"]
    up = read_phrase("C4 E4 F4 G4", None, NoteName.parse("C"))
    over = by_degree(up, parse_chord("C"), chord, "major", "mixolydian")
    assert [note.name for note in over] == ["F", "A", "B", "C"]
