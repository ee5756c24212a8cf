"""A form's line of chords as the text of each bar, and back: for editing it bar by bar."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from groove.form.chordline import BAR_LINE, HOLDS, MOST_BARS, parse_chords

ROW = 4
"""Bars in a row of chords that are written back."""


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
    bars: list[str] = []
    opened = 0
    for row in chords.splitlines():
        pieces = BAR_LINE.split(row.strip())
        for place in range(0, len(pieces), 2):
            words = pieces[place].split()
            lines = pieces[max(0, place - 1) : place + 2 : 2]
            at_end = place in (0, len(pieces) - 1)
            if words == ["%%"]:
                bars += [_written(bars, len(bars) - 2), "%"] if len(bars) < 2 else bars[-2:]
            elif words or not (at_end or any(len(line) > 1 for line in lines)):
                bars.append(" ".join(words) or "%")
            after = pieces[place + 1] if place + 1 < len(pieces) else ""
            if after.startswith(":|"):
                times = int(re.sub(r"\D", "", after) or 2)
                if len(bars) + (times - 1) * (len(bars) - opened) > MOST_BARS:
                    raise ValueError(f"{after} repeats to more than {MOST_BARS:,} bars, the most")
                again = bars[opened:]
                if again:
                    again[0] = _written(bars, opened)
                bars += again * (times - 1)
            if ":" in after:
                opened = len(bars)
    return bars


def _written(bars: Sequence[str], place: int) -> str:
    """The text that a bar stands for, where it is a repeat sign."""
    while place > 0 and bars[place] == "%":
        place -= 1
    return bars[place] if 0 <= place < len(bars) else "%"


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
