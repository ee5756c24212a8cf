"""Chords that tests go through."""

from __future__ import annotations

from hypothesis import strategies as st

from groove.form.chordline import parse_chords
from groove.theory.chords import parse_chord
from groove.theory.functions import TimedChord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality, parse_quality

SPELLINGS = {
    "": "maj M Maj ma major",
    "m": "min - mi Min MI MIN Mi minor",
    "m7": "-7 min7 mi7 Mi7 MI7 MIN7 \u22127 \u20137 m⁷ m(b7)",
    "maj7": "(maj7) mj7 Δ Δ7 △ △7 M7 ma7 Ma7 MA7 Maj7 MAJ7 7M 7maj 7MA 7Maj ^ ^7 (MA7) ∆ ∆7",
    "m7b5": "ø ø7 Ø -7b5 min7b5 m7-5 m7(b5) m7♭5 mi7b5 m7(♭5) MI7b5 MI7(b5) ∅ h h7 hdim7",
    "dim": "o ° º DIM Dim",
    "dim7": "o7 °7 º7 DIM7 ˚7",
    "+": "aug +5 AUG Aug",
    "7#5": "+7 aug7 7+ 7aug 7+5 7♯5 7(#5)",
    "maj7#5": "+M7 +maj7 augM7 M7#5 Δ#5",
    "7b5": "7-5 7♭5 7(b5) 7dim5 dom7dim5",
    "7#9": "7+9 7♯9 7(#9) 7(♯9)",
    "7b9": "7-9 7♭9 7(b9)",
    "7b9b13": "7(b9,b13) 7(b9b13)",
    "6/9": "69 6(9)",
    "m6/9": "m69 -69 -6/9",
    "m6": "-6 min6",
    "6": "maj6 M6",
    "sus4": "sus SUS SUS4 Sus4",
    "sus2": "SUS2 Sus2",
    "7sus4": "7sus m7sus4 7SUS4 sus7",
    "9sus4": "9sus 7sus(9) sus9 SUS9",
    "13sus4": "13sus m13sus4 -13sus 7sus4(13) sus13",
    "13sus4b5": "ø13sus4",
    "7alt": "alt ALT 7ALT 7(alt)",
    "m(maj7)": "mM7 mmaj7 minMaj7 -Δ -Δ7 mΔ m(M7) -maj7 mi(ma7) MI(MA7) mMA7 m#7 m(#7) -(♯7)",
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
    "7": "(b7) dom7 dominant7 ⁷",
    "13b9": "7(b9,13) 7b9(13) 7(b9)(13)",
    "13#11": "7(#11,13) 9(#11,13) 9#11(13)",
    "9#11": "7(9,#11)",
    "maj9#11": "maj7(9,#11)",
    "m11": "m9(11)",
    "sus4add9": "sus24 sus2sus4 sus4sus2 sus4(9)",
    "maddb6": "m(b6) -b6 mb6",
    "7b13": "7b6 7(b6)",
    "7#11": "7#4",
    "(#11)": "(#4)",
    "7sus4add3": "7susadd3",
    "9no7": "9(no7)",
    "no3": "[no3] (no3)",
    "(b5)": "",
}
"""The suffix that is written for a quality, and all the others that are read as it."""
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
