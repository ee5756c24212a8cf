"""Keys: a tonic and a mode, with the signature that follows.

Signatures count sharps minus flats round the circle of fifths (common practice);
the fifteen from seven flats to seven sharps exist in major and in minor.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from groove.errors import quoted
from groove.theory.pitch import NoteName, plain_signs

MINOR_SIGNATURE = -3  # a minor key has the signature of the major key three fifths flatward
SHARPEST, FLATTEST = 7, -7

_KEY = re.compile(r"([A-Ga-g](?:#|b)?)\s*(.*)")
_MODE_WORDS = {"m": "minor", "-": "minor", "min": "minor", "minor": "minor"} | {
    "maj": "major",
    "major": "major",
}


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic with its mode, ``"major"`` (blues too) or ``"minor"``."""

    tonic: NoteName
    mode: str = "major"

    @classmethod
    def parse(cls, text: str, mode: str = "major") -> Key:
        """Read ``G``, ``Bb``, ``F#m``, ``G minor``; ``mode`` is that of a bare tonic.

        Raises ValueError, saying what is allowed, for anything else and for a key that
        would need more than seven sharps or flats.
        """
        match = _KEY.fullmatch(plain_signs(text.strip()))
        word = match[2] if match else "?"
        word = word if len(word) == 1 else word.lower()
        if not match or (word and word not in _MODE_WORDS):
            german = "German H is B here, and German B is Bb; " if text[:1] in "Hh" else ""
            raise ValueError(
                f"{quoted(text)} is no key; {german}write a tonic like G, Bb or F#, and m for minor"
            )
        if word:
            mode = _MODE_WORDS[word]
        key = cls(NoteName.parse(match[1]), mode)
        if not FLATTEST <= key.signature <= SHARPEST:
            signs = "sharps" if key.signature > 0 else "flats"
            raise ValueError(
                f"{key} would need {abs(key.signature)} {signs}; write {key.respelled().symbol}"
            )
        return key

    @property
    def signature(self) -> int:
        """Sharps minus flats, -7 to 7."""
        return self.tonic.fifths + (MINOR_SIGNATURE if self.mode == "minor" else 0)

    def respelled(self) -> Key:
        """The key that sounds the same with the sharps for flats, or the flats for sharps."""
        return Key(NoteName(self.tonic.fifths + (-12 if self.signature > 0 else 12)), self.mode)

    @property
    def symbol(self) -> str:
        """``G`` or ``Gm``, as the key signature event of a MIDI file has it."""
        return f"{self.tonic}{'m' if self.mode == 'minor' else ''}"

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"


def twelve_keys(home: Key) -> tuple[Key, ...]:
    """A key on each of the twelve notes from C up, in the mode of `home`, itself among them.

    The others are spelled with at most six signs, flats where there are six (common practice).

    >>> [key.symbol for key in twelve_keys(Key.parse("Gm"))][:4]
    ['Cm', 'C#m', 'Dm', 'Ebm']
    """
    first = -6 - Key(NoteName(0), home.mode).signature
    spelled = [Key(NoteName(first + n), home.mode) for n in range(12)]
    by_pitch = {key.tonic.pitch_class: key for key in [*spelled, home]}
    return tuple(by_pitch[pitch] for pitch in range(12))
