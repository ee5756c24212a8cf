"""The voicings of a set of tones on the guitar."""

from __future__ import annotations

from functools import lru_cache

from groove.band.comping.voicing import Voicing
from groove.band.guitar import guitar_shapes


@lru_cache(maxsize=2048)
def on_guitar(tones: frozenset[int], voices: int, low: int, high: int) -> tuple[Voicing, ...]:
    """The shapes that sound every one of some tones between two MIDI notes."""
    held = guitar_shapes.shapes(tones, voices, low, high)
    return tuple(Voicing(shape.pitches, shape.strings, shape.frets) for shape in held)
