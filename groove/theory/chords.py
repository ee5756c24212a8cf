"""Chord symbols as lead sheets spell them.

A symbol is a root, a quality and, after a slash, a bass note: ``A7``, ``F#m7b5``,
``Bbmaj7/D``; the bass may be a degree of the chord, ``Am7/b7``, and a small letter. The quality is
read by groove.theory.quality.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from groove.errors import quoted
from groove.theory.near_miss import meant
from groove.theory.pitch import Degree, NoteName, plain_signs
from groove.theory.quality import Quality, parse_quality

LONGEST_SYMBOL = 40  # characters
_IN_BRACKETS = re.compile(r"\([^()]*\)")
_MINOR_MAJOR = re.compile(r"(m|mi|min|-|dim7?|o7?)/(?=(?:maj|Maj|ma|Ma|M)7)")
_TONE = re.compile(r"b?[35]|#5|b7")
EXAMPLES = "A, Am7, A7, Amaj7, Am7b5, Adim7, A+, A7sus4, A13, A7#9, A6/9, A/C#"


@dataclass(frozen=True, slots=True)
class Chord:
    """A root, a quality and, for a slash chord, another note in the bass."""

    root: NoteName
    quality: Quality
    bass: NoteName | None = None

    @property
    def notes(self) -> tuple[NoteName, ...]:
        """The chord tones, spelled, from the root up."""
        return tuple(self.root + degree for degree in self.quality.degrees)

    @property
    def lowest(self) -> NoteName:
        """The bass note of a slash chord, else the root."""
        return self.bass or self.root

    def transposed(self, fifths: int) -> Chord:
        """The chord moved by an interval on the line of fifths, its spelling with it.

        groove.theory.spelling spells it for a key.
        """
        bass = NoteName(self.bass.fifths + fifths) if self.bass else None
        return Chord(NoteName(self.root.fifths + fifths), self.quality, bass)

    def __str__(self) -> str:
        return f"{self.root}{self.quality.suffix}" + (f"/{self.bass}" if self.bass else "")


@lru_cache(maxsize=4096)
def parse_chord(symbol: str) -> Chord:
    """Read an absolute chord symbol.

    Raises ValueError, saying what can't be read, for anything else.

    >>> str(parse_chord("A-7")), [str(n) for n in parse_chord("A-7").notes]
    ('Am7', ['A', 'C', 'E', 'G'])
    """
    if len(symbol) > LONGEST_SYMBOL:
        raise ValueError(f"chord {quoted(symbol)} is too long; chords look like {EXAMPLES}")
    text = plain_signs(symbol)
    match = re.fullmatch(r"([A-G](?:##|bb|#|b)?)(.*)", text, re.DOTALL)
    if not match:
        german = "German H is B here, and German B is Bb; " if text.startswith("H") else ""
        raise ValueError(
            f"chord {quoted(symbol)} can't be read; {german}chords look like {EXAMPLES}"
        )
    bass: NoteName | Degree | None = None
    suffix = _IN_BRACKETS.sub(lambda inside: inside[0].replace("/", ","), match[2])
    suffix = _MINOR_MAJOR.sub(r"\1", suffix)
    upper, slash, lower = suffix.rpartition("/")
    if slash and (upper + slash + lower) not in ("6/9",) and not lower.startswith("9"):
        try:
            bass = Degree.parse(lower) if _TONE.fullmatch(lower) else NoteName.parse(lower)
        except ValueError:
            raise ValueError(
                f"chord {quoted(symbol)}: {quoted(lower)} after the slash is no note"
            ) from None
        suffix = upper
    root = NoteName.parse(match[1])
    try:
        quality = parse_quality(suffix)
    except ValueError as error:
        near = meant(suffix)
        right = f"did you mean {match[1]}{near}?" if near else f"chords look like {EXAMPLES}"
        raise ValueError(f"chord {quoted(symbol)} can't be read: {error}; {right}") from None
    if isinstance(bass, Degree):
        bass = root + (bass if bass.alter else quality.of_step(bass.number) or bass)
    return Chord(root, quality, None if bass == root else bass)
