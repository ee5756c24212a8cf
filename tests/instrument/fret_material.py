"""Tunings, chords and scales for the tests of fretboards."""

from hypothesis import strategies as st

from groove.instrument.fretboard import Tuning, read_tuning, tunings
from groove.instrument.material import Material, arpeggio, scale
from groove.theory.chords import Chord, parse_chord
from groove.theory.pitch import NoteName
from groove.theory.scales import SCALES

QUALITIES = ("", "m", "7", "m7", "maj7", "m7b5", "dim7", "6", "9", "13", "7#9", "7alt", "sus4", "+")
ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
GUITAR = read_tuning("guitar")

shipped_tunings = st.sampled_from(list(tunings().values()))
own_tunings = st.lists(st.integers(28, 69), min_size=3, max_size=8).map(
    lambda strings: Tuning("own", tuple(strings), ("?",) * len(strings))
)
chords = st.builds(lambda r, q: parse_chord(r + q), *map(st.sampled_from, (ROOTS, QUALITIES)))
scales = st.builds(scale, st.sampled_from(ROOTS), st.sampled_from(list(SCALES)))
materials: st.SearchStrategy[Material] = st.one_of(chords.map(arpeggio), scales)


def moved(chord: Chord, semitones: int) -> Chord:
    """The chord that many semitones higher, spelled somehow."""
    fifths = (semitones * 7 + 5) % 12 - 5
    return Chord(NoteName(chord.root.fifths + fifths), chord.quality)
