"""The tone of a stroke by its strength, and the differences of equal strokes: read from
``patterns/mix.toml``, which explains the figures.

The softer a stroke, the lower the corner of a low-pass filter of 12 dB an octave, which lies at
20 kHz for the loudest. Tone goes with the written velocity, not with the one that the mix gives the
stroke to set its loudness.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from groove import library
from groove.rhythm.kit import KIT

LOUDEST = 127
OPEN = 13_500
"""The corner of an open filter in cents above 8.176 Hz (note 0): 19.9 kHz (SoundFont specification
2.01, from memory)."""

MOST_WAYS = 5
FAMILY = 8
"""Programs in a family of General MIDI."""


@dataclass(frozen=True, slots=True)
class Tone:
    """The tone of an instrument or a piece of the kit, in cents.

    darker: how much lower the filter's corner is for the softest stroke than for the loudest.
    pitch: how far equal strokes go up or down. shade: how much darker the darkest of equal strokes
    is than the brightest. ways: how many different ones there are.
    behind: whether the filter stands behind the soundfont's own, and not in its place, as for
    sounds that are made of an open and a closed half there.
    """

    darker: float
    pitch: float
    shade: float
    ways: int = 4
    behind: bool = False

    def __post_init__(self) -> None:
        if not (0 <= self.darker <= OPEN and 0 <= self.pitch <= 50 and 0 <= self.shade <= OPEN):
            raise ValueError(f"a tone has darker, shade 0 to {OPEN} and pitch 0 to 50, not {self}")
        if not 1 <= self.ways <= MOST_WAYS:
            raise ValueError(f"a tone has 1 to {MOST_WAYS} ways, not {self.ways}")

    def closed(self, velocity: int) -> float:
        """By how many cents the filter is closed for a stroke of a velocity.

        >>> Tone(darker=2540, pitch=0, shade=0).closed(27)
        2000.0
        """
        return self.darker * (LOUDEST - velocity) / LOUDEST


EVEN = Tone(0, 0, 0)
"""No stroke differs from another."""


def kit_tone(note: int) -> Tone:
    """The tone of a piece of the kit, by its note."""
    tones = _kit()
    return tones.get(note, tones[-1])


@cache
def program_tone(program: int) -> Tone:
    """The tone of a melodic program, counted from 0: its own, else its family's."""
    content, families = library.table("mix")["tone"], library.table("instruments")["programs"]
    family, programs = list(families.items())[program // FAMILY]
    name = list(programs)[program % FAMILY]
    return Tone(**content["instruments"].get(name, content["families"][family]))


@cache
def _kit() -> dict[int, Tone]:
    """The tones of the kit by note, and under -1 that of any other piece."""
    pieces = library.table("mix")["tone"]["kit"]
    return {KIT[piece].note if piece in KIT else -1: Tone(**row) for piece, row in pieces.items()}
