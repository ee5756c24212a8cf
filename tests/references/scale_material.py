"""Scales as music21, a general-purpose reference library, has them."""

from music21 import scale

# Ours: the scale music21 has, and on which of its degrees ours begins.
SAME = {
    "major": (scale.MajorScale, 1), "dorian": (scale.DorianScale, 1),
    "phrygian": (scale.PhrygianScale, 1), "lydian": (scale.LydianScale, 1),
    "mixolydian": (scale.MixolydianScale, 1), "natural minor": (scale.MinorScale, 1),
    "locrian": (scale.LocrianScale, 1), "harmonic minor": (scale.HarmonicMinorScale, 1),
    "melodic minor": (scale.MelodicMinorScale, 1), "whole tone": (scale.WholeToneScale, 1),
    "lydian augmented": (scale.MelodicMinorScale, 3),
    "lydian dominant": (scale.MelodicMinorScale, 4), "altered": (scale.MelodicMinorScale, 7),
    "phrygian dominant": (scale.HarmonicMinorScale, 5),
    "locrian natural 2": (scale.MelodicMinorScale, 6),
    "whole-half diminished": (scale.OctatonicScale, 1),
    "half-whole diminished": (scale.OctatonicScale, 2),
    "major pentatonic": (scale.MajorScale, 1), "minor pentatonic": (scale.MinorScale, 1),
}  # fmt: skip
# music21 has no pentatonics or blues scale; they are its scales with degrees left out or added.
LEFT_OUT = {"major pentatonic": (4, 7), "minor pentatonic": (2, 6)}


def theirs(name: str) -> list[int]:
    """Semitones above the tonic."""
    kind, degree = SAME[name]
    pitches = kind("C").getPitches("C4", "C6", direction=scale.Direction.ASCENDING)
    size = len({pitch.pitchClass for pitch in pitches})
    start = degree - 1
    turned = pitches[start : start + size]
    return [
        (pitch.ps - turned[0].ps) % 12
        for place, pitch in enumerate(turned, 1)
        if place not in LEFT_OUT.get(name, ())
    ]
