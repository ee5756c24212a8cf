"""A form's line of chords as the text of each bar, and back: for editing it bar by bar."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from groove.form.chordline import HOLDS, NO_CHORD, bars_between_lines, parse_chords
from groove.theory.chords import parse_chord
from groove.theory.keys import Key
from groove.theory.pitch import plain_signs
from groove.theory.roman import is_numeral, parse_numeral
from groove.theory.symbols import numeral

ROW = 4
"""Bars in a row of chords that are written back."""
_WORD = re.compile(r"(?P<before>~?)(?P<chord>[^:*]+)(?P<after>\*?(?::\S*)?)")
"""A chord of a bar: pushed or not, alone on its root or not, with a length or without."""


def bar_texts(chords: str) -> list[str]:
    """The text of each bar of a line of chords, repeats written out; a bar that is like the one
    before it is ``%``.

    What can't be read stands in the bar in which it was written. Raises ValueError for more than
    the bars that a form may have, and for lengths without bar lines that can't be read or fill no
    whole bars.

    >>> bar_texts("I7:2 ii7:1/2 V7:1/2 I")
    ['I7', '%', 'ii7 V7', 'I']
    >>> bar_texts("|: I | IV :| V | % |")
    ['I', 'IV', 'I', 'IV', 'V', '%']
    """
    return _between_bar_lines(chords) if "|" in chords else _from_lengths(chords)


def chords_of(bars: Sequence[str]) -> str:
    """The line of chords that has these bars: four a row, between bar lines.

    >>> chords_of(["I7", "%", "ii7 V7", "I"])
    '| I7 | % | ii7 V7 | I |'
    """
    rows = [bars[at : at + ROW] for at in range(0, len(bars), ROW)]
    return "\n".join(f"| {' | '.join(bar.strip() or '%' for bar in row)} |" for row in rows)


def written_out(bars: Sequence[str]) -> list[str]:
    """The bars with what each repeat sign stands for.

    >>> written_out(["I7", "%", "V7"])
    ['I7', 'I7', 'V7']
    """
    found: list[str] = []
    for bar in bars:
        found.append(found[-1] if bar == "%" and found else bar)
    return found


def with_repeat_signs(bars: Sequence[str]) -> list[str]:
    """The bars with a repeat sign for each that is like the one before it.

    >>> with_repeat_signs(["I7", "I7", "V7"])
    ['I7', '%', 'V7']
    """
    return [
        "%" if place and bar == bars[place - 1] and bar[:1] not in HOLDS else bar
        for place, bar in enumerate(bars)
    ]


def _between_bar_lines(chords: str) -> list[str]:
    bars = bars_between_lines(chords, _read)
    return [
        meant if text == "%" and place and meant != bars[place - 1][1] else text
        for place, (text, meant) in enumerate(bars)
    ]


def _read(words: list[str], before: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """The text of a bar and the one that it stands for, which differ where it is a repeat sign."""
    if words == ["%%"]:
        return list(before[-2:]) if len(before) > 1 else [("%", "%")] * 2
    text = " ".join(words) or "%"
    return [(text, before[-1][1] if text == "%" and before else text)]


def _from_lengths(chords: str) -> list[str]:
    words = chords.split()
    lengths = [span.bars for span in parse_chords(chords)]
    bars: list[list[tuple[str, Fraction]]] = [[]]
    free = Fraction(1)
    for word, length in zip(words, lengths, strict=True):
        name = word.partition(":")[0]
        while length:
            if not free:
                bars.append([])
                free = Fraction(1)
            part = min(free, length)
            bars[-1].append((name, part))
            free, length = free - part, length - part
            name = "/"
    alone = [len(parts) == 1 for parts in bars]
    return [
        "%" if parts == [("/", Fraction(1))] and alone[place - 1] else _bar(parts)
        for place, parts in enumerate(bars)
    ]


def _bar(parts: Sequence[tuple[str, Fraction]]) -> str:
    """The text of a bar from its chords and their lengths, ``/`` for one that goes on."""
    if len({length for _, length in parts}) == 1:
        return " ".join(name for name, _ in parts)
    unit = min(length for _, length in parts)
    if all((length / unit).denominator == 1 for _, length in parts):
        return " ".join(
            " ".join([name, *HOLDS[:1] * (int(length / unit) - 1)]) for name, length in parts
        )
    return " ".join(name if name == "/" else f"{name}:{length}" for name, length in parts)


def in_notation_of(others: Sequence[str], bars: Sequence[str], key: Key) -> list[str]:
    """Bars with their chords as numerals of a key where some others have numerals alone, as letters
    where those have letters alone; a chord that would not be the same there stays as it is.

    >>> in_notation_of(["I7", "% IV7"], ["Bbm7 Eb7", "%"], Key.parse("Ab"))
    ['ii7 V7', '%']
    >>> in_notation_of(["Am7"], ["ii7 V7:1/4"], Key.parse("G"))
    ['Am7 D7:1/4']
    """
    kinds = {is_numeral(word) for bar in others for word in bar.split() if _is_chord(word)}
    if len(kinds) != 1:
        return list(bars)
    wants_numerals = kinds.pop()
    return [" ".join(_noted(word, key, wants_numerals) for word in bar.split()) for bar in bars]


def _is_chord(word: str) -> bool:
    first = word.lstrip("~")[:1]
    return word not in (*HOLDS, *NO_CHORD) and (first.isalpha() or first in ("#", "♭", "♯"))


def _noted(word: str, key: Key, wants_numerals: bool) -> str:
    """A chord of a bar as a numeral or in letters, with what stands before and after it."""
    found = _WORD.fullmatch(word)
    if not found or not _is_chord(word) or is_numeral(found["chord"]) == wants_numerals:
        return word
    try:
        if not wants_numerals:
            noted = str(parse_numeral(found["chord"]).chord(key))
        else:
            chord = parse_chord(found["chord"])
            noted = plain_signs(numeral(chord, key)).replace("°", "dim")
            if parse_numeral(noted).chord(key) != chord:
                return word
    except ValueError:
        return word
    return f"{found['before']}{noted}{found['after']}"
