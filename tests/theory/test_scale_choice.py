"""Scales that hold a chord, and notes not to rest on. Source throughout: common practice."""

import pytest

from groove.theory.chords import parse_chord
from groove.theory.pitch import NoteName
from groove.theory.scale_choice import avoid_notes, clashes, holds, mode_on
from groove.theory.scales import scale_notes

MODES = ("major", "dorian", "phrygian", "lydian", "mixolydian", "natural minor", "locrian")


@pytest.mark.parametrize(("degree", "mode"), list(enumerate(MODES)))
def test_modes_are_the_major_scale_begun_elsewhere(degree: int, mode: str) -> None:
    notes = scale_notes(NoteName.parse("D"), "major")
    assert mode_on(notes[degree], notes) == mode


def test_fifth_mode_of_harmonic_minor_is_phrygian_dominant() -> None:
    notes = scale_notes(NoteName.parse("A"), "harmonic minor")
    assert mode_on(NoteName.parse("E"), notes) == "phrygian dominant"


@pytest.mark.parametrize(
    ("chord", "scale", "avoided"),
    [
        ("Cmaj7", "major", "F"),
        ("C7", "mixolydian", "F"),
        ("Dm7", "dorian", ""),
        ("Em7", "phrygian", "F C"),
        ("Fmaj7", "lydian", ""),
        ("Am7", "natural minor", "F"),
        ("Bm7b5", "locrian", "C"),
        ("G7sus4", "mixolydian", "B"),
        ("E7", "phrygian dominant", "A"),
        ("G7", "altered", ""),
        ("G7", "half-whole diminished", ""),
        ("G7", "lydian dominant", ""),
        ("Bdim7", "whole-half diminished", ""),
    ],
)
def test_avoid_notes(chord: str, scale: str, avoided: str) -> None:
    read = parse_chord(chord)
    found = avoid_notes(read, scale_notes(read.root, scale))
    assert " ".join(map(str, found)) == avoided


def test_altered_scale_holds_a_seventh_chord_but_for_its_fifth() -> None:
    quality = parse_chord("G7").quality
    assert not holds(quality, "altered")
    assert holds(quality, "altered", fifth=False)


def test_triad_that_leads_home_takes_the_tensions_of_a_dominant() -> None:
    chord = parse_chord("E")
    notes = scale_notes(chord.root, "phrygian dominant")
    assert [str(n) for n in avoid_notes(chord, notes, leads=True)] == ["A"]


@pytest.mark.parametrize("turn", [0, 12, -12])
def test_clashes_do_not_depend_on_the_enharmonic_name_of_a_chord(turn: int) -> None:
    """B major 7 sharp 11 beside B flat minor pentatonic is C flat major 7 sharp 11."""
    chord = parse_chord("Cbmaj7#11").transposed(turn)
    notes = scale_notes(NoteName.parse("Bb"), "minor pentatonic")
    assert clashes(chord, notes) == ()
