"""The notation of chords in a form: ``I7:4 IV7:2 ii7:1/2 V7:1/2``.

Each word is a chord and, after a colon, its length in bars; one bar if left out. With bar lines
the chords of a bar share it evenly, and ``%`` repeats the bar before: ``I7 | % | ii7 V7 | I7``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from groove.errors import quoted
from groove.theory.chords import Chord, parse_chord
from groove.theory.keys import Key
from groove.theory.roman import Numeral, is_numeral, parse_numeral
from groove.theory.spelling import respelled

MOST_BARS = 1000
_BARS = re.compile(r"\d{1,9}(?:\.\d{1,9}|/\d{1,9})?|\.\d{1,9}")


@dataclass(frozen=True, slots=True)
class Span:
    """A chord as written, a numeral or an absolute symbol, and its length in bars."""

    written: Numeral | Chord
    bars: Fraction

    def chord(self, key: Key, fifths: int) -> Chord:
        """The chord in ``key``; an absolute one is moved by ``fifths`` to get there."""
        if isinstance(self.written, Numeral):
            return self.written.chord(key)
        return respelled(self.written.transposed(fifths), key) if fifths else self.written


def parse_chords(text: str) -> tuple[Span, ...]:
    """Read a line of chords that fills whole bars.

    Raises ValueError, saying which chord and what is allowed.
    """
    spans = _between_bar_lines(text) if "|" in text else _with_lengths(text.split())
    if not spans:
        raise ValueError("no chords; write them like I7:4 IV7:2 I7:2 V7 IV7 I7:2")
    check_one_notation(spans)
    total = sum((span.bars for span in spans), Fraction(0))
    if total.denominator != 1:
        raise ValueError(f"the chords fill {_mixed(total)} bars; they must fill whole bars")
    if total > MOST_BARS:
        raise ValueError(f"the chords fill {total} bars; at most {MOST_BARS:,} are allowed")
    return tuple(spans)


def _with_lengths(words: list[str]) -> list[Span]:
    spans = []
    for place, word in enumerate(words, 1):
        try:
            spans.append(_span(word))
        except ValueError as error:
            raise ValueError(f"chord {place} of {len(words)}: {error}") from None
    return spans


def _between_bar_lines(text: str) -> list[Span]:
    bars: list[list[Span]] = []
    for segment in text.strip().strip("|").split("|"):
        words = segment.split()
        if words == ["%"] and bars:
            bars.append(bars[-1])
            continue
        try:
            spans = _with_lengths(words)
            if not any(":" in word for word in words):
                share = _share(len(words))
                spans = [replace(span, bars=share) for span in spans]
            if sum(span.bars for span in spans) != 1:
                raise ValueError("its chords do not fill one bar")
        except ValueError as error:
            raise ValueError(f"bar {len(bars) + 1}: {error}") from None
        bars.append(spans)
    return [span for bar in bars for span in bar]


def _share(chords: int) -> Fraction:
    """The part of a bar for each of some chords that share it evenly."""
    if chords in (1, 2, 4):
        return Fraction(1, chords)
    raise ValueError(
        f"{chords} chords share it; write one, two or four, or their lengths: I:1/2 IV:1/4 V:1/4"
    )


def check_one_notation(spans: Iterable[Span]) -> None:
    """Raise ValueError where numerals and absolute symbols stand side by side."""
    first: dict[type, Numeral | Chord] = {}
    for span in spans:
        first.setdefault(type(span.written), span.written)
    if len(first) > 1:
        numeral, symbol = first[Numeral], first[Chord]
        assert isinstance(numeral, Numeral)
        raise ValueError(
            f"numerals ({numeral.text}) and absolute symbols ({symbol}) are mixed; "
            "write all chords one way"
        )


def _span(word: str) -> Span:
    chord, colon, bars = word.partition(":")
    if not chord:
        raise ValueError(f"{quoted(word)} has no chord before the colon")
    if word == "%":
        raise ValueError("'%' repeats a bar between bar lines only; give the chord more bars, I7:2")
    if word.endswith(","):
        raise ValueError(f"{quoted(word)} ends in a comma; spaces alone stand between chords")
    written = parse_numeral(chord) if is_numeral(chord) else parse_chord(chord)
    return Span(written, _bars(bars, word) if colon else Fraction(1))


def _bars(text: str, word: str) -> Fraction:
    allowed = "write whole, half or quarter bars, as in I7:2, I7:1/2 or I7:.75"
    try:
        bars = Fraction(text if _BARS.fullmatch(text) else "?")
    except (ValueError, ZeroDivisionError):
        raise ValueError(
            f"{quoted(word)}: {quoted(text)} is no number of bars; {allowed}"
        ) from None
    if bars <= 0 or (bars * 4).denominator != 1:
        raise ValueError(f"{quoted(word)} lasts {text} bars; {allowed}")
    return bars


def _mixed(number: Fraction) -> str:
    whole, part = divmod(number, 1)
    return f"{whole} {part}" if whole else str(part)
