"""Chord symbols and Roman numerals as they are set in print.

The root stands on the line, large; a small m or + beside it; above the line the figures and the
ring of a diminished chord (common practice). groove.theory.quality spells a quality.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.roman import NUMERALS
from groove.theory.spelling import degree_in, degree_over

_SUFFIX = re.compile(r"(m(?!aj)|dim|\+)?(.*)")


@dataclass(frozen=True, slots=True)
class Symbol:
    """The parts of a symbol: on the line, beside it, above it, and the bass after a slash."""

    root: str
    triad: str
    figures: str
    bass: str = ""

    def __str__(self) -> str:
        return self.root + self.triad + self.figures + (f"/{self.bass}" if self.bass else "")


def signs(text: str) -> str:
    """The text with ♭ and ♯ for b and # that stand after a note or before a figure.

    >>> signs("Bb7#9"), signs("7b5"), signs("bVII"), signs("Bbb")
    ('B♭7♯9', '7♭5', '♭VII', 'B♭♭')
    """
    text = text.replace("#", "♯")
    return re.sub(r"(?<=[A-G])bb?|b(?=[b\d(IViv])", lambda found: "♭" * len(found[0]), text)


def note(name: NoteName) -> str:
    """A note name with ♭ and ♯.

    >>> note(NoteName.parse("Bb"))
    'B♭'
    """
    return name.letter + "♯" * name.sharps + "♭" * -name.sharps


def key_words(key: Key) -> str:
    """A key in words, ``B♭ major``."""
    return f"{note(key.tonic)} {key.mode}"


def symbol(chord: Chord) -> Symbol:
    """An absolute chord symbol in its parts.

    >>> from groove.theory.chords import parse_chord
    >>> str(symbol(parse_chord("Ebm7b5/A")))
    'E♭m7♭5/A'
    """
    match = _SUFFIX.fullmatch(chord.quality.suffix)
    assert match  # any text matches
    triad, figures = match[1] or "", signs(match[2])
    if triad == "dim":
        triad, figures = "", "°" + figures
    bass = note(chord.bass) if chord.bass else ""
    return Symbol(note(chord.root), triad, figures, bass)


def marked(shown: Symbol, *, pushed: bool, silent: bool, root_only: bool) -> Symbol:
    """A symbol with the mark that its chord carries in the form's notation.

    >>> from groove.theory.chords import parse_chord
    >>> shown = symbol(parse_chord("Bb7"))
    >>> [str(marked(shown, pushed=a, silent=b, root_only=c))
    ...  for a, b, c in ((1, 0, 0), (0, 1, 0), (0, 0, 1))]
    ['~B♭7', 'N.C.', 'B♭*']
    """
    if silent:
        return Symbol("N.C.", "", "")
    if root_only:
        shown = Symbol(shown.root + "*", "", "")
    return replace(shown, root="~" + shown.root) if pushed else shown


def numeral(chord: Chord, key: Key) -> str:
    """The Roman numeral of a chord in a key, counted from the major scale on the tonic.

    Small letters carry a minor third, as groove.theory.roman reads them.

    >>> from groove.theory.chords import parse_chord
    >>> numeral(parse_chord("Cm7b5"), Key.parse("Bb")), numeral(parse_chord("Bb/D"), Key.parse("F"))
    ('ii7♭5', 'IV/3')
    """
    degree = degree_in(chord, key)
    letters = NUMERALS[degree.number - 1]
    match = _SUFFIX.fullmatch(chord.quality.suffix)
    assert match  # any text matches
    triad = match[1] or ""
    if chord.quality.is_minor:
        letters = letters.lower()
        triad = triad.removeprefix("m").replace("dim", "°")
    accidental = "♯" * degree.alter + "♭" * -degree.alter
    bass = f"/{degree_over(chord, chord.bass)}" if chord.bass else ""
    return accidental + letters + triad + signs(match[2]) + signs(bass)


def listed(words: Sequence[str]) -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
