"""Chord tones from symbols agree with music21.harmony.ChordSymbol.

Source: general-purpose reference library ``music21``.
"""

import pytest
from music21.harmony import CHORD_TYPES, ChordSymbol

from groove.theory.chords import parse_chord

SEVENTEEN = "C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B Cb"
ROOTS = SEVENTEEN.split()
# Our suffix, and the one by which music21 knows the same chord.
SUFFIXES = {
    "": "", "m": "m", "+": "+", "dim": "dim", "sus2": "sus2", "sus4": "sus4", "6": "6",
    "m6": "m6", "7": "7", "maj7": "maj7", "m7": "m7", "m(maj7)": "mM7", "dim7": "dim7",
    "m7b5": "m7b5", "7#5": "7+", "maj7#5": "+M7", "7sus4": "7sus4", "9": "9", "maj9": "M9",
    "m9": "m9", "m(maj9)": "mM9", "9#5": "9#5", "maj9#5": "+M9", "m9b5": "ø9", "dim9": "o9",
    "11": "11", "maj11": "M11", "m11": "m11", "m11b5": "ø11", "m13": "m13", "7b5": "dom7dim5",
    "m(maj11)": "mM11", "m(maj13)": "mM13", "7b9": "7addb9", "7#9": "7add#9", "7#11": "7add#11",
    "m7add11": "m7add11", "add9": "add9", "6/9": "6add9", "m13b5": "ø13",
}  # fmt: skip
# On purpose: on a major third a thirteenth leaves the eleventh out (common practice).
WITHOUT_ELEVENTH = {"13": "13", "maj13": "M13", "13#5": "+13", "maj13#5": "+M13"}
# Where an abbreviation of music21 is not read, or has another chord in the trade.
WRITTEN = {
    "major-13th": "Cmaj13add11", "dominant-13th": "C13add11",
    "augmented-major-13th": "Cmaj13#5add11", "augmented-dominant-13th": "C13#5add11",
    "diminished-minor-ninth": "Cdim7b9", "Neapolitan": "C(b5)addb9", "Italian": "Ab7no5/C",
    "French": "D7b5/C", "German": "Ab7/C", "pedal": "Cno3no5", "power": "C5", "Tristan": "Cm7b5",
}  # fmt: skip


def theirs(root: str, suffix: str) -> list[str]:
    symbol = ChordSymbol(root.replace("b", "-") + suffix)
    return [pitch.name.replace("-", "b") for pitch in symbol.pitches]


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_spelled_notes_are_those_of_music21(suffix: str) -> None:
    reference = {root: sorted(theirs(root, SUFFIXES[suffix])) for root in ROOTS}
    found = {root: sorted(str(note) for note in parse_chord(root + suffix).notes) for root in ROOTS}
    assert found == reference


@pytest.mark.parametrize("suffix", WITHOUT_ELEVENTH)
def test_thirteenth_on_a_major_third_is_that_of_music21_without_its_eleventh(suffix: str) -> None:
    def without(root: str) -> list[str]:
        eleventh = str(parse_chord(f"{root}sus4").notes[1])
        names = theirs(root, WITHOUT_ELEVENTH[suffix])
        assert eleventh in names, "music21 has no eleventh to leave out"
        return sorted(name for name in names if name != eleventh)

    found = {root: sorted(str(note) for note in parse_chord(root + suffix).notes) for root in ROOTS}
    assert found == {root: without(root) for root in ROOTS}


@pytest.mark.parametrize("kind", CHORD_TYPES)
def test_every_type_of_music21_can_be_written(kind: str) -> None:
    symbols = [WRITTEN[kind]] if kind in WRITTEN else ["C" + way for way in CHORD_TYPES[kind][1]]
    reference = {pitch.pitchClass for pitch in ChordSymbol(root="C", kind=kind).pitches}
    for symbol in symbols:
        assert {note.pitch_class for note in parse_chord(symbol).notes} == reference


@pytest.mark.parametrize("symbol", ["A/C#", "C7/Bb", "Dm7/G", "Ebmaj7/D", "F#m7b5/C"])
def test_bass_of_a_slash_chord_is_that_of_music21(symbol: str) -> None:
    head, _, bass = symbol.partition("/")
    reference = ChordSymbol(
        f"{head[:1]}{head[1:2].replace('b', '-')}{head[2:]}/{bass.replace('b', '-')}"
    )
    assert str(parse_chord(symbol).lowest) == reference.bass().name.replace("-", "b")


@pytest.mark.parametrize("symbol", ["C7alt", "C13sus4", "C9sus4"])
def test_music21_does_not_know(symbol: str) -> None:
    """These have no second opinion here; if music21 learns them, move them up."""
    with pytest.raises(ValueError, match="Invalid chord abbreviation"):
        ChordSymbol(symbol)
