"""Scales by name, and the scale that goes with a chord.

Contents and names: common practice; the same tables stand in any theory handbook.
"""

from __future__ import annotations

from functools import lru_cache

from groove.theory.pitch import Degree, NoteName, degrees
from groove.theory.quality import Quality

SCALES = {
    "major": "1 2 3 4 5 6 7",
    "dorian": "1 2 b3 4 5 6 b7",
    "phrygian": "1 b2 b3 4 5 b6 b7",
    "lydian": "1 2 3 #4 5 6 7",
    "mixolydian": "1 2 3 4 5 6 b7",
    "natural minor": "1 2 b3 4 5 b6 b7",
    "phrygian dominant": "1 b2 3 4 5 b6 b7",
    "locrian": "1 b2 b3 4 b5 b6 b7",
    "locrian natural 2": "1 2 b3 4 b5 b6 b7",
    "harmonic minor": "1 2 b3 4 5 b6 7",
    "melodic minor": "1 2 b3 4 5 6 7",
    "lydian augmented": "1 2 3 #4 #5 6 7",
    "lydian dominant": "1 2 3 #4 5 6 b7",
    "altered": "1 b2 b3 b4 b5 b6 b7",
    "whole tone": "1 2 3 #4 #5 b7",
    "whole-half diminished": "1 2 b3 4 b5 b6 bb7 7",
    "half-whole diminished": "1 b2 b3 3 #4 5 6 b7",
    "major pentatonic": "1 2 3 5 6",
    "minor pentatonic": "1 b3 4 5 b7",
    "blues": "1 b3 4 b5 5 b7",
    "major blues": "1 2 b3 3 5 6",
}
PERFECT_FIFTH = 7  # semitones


def scale_degrees(name: str) -> tuple[Degree, ...]:
    """The degrees of a named scale; KeyError for a name that is not in SCALES."""
    return degrees(SCALES[name])


def scale_notes(tonic: NoteName, name: str) -> tuple[NoteName, ...]:
    """The spelled notes of a named scale from its tonic up, the octave left out.

    >>> [str(n) for n in scale_notes(NoteName.parse("A"), "minor pentatonic")]
    ['A', 'C', 'D', 'E', 'G']
    """
    return tuple(tonic + degree for degree in scale_degrees(name))


@lru_cache(maxsize=1024)
def chord_scale(quality: Quality) -> str:
    """The name of the plainest scale that holds the whole chord.

    Where none does, the fifth gives way, as it does in playing: ``A7#9b13`` is altered.
    """
    tones = {degree.semitones % 12 for degree in quality.degrees}
    names = _PLAINEST_FIRST[_family(quality)]
    for needed in (tones, tones - {PERFECT_FIFTH}):
        for name in names:
            if needed <= {degree.semitones for degree in scale_degrees(name)}:
                return name
    return names[0]


def _family(quality: Quality) -> str:
    if quality.is_minor:
        return "minor"
    return "dominant" if quality.is_dominant else "major"


_PLAINEST_FIRST = {
    "major": ("major", "lydian", "lydian augmented", "mixolydian", "whole tone", "altered"),
    "dominant": (
        "mixolydian",
        "lydian dominant",
        "whole tone",
        "half-whole diminished",
        "phrygian dominant",
        "altered",
    ),
    "minor": (
        "dorian",
        "natural minor",
        "locrian",
        "whole-half diminished",
        "melodic minor",
        "harmonic minor",
        "phrygian",
    ),
}
