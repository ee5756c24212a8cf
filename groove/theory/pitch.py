"""Spelled note names and intervals on the line of fifths.

A spelled name (C sharp is not D flat) is a place on the line of fifths
... Bb F C G D A E B F# ... with C at 0; an interval is a distance on that line.
Transposing is adding, and the spelling follows by itself: the flat third of A is
A + (-3) = C. The line of fifths as a model of spelling: common practice in music theory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from groove.errors import quoted

_PITCH = re.compile(r"([A-Ga-g][#b♯♭x]{0,2})(-?\d+)")

LETTERS_BY_FIFTHS = "FCGDAEB"
DEGREE_FIFTHS = {1: 0, 2: 2, 3: 4, 4: -1, 5: 1, 6: 3, 7: 5}  # the major scale
SHARPEN = 7  # a sharp is seven fifths up, a flat seven down

_PLAIN = str.maketrans("♭♯♮Δ△∆\u2212\u2013∅˚⁶⁷⁹", "b#n^^^--ø°679") | str.maketrans(
    {"𝄫": "bb", "𝄪": "##"}
)
NOTE_NAME = re.compile(r"([A-Ga-g])(##|bb|x|#|b)?")


def plain_signs(text: str) -> str:
    """The text with typographic accidentals, triangles and figures as plain characters.

    >>> plain_signs("B♭Δ"), plain_signs("Cm⁷")
    ('Bb^', 'Cm7')
    """
    return text.translate(_PLAIN)


@dataclass(frozen=True, order=True, slots=True)
class NoteName:
    """A spelled note name without an octave: its place on the line of fifths, C = 0."""

    fifths: int

    @classmethod
    def parse(cls, text: str) -> NoteName:
        """Read a name such as ``C``, ``F#``, ``Bb``, ``Ebb`` or ``B♭``.

        Raises ValueError where the text is no note name.
        """
        match = NOTE_NAME.fullmatch(plain_signs(text))
        if not match:
            raise ValueError(f"{quoted(text)} is no note name")
        letter, sign = match[1].upper(), match[2] or ""
        sharps = 2 if sign == "x" else sign.count("#") - sign.count("b")
        return cls(LETTERS_BY_FIFTHS.index(letter) - 1 + SHARPEN * sharps)

    @property
    def letter(self) -> str:
        """The letter of the name, A to G."""
        return LETTERS_BY_FIFTHS[(self.fifths + 1) % 7]

    @property
    def sharps(self) -> int:
        """Sharps minus flats in the name."""
        return (self.fifths + 1) // 7

    @property
    def pitch_class(self) -> int:
        """Semitones above C, 0 to 11."""
        return self.fifths * 7 % 12

    def __add__(self, interval: Degree) -> NoteName:
        return NoteName(self.fifths + interval.fifths)

    def __str__(self) -> str:
        return self.letter + "#" * self.sharps + "b" * -self.sharps


@dataclass(frozen=True, order=True, slots=True)
class Degree:
    """A degree counted on the major scale of a root: 3, b7, #11.

    number: 1 to 13. alter: sharps minus flats against the major scale.
    """

    number: int
    alter: int = 0

    @classmethod
    def parse(cls, text: str) -> Degree:
        """Read ``3``, ``b7``, ``bb7`` or ``#11``; raises ValueError for anything else."""
        match = re.fullmatch(r"(#{0,2}|b{0,2})(1[0-3]|[1-9])", plain_signs(text))
        if not match:
            raise ValueError(f"{quoted(text)} is no degree")
        return cls(int(match[2]), match[1].count("#") - match[1].count("b"))

    @property
    def step(self) -> int:
        """The degree within one octave, 1 to 7."""
        return (self.number - 1) % 7 + 1

    @property
    def fifths(self) -> int:
        """The distance from the root on the line of fifths."""
        return DEGREE_FIFTHS[self.step] + SHARPEN * self.alter

    @property
    def semitones(self) -> int:
        """Semitones above the root, compound degrees above the octave."""
        octaves, step = divmod(self.number - 1, 7)
        major = (0, 2, 4, 5, 7, 9, 11)[step]
        return 12 * octaves + major + self.alter

    def __str__(self) -> str:
        return "#" * self.alter + "b" * -self.alter + str(self.number)


def degrees(text: str) -> tuple[Degree, ...]:
    """Read several degrees, ``"1 b3 5 b7"``; raises ValueError where one can't be read."""
    return tuple(Degree.parse(word) for word in text.split())


def parse_pitch(text: str) -> tuple[NoteName, int]:
    """A note with its octave as spelled name and MIDI note; ValueError for anything else.

    >>> name, pitch = parse_pitch("Bb3")
    >>> str(name), pitch
    ('Bb', 58)
    """
    match = _PITCH.fullmatch(text)
    if not match:
        raise ValueError(f"{quoted(text)} is no note with its octave")
    name = NoteName.parse(match[1])
    natural = (name.pitch_class - name.sharps) % 12
    return name, 12 * (int(match[2]) + 1) + natural + name.sharps


def octave(name: NoteName, pitch: int) -> int:
    """The octave in which the MIDI note `pitch`, spelled `name`, is written; middle C is C4."""
    return (pitch - name.sharps) // 12 - 1


def spelled(pitch: int, tonic: NoteName) -> NoteName:
    """The spelling of a MIDI note that lies nearest to a tonic: b2 to #4 on the line of fifths.

    >>> str(spelled(58, NoteName.parse("F"))), str(spelled(58, NoteName.parse("B")))
    ('Bb', 'A#')
    """
    turns = (pitch * 7 - tonic.fifths + 5) % 12 - 5
    return NoteName(tonic.fifths + turns)
