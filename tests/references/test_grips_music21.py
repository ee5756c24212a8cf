"""Grips sound the chords that music21 reads from their symbols.

Source: general-purpose reference library ``music21``, ``music21.harmony.ChordSymbol``.
"""

from __future__ import annotations

import music21
import pytest

from groove.instrument.fretboard import read_tuning
from groove.instrument.grips.choose import chosen
from groove.theory.chords import parse_chord

FIGURES = {
    "": "", "m": "m", "7": "7", "m7": "m7", "maj7": "maj7", "6": "6", "m6": "m6",
    "m7b5": "m7b5", "dim7": "dim7", "+": "+", "sus4": "sus4", "9": "9", "m9": "m9",
}  # fmt: skip
ROOTS = ("C", "Eb", "F#", "A", "Bb")


@pytest.mark.parametrize("tuning", ["guitar", "bass", "ukulele", "drop-d"])
def test_grips_sound_nothing_but_the_chord(tuning: str) -> None:
    neck = read_tuning(tuning)
    for root in ROOTS:
        for quality, figure in FIGURES.items():
            symbol = music21.harmony.ChordSymbol(root.replace("b", "-") + figure)
            theirs = {pitch.pitchClass for pitch in symbol.pitches}
            for learner in ("beginner", "intermediate", "advanced"):
                for grip in chosen(neck, parse_chord(root + quality), learner, 5):
                    pitches = [
                        music21.pitch.Pitch(neck.open(dot.string)).transpose(dot.fret)
                        for dot in grip.dots
                    ]
                    assert {pitch.pitchClass for pitch in pitches} <= theirs, (root, quality)
                    for dot, pitch in zip(grip.dots, pitches, strict=True):
                        name = music21.pitch.Pitch(dot.name.replace("b", "-"))
                        assert name.pitchClass == pitch.pitchClass
