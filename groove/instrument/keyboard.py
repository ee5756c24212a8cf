"""The keys of a keyboard that sound a scale or an arpeggio."""

from __future__ import annotations

from dataclasses import dataclass

from groove.instrument.material import Material
from groove.theory.pitch import NoteName, octave

MIDDLE_C, OCTAVES = 60, 2  # the keys from middle C on
BLACK_KEYS = {1, 3, 6, 8, 10}


@dataclass(frozen=True, slots=True)
class KeyboardKey:
    """A key to play: MIDI note, name, degree, role (see material)."""

    pitch: int
    name: str
    degree: str
    role: str

    @property
    def full_name(self) -> str:
        """The name with its octave, ``"Bb3"``; middle C is C4."""
        return f"{self.name}{octave(NoteName.parse(self.name), self.pitch)}"

    @property
    def black(self) -> bool:
        """True for a black key."""
        return self.pitch % 12 in BLACK_KEYS


def keys(
    material: Material, lowest: int = MIDDLE_C, octaves: int = OCTAVES
) -> tuple[KeyboardKey, ...]:
    """The keys of some material over some octaves from a MIDI note on.

    >>> from groove.instrument.material import arpeggio
    >>> from groove.theory.chords import parse_chord
    >>> [(key.pitch, key.name, key.degree) for key in keys(arpeggio(parse_chord("A7")))][:5]
    [(61, 'C#', '3'), (64, 'E', '5'), (67, 'G', 'b7'), (69, 'A', '1'), (73, 'C#', '3')]
    """
    tones = ((p, material.tone(p)) for p in range(lowest, lowest + 12 * octaves))
    return tuple(KeyboardKey(p, tone.name, tone.degree, tone.role) for p, tone in tones if tone)
