"""The notation of chords in a form: ``I7:4 IV7:2 ii7:1/2 V7:1/2``, or with bar lines.

Each word is a chord and, after a colon, its length in bars; one bar if left out. Between bar lines
the chords of a bar share it: as many chords as beats have one each, else they share it evenly, and
those without a length share what the others leave. ``/`` or ``.`` is a beat that goes on, first in
a bar a beat of the chord before it. ``%`` or an empty bar repeats the bar before, ``%%`` the two
before; ``||`` and ``|]`` are bar lines too, and ``|: ... :|`` or ``||: ... :||`` is played twice,
``:|x3`` three times. A metre first in a bar, ``| 2/4 V |``, holds for that bar. ``~V7`` comes
early, an eighth before its place and tied over, ``C*`` is the root alone, and ``NC`` no chord at
all.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TypeVar

from groove.errors import quoted
from groove.rhythm.meter import Meter
from groove.theory.chords import Chord, parse_chord
from groove.theory.keys import Key
from groove.theory.roman import Numeral, is_numeral, parse_numeral
from groove.theory.spelling import respelled

AnyBar = TypeVar("AnyBar")

MOST_BARS = 1000
NO_CHORD = ("NC", "N.C.", "nc", "n.c.", "N.C", "n.c", "NC.", "nc.", "N/C", "n/c")
HOLDS = ("/", ".")
_LENGTH = re.compile(r"\d{1,9}(?:\.\d{1,9}|/\d{1,9})?|\.\d{1,9}")
_METER = re.compile(r"\d+(?:\+\d+)*/\d+")
_BAR_LINE = re.compile(
    r"(\|{1,2}:|:\|{1,2}(?:\s?\(?x\s?\d{1,3}\)?|\s?\(?\d{1,3}x\)?)?:?|\[\||\|\]|\|\||\|)"
)
_OWN_BRACKETS = re.compile(r"\([^()|\n]*\)")
_LATE_BRACKETS = re.compile(r"(?<=[^\s|])[ \t]+(?=\((?:[b#♭♯+-]?\d|add|no|omit|sus|maj|alt))")
_REFUSED = tuple(
    (re.compile(word), remedy)
    for word, remedy in (
        (r"\[\d.*|\d\.", "endings are written as time_bars of a section"),
        (r"\[.*|[^\[]*\]", "no such brackets; names and letters are fields of a section"),
        (r"\(.*|[^(]*\)", "a chord in brackets is played or not; leave out the brackets or it"),
        (r"(?i:d\.[cs]\.?|fine|coda|segno)", "the way through the sections is written in order"),
        (r"[-,;>→\u2013\u2014]+", "spaces alone stand between chords"),
        (r"N", "write NC where no chord sounds, and bII for the Neapolitan chord"),
    )
)


@dataclass(frozen=True, slots=True)
class Span:
    """A chord as written, a numeral or an absolute symbol, and its length in bars.

    written: None where no chord is to sound. bars: parts of the bar it lies in, whatever that
    bar's metre. push: whether it comes an eighth early, tied over. root_only: whether the root
    alone is played. share: how many of how many equal parts of its bar it has, where no length is
    written; `timed` says how long that is in a metre. meter: on the first chord of a bar that has
    a metre of its own, that metre, else None; such a bar begins with a chord of its own and its
    chords end with it.
    """

    written: Numeral | Chord | None
    bars: Fraction
    push: bool = False
    root_only: bool = False
    share: tuple[int, int] | None = field(default=None, compare=False)
    meter: Meter | None = None

    def chord(self, key: Key, fifths: int) -> Chord | None:
        """The chord in ``key``; an absolute one is moved by ``fifths`` to get there."""
        if isinstance(self.written, Numeral):
            return self.written.chord(key)
        if self.written is None:
            return None
        return respelled(self.written.transposed(fifths), key) if fifths else self.written


def parse_chords(text: str, *, whole: bool = True) -> tuple[Span, ...]:
    """Read a line of chords that fills whole bars; whole: whether it must.

    Raises ValueError, saying which chord and what is allowed.
    """
    text = _LATE_BRACKETS.sub("", text)
    text = _OWN_BRACKETS.sub(lambda inside: re.sub(r"\s", "", inside[0]), text)
    spans = _between_bar_lines(text) if "|" in text else _with_lengths(text.split())
    if not spans:
        raise ValueError("no chords; write them like I7:4 IV7:2 I7:2 V7 IV7 I7:2")
    if all(span.written is None for span in spans):
        raise ValueError("nothing but N.C.; a form needs a chord")
    check_one_notation(spans)
    total = sum((span.bars for span in spans), Fraction(0))
    if whole and total.denominator != 1:
        raise ValueError(f"the chords fill {_mixed(total)} bars; they must fill whole bars")
    if total > MOST_BARS:
        raise ValueError(f"the chords fill {total} bars; at most {MOST_BARS:,} are allowed")
    return tuple(spans)


def timed(spans: Sequence[Span], meter: Meter) -> tuple[Span, ...]:
    """Chords with the length of each in bars, in a metre or in the one that their bar has itself.

    Raises ValueError where a chord would not begin on a beat, or on a half or a quarter of one.
    """
    usual, place = meter, Fraction(0)
    found = []
    for span in spans:
        number = int(place)
        before = place - number
        if before == 0:
            meter = span.meter or usual
        if span.share:
            part, of = span.share
            starts = (*_parts(of, meter), Fraction(1))
            first = starts.index(before) if before in starts else 0
            span = replace(span, bars=starts[first + part] - before)
        if not _can_begin(before, meter):
            shared = f"{span.share[1]} chords share it, " if span.share else ""
            numerals = any(isinstance(each.written, Numeral) for each in spans)
            lengths = "I:1/2 IV:1/4 V:1/4" if numerals else "C7:1/2 F7:1/4 G7:1/4"
            raise ValueError(
                f"bar {number + 1}: {shared}a chord begins {before} of the bar in, off the beats "
                f"of {meter}; write their lengths, as in {lengths}, so that each begins "
                "on a beat, or on a half or a quarter of one"
            )
        found.append(span)
        place += span.bars
    return tuple(found)


def _parts(count: int, meter: Meter) -> tuple[Fraction, ...]:
    """The places at which ``count`` chords that share a bar begin: beats, groups, or even parts."""
    for starts in (meter.beat_starts, meter.group_starts):
        if count == len(starts):
            return tuple(Fraction(start, meter.bar_ticks) for start in starts)
    if count == 2 and meter.is_uneven:
        return Fraction(0), Fraction(meter.group_starts[-1], meter.bar_ticks)
    return tuple(Fraction(n, count) for n in range(count))


def _can_begin(place: Fraction, meter: Meter) -> bool:
    """True if a chord may begin at a part of a bar: on quarters of the bar, on halves and
    quarters of a beat, and where a beat has three parts on these and their halves."""
    ticks = place * meter.bar_ticks
    parts = 6 if meter.is_compound else 4
    return (place * 4).denominator == 1 or (ticks * parts / meter.beat_ticks).denominator == 1


def _with_lengths(words: list[str]) -> list[Span]:
    spans = []
    for place, word in enumerate(words, 1):
        try:
            spans.append(_span(word))
        except ValueError as error:
            raise ValueError(f"chord {place} of {len(words)}: {error}") from None
    return spans


def _between_bar_lines(text: str) -> list[Span]:
    return [span for bar in bars_between_lines(text, _bars_of) for span in bar]


def bars_between_lines(
    text: str, read: Callable[[list[str], Sequence[AnyBar]], list[AnyBar]]
) -> list[AnyBar]:
    """The bars between the bar lines of a text, repeats written out.

    read: the bars that the words between two lines stand for, from those words and the bars before.
    Raises ValueError for more bars than a form may have.
    """
    bars: list[AnyBar] = []
    opened = 0  # the bar with which a repeated stretch begins
    for row in text.splitlines():
        pieces = _BAR_LINE.split(row.strip())
        for place in range(0, len(pieces), 2):
            words = pieces[place].split()
            lines = pieces[max(0, place - 1) : place + 2 : 2]
            at_end = place in (0, len(pieces) - 1)  # of the row
            if words or not (at_end or any(len(line) > 1 for line in lines)):
                bars += read(words, bars)
            after = pieces[place + 1] if place + 1 < len(pieces) else ""
            if after.startswith(":|"):
                times = int(re.sub(r"\D", "", after) or 2)
                if len(bars) + (times - 1) * (len(bars) - opened) > MOST_BARS:
                    raise ValueError(f"{after} repeats to more than {MOST_BARS:,} bars, the most")
                bars += bars[opened:] * (times - 1)
            if ":" in after:
                opened = len(bars)
    return bars


def _bars_of(words: list[str], before: Sequence[list[Span]]) -> list[list[Span]]:
    """The bars that the words between two bar lines stand for."""
    repeats = {"": 1, "%": 1, "%%": 2}.get(" ".join(words))
    number = len(before) + 1
    if repeats:
        if len(before) < repeats:
            raise ValueError(f"bar {number}: nothing before it that it could repeat; write a chord")
        return list(before[-repeats:])
    try:
        meter = _own_meter(words)
        words = words[1:] if meter else words
        held = replace(before[-1][-1], push=False, meter=None) if before else None
        if meter and words == ["%"]:
            if not before or len(before[-1]) > 1:
                raise ValueError(f"'%' after {meter} has not one chord to repeat; write the chords")
            words = ["/"]
        first, *rest = _shared(words, held)
        return [[replace(first, meter=meter), *rest]]
    except ValueError as error:
        raise ValueError(f"bar {number}: {error}") from None


def _own_meter(words: list[str]) -> Meter | None:
    """The metre that stands first in a bar, if one does."""
    if not _METER.fullmatch(words[0]):
        return None
    try:
        meter = Meter.parse(words[0])
    except ValueError as error:
        raise ValueError(f"metre {quoted(words[0])}: {error}") from None
    if len(words) == 1:
        raise ValueError(
            f"the metre {words[0]} stands alone; write the bar's chords after it, or for all bars "
            f'meter = "{words[0]}"'
        )
    return meter


def _shared(words: list[str], held: Span | None) -> list[Span]:
    """The chords of a bar, those without a length sharing what the others leave.

    held: the chord before it, which goes on if the bar begins with a beat that does.
    """
    spans: list[Span] = []
    written = _with_lengths([word for word in words if word not in HOLDS])
    given = [":" in word for word in words if word not in HOLDS]
    counts: list[int] = []
    if words[0] in HOLDS:
        if held is None:
            raise ValueError(f"{words[0]!r} holds a chord for a beat, and none stands before it")
        written.insert(0, held)
        given.insert(0, False)
        counts.append(0)
    for word in words:
        if word in HOLDS:
            counts[-1] += 1
        else:
            counts.append(1)
    if not any(given):
        total = sum(counts)
        for span, count in zip(written, counts, strict=True):
            spans.append(replace(span, bars=Fraction(count, total), share=(count, total)))
        return spans
    rest = 1 - sum((s.bars for s, has in zip(written, given, strict=True) if has), Fraction(0))
    free = given.count(False)
    if rest < 0 or (rest == 0) != (free == 0):
        raise ValueError("its chords do not fill one bar")
    for span, has in zip(written, given, strict=True):
        spans.append(span if has else replace(span, bars=rest / free))
    return spans


def check_one_notation(spans: Iterable[Span]) -> None:
    """Raise ValueError where numerals and absolute symbols stand side by side."""
    first: dict[type, Numeral | Chord] = {}
    for span in spans:
        if span.written:
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
    for refused, remedy in _REFUSED:
        if refused.fullmatch(word):
            raise ValueError(f"{quoted(word)}: {remedy}")
    if not chord:
        raise ValueError(f"{quoted(word)} has no chord before the colon")
    if word in ("%", "%%"):
        raise ValueError("'%' repeats a bar between bar lines only; give the chord more bars, I7:2")
    if _METER.fullmatch(word):
        raise ValueError(f"the metre {word} stands first in a bar between bar lines, | {word} V |")
    if word.endswith(","):
        raise ValueError(f"{quoted(word)} ends in a comma; spaces alone stand between chords")
    length = _bars(bars, word) if colon else Fraction(1)
    if chord in NO_CHORD:
        return Span(None, length)
    push, root_only = chord.startswith("~"), chord.endswith("*") and len(chord) > 1
    plain = chord.removeprefix("~")
    plain = plain.removesuffix("*") if root_only else plain
    written = parse_numeral(plain) if is_numeral(plain) else parse_chord(plain)
    return Span(written, length, push, root_only)


def _bars(text: str, word: str) -> Fraction:
    allowed = "write whole, half or quarter bars, as in I7:2, I7:1/2 or I7:.75"
    try:
        bars = Fraction(text if _LENGTH.fullmatch(text) else "?")
    except (ValueError, ZeroDivisionError):
        raise ValueError(
            f"{quoted(word)}: {quoted(text)} is no number of bars; {allowed}"
        ) from None
    if bars <= 0 or bars.denominator > 28:
        raise ValueError(f"{quoted(word)} lasts {text} bars; {allowed}")
    return bars


def _mixed(number: Fraction) -> str:
    whole, part = divmod(number, 1)
    return f"{whole} {part}" if whole else str(part)
