"""Pitch classes of chord symbols agree with mir_eval.chord.encode.

Source: Harte et al., Symbolic Representation of Musical Chords, ISMIR 2005, as ``mir_eval``
reads it.
"""

import numpy as np
import pytest
from mir_eval.chord import QUALITIES, encode

from groove.theory.chords import parse_chord
from groove.theory.quality import parse_quality
from tests.cases import in_turn

ROOTS = ["C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"]
HARTE = {
    "": "maj", "m": "min", "+": "aug", "dim": "dim", "sus2": "sus2", "sus4": "sus4", "5": "5",
    "6": "maj6", "m6": "min6", "7": "7", "maj7": "maj7", "m7": "min7", "m(maj7)": "minmaj7",
    "dim7": "dim7", "m7b5": "hdim7", "9": "9", "maj9": "maj9", "m9": "min9", "11": "11",
    "m11": "min11", "m13": "min13", "6/9": "maj6(9)", "m6/9": "min6(9)", "7b9": "7(b9)",
    "7#9": "7(#9)", "7#11": "7(#11)", "7b13": "7(b13)", "7b9b13": "7(b9,b13)", "add9": "maj(9)",
    "madd9": "min(9)", "7sus4": "sus4(b7)", "9sus4": "sus4(b7,9)", "13sus4": "sus4(b7,9,13)",
    "7b5": "7(*5,b5)", "7#5": "aug(b7)", "maj7#5": "aug(7)", "maj7#11": "maj7(#11)",
    "maj9#11": "maj9(#11)", "m(maj9)": "minmaj7(9)", "m9b5": "hdim7(9)", "13b9": "7(b9,13)",
    "dim(maj7)": "dim(7)", "7no5": "7(*5)", "no3": "maj(*3)", "add11": "maj(11)",
    "9#11": "9(#11)", "13#11": "9(#11,13)", "7#5#9": "aug(b7,#9)", "7sus4b9": "sus4(b7,b9)",
    "no3no5": "1", "13add11": "13", "maj13add11": "maj13", "sus4add9": "sus4(2)",
    "9no7": "7(*b7,9)", "addb6": "maj(b6)", "maddb6": "min(b6)", "7sus4add3": "sus4(3,b7)",
    "m7no5": "min7(*5)", "add6": "maj(6)", "5add9": "5(9)", "mno3": "min(*b3)",
}  # fmt: skip


def pitch_classes(label: str) -> set[int]:
    root, bitmap, _ = encode(label, reduce_extended_chords=True)
    return {int(root + step) % 12 for step in np.flatnonzero(bitmap > 0)}


def ours(symbol: str) -> set[int]:
    return {note.pitch_class for note in parse_chord(symbol).notes}


@in_turn("suffix", HARTE)
def test_pitch_classes_are_those_of_mir_eval(suffix: str) -> None:
    assert {root: ours(root + suffix) for root in ROOTS} == {
        root: pitch_classes(f"{root}:{HARTE[suffix]}") for root in ROOTS
    }


@pytest.mark.parametrize("suffix", ["13", "maj13"])
def test_thirteenth_is_that_of_mir_eval_without_its_eleventh(suffix: str) -> None:
    """On purpose: on a major third a thirteenth leaves the eleventh out (common practice)."""
    assert ours("C" + suffix) == pitch_classes(f"C:{suffix}") - {5}
    assert 5 in pitch_classes(f"C:{suffix}")


def test_altered_chord_is_the_degrees_harte_would_list_with_its_natural_fifth_gone() -> None:
    """On purpose: alt has all four altered tones and no natural fifth (common practice)."""
    assert ours("C7alt") == pitch_classes("C:7(*5,b9,#9,#11,b13)")


def test_every_shorthand_of_mir_eval_is_covered() -> None:
    covered = set(HARTE.values()) | {"13", "maj13"}
    assert set(QUALITIES) - {""} <= covered  # which is no quality


@pytest.mark.parametrize(("symbol", "label"), [("Am7/b7", "A:min7/b7"), ("C/3", "C:maj/3")])
def test_bass_as_a_degree_is_that_of_mir_eval(symbol: str, label: str) -> None:
    root, _, bass = encode(label)
    assert parse_chord(symbol).lowest.pitch_class == (root + bass) % 12


@in_turn("suffix", HARTE)
def test_every_mapped_suffix_is_canonical(suffix: str) -> None:
    assert parse_quality(suffix).suffix == suffix
