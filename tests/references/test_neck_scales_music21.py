"""Scales on the neck hold the notes that music21 has for them, at the frets that are drawn.

Source: general-purpose reference library ``music21``, ``music21.scale``.
"""

from __future__ import annotations

import music21
import pytest

import groove
from groove.instrument.fretboard import read_tuning
from groove.lesson.guide import write_guide
from groove.lesson.neck_scales import CHORD, PASSING, neck_scales

THEIRS = {
    "major": music21.scale.MajorScale,
    "natural minor": music21.scale.MinorScale,
    "harmonic minor": music21.scale.HarmonicMinorScale,
    "dorian": music21.scale.DorianScale,
    "mixolydian": music21.scale.MixolydianScale,
    "lydian": music21.scale.LydianScale,
    "phrygian": music21.scale.PhrygianScale,
    "whole tone": music21.scale.WholeToneScale,
}
FORMS = ("twelve-bar", "minor-twelve-bar", "jazz-twelve-bar", "rhythm-changes", "minor-vamp")


@pytest.mark.parametrize("tuning", ["guitar", "bass", "ukulele", "drop-d"])
@pytest.mark.parametrize("form", FORMS)
def test_drawn_notes_are_those_of_the_scale_and_chord_tones_those_of_the_chord(
    form: str, tuning: str
) -> None:
    neck = read_tuning(tuning)
    for shown in neck_scales(write_guide(groove.read_form(form)), neck):
        chord = music21.harmony.ChordSymbol(str(shown.chord).replace("b", "-").replace("-5", "b5"))
        tones = {pitch.pitchClass for pitch in chord.pitches}
        own = None
        if shown.choice.scale in THEIRS:
            made = THEIRS[shown.choice.scale](str(shown.choice.root).replace("b", "-"))
            own = {pitch.pitchClass for pitch in made.getPitches()}
        for position in (shown.home, *shown.five):
            heard = {(neck.open(dot.string) + dot.fret) % 12 for dot in position.dots}
            assert own is None or heard == own
            for dot in position.dots:
                sound = (neck.open(dot.string) + dot.fret) % 12
                assert music21.pitch.Pitch(dot.name.replace("b", "-")).pitchClass == sound
                if shown.look(dot) == CHORD:
                    assert sound in tones
                if shown.look(dot) == PASSING:
                    assert sound not in tones
