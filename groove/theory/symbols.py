"""Chord symbols and Roman numerals as they are set in print.

The root stands on the line, large; a small m or + beside it; above the line the figures and the
ring of a diminished chord (common practice). groove.theory.quality spells a quality.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NOTE_NAME, NoteName
from groove.theory.roman import NUMERALS
from groove.theory.spelling import degree_in, degree_over
from groove.wording import said, words_of

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
    """A note name with ♭ and ♯, or as the language in use has it.

    >>> note(NoteName.parse("Bb"))
    'B♭'
    """
    return _named(name, "notes")


def root(name: NoteName) -> str:
    """The root or the bass of a chord symbol, which a language may write otherwise than a note."""
    return _named(name, "roots")


def _named(name: NoteName, table: str) -> str:
    own: str | None = words_of("language")[table].get(str(name))
    return name.letter + "♯" * name.sharps + "♭" * -name.sharps if own is None else own


def noted(text: str) -> str:
    """A text that begins with a note name as letter, # and b, or a degree, as it is printed.

    >>> noted("Bb3"), noted("F#"), noted("b7"), noted("2")
    ('B♭3', 'F♯', '♭7', '2')
    """
    match = NOTE_NAME.match(text)
    if not match or match[1].islower():
        return signs(text)
    return note(NoteName.parse(match[0])) + signs(text[match.end() :])


def small(name: NoteName) -> str:
    """A note name in small letters, as some languages write the tonic of a minor key."""
    words = note(name)
    return words[:1].lower() + words[1:]


def key_words(key: Key) -> str:
    """A key in words, ``B♭ major``."""
    return said("language", f"keys.{key.mode}", tonic=note(key.tonic), small=small(key.tonic))


def blues_words(tonic: NoteName, kind: str) -> str:
    """The key of a blues in words, ``B♭ blues``; kind: ``"blues"`` or ``"minor blues"``."""
    return said("language", f"keys.{kind}", tonic=note(tonic), small=small(tonic))


def key_symbol(key: Key) -> str:
    """A key as a symbol, ``B♭``, ``F♯m``."""
    return said("language", f"symbols.{key.mode}", tonic=root(key.tonic), small=small(key.tonic))


def key_name(key: Key) -> str:
    """A key as a sentence names it: ``B♭``, ``F♯m``; a language may write it out, ``fis-Moll``."""
    return said("language", f"named.{key.mode}", tonic=note(key.tonic), small=small(key.tonic))


def key_names(keys: Iterable[Key]) -> str:
    """Keys in a row in a sentence, each once: ``C F B♭``."""
    between = str(words_of("language")["named"]["between"])
    return between.join(dict.fromkeys(key_name(key) for key in keys))


def scale_title(tonic: NoteName, scale: str) -> str:
    """A scale in words, ``A minor pentatonic``; scale: a name from groove.theory.scales.SCALES."""
    return said("language", f"scales.{scale}", root=note(tonic), small=small(tonic))


def arpeggio_title(chord: Chord) -> str:
    """The arpeggio of a chord in words, ``Am7 arpeggio``."""
    shown = str(symbol(chord))
    return said("language", "scales.arpeggio", root=shown, small=shown)


def symbol(chord: Chord) -> Symbol:
    """An absolute chord symbol in its parts.

    >>> from groove.theory.chords import parse_chord
    >>> str(symbol(parse_chord("Ebm7b5/A")))
    'E♭m7♭5/A'
    """
    return _symbol(root(chord.root), chord.quality.suffix, root(chord.bass) if chord.bass else "")


@lru_cache(maxsize=4096)
def _symbol(shown_root: str, suffix: str, bass: str) -> Symbol:
    match = _SUFFIX.fullmatch(suffix)
    assert match  # any text matches
    triad, figures = match[1] or "", signs(match[2])
    if triad == "dim":
        triad, figures = "", "°" + figures
    return Symbol(shown_root, triad, figures, bass)


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
    if len(words) < 2:
        return "".join(words)
    way = words_of("language")["list"]
    before = str(way["comma"]).join(words[:-1])
    return said("language", f"list.{'two' if len(words) == 2 else 'more'}",
                before=before, last=words[-1])  # fmt: skip
