"""Chords that tests go through."""

from __future__ import annotations

from hypothesis import strategies as st

from groove.form.chordline import parse_chords
from groove.theory.chords import parse_chord
from groove.theory.functions import TimedChord
from groove.theory.keys import Key

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
SUFFIXES = (
    "", "m", "7", "m7", "maj7", "6", "m6", "m7b5", "dim", "dim7", "+", "7#5", "7b9", "7#9", "7alt",
    "sus4", "sus2", "7sus4", "5", "9", "13", "maj9", "6/9", "m(maj7)", "add9",
)  # fmt: skip
CHORDS = st.builds(
    lambda root, suffix: parse_chord(root + suffix),
    st.sampled_from(ROOTS),
    st.sampled_from(SUFFIXES),
)
NUMERALS = (
    "I", "I7", "Imaj7", "I6", "i", "i7", "i6", "ii7", "iiø7", "bII7", "iii7", "III7", "IV",
    "IV7", "IVmaj7", "iv", "iv6", "#IVdim7", "V", "V7", "V7sus4", "V7b9", "v7", "vi", "VI7",
    "bVI", "bVI7", "bVII", "bVII7", "viiø7", "I+", "I5",
)  # fmt: skip


def chorus(text: str, key: Key) -> list[TimedChord]:
    """The chords of a chorus written as numerals, with their lengths."""
    return [TimedChord(span.chord(key, 0), span.bars) for span in parse_chords(text)]
