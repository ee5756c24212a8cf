"""Streams of notes as text: a part whole in its home key, and in the others what differs there.

A row is a note: tick, length in ticks, pitch, velocity, touch. Rows lie in order of tick and pitch.
Whole numbers are written in base 46, the lowest digit first, a number n as 2n and below 0 as
-2n - 1; every digit but a number's last has 46 added, and each is a sign of `SIGNS`.

A whole stream is, for each row, its five numbers less those of the row before. A difference is
``[number of the home stream, semitones, text]``; the text alternates between a count of home rows
that are the same but for the semitones, and a time at which something else is played: how many home
rows are left out, how many come in their stead, and each of these less the home row in its place
(the last one left out if there are fewer, the last one before if there are none).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from operator import itemgetter

Row = tuple[int, int, int, int, int]
Rows = tuple[Row, ...]
Packed = str | list[int | str]

BASE = 46
SIGNS = "".join(chr(code) for code in range(32, 127) if chr(code) not in '"\\<')
DIGITS = {sign: digit for digit, sign in enumerate(SIGNS)}
NOTHING: Row = (0, 0, 0, 0, 0)


def packed(numbers: Iterable[int]) -> str:
    """Whole numbers as text.

    >>> packed([0, -1, 1, 22, -23, 1000])
    ' !#NOgM'
    """
    signs = []
    for number in numbers:
        left = 2 * number if number >= 0 else -2 * number - 1
        while left >= BASE:
            left, digit = divmod(left, BASE)
            signs.append(SIGNS[digit + BASE])
        signs.append(SIGNS[left])
    return "".join(signs)


def unpacked(text: str) -> Iterator[int]:
    """The whole numbers in a text.

    >>> list(unpacked(packed([0, -1, 1, 23, -1000, 123456])))
    [0, -1, 1, 23, -1000, 123456]
    """
    number, worth = 0, 1
    for sign in text:
        digit = DIGITS[sign]
        number += digit % BASE * worth
        worth *= BASE
        if digit < BASE:
            yield number // 2 if number % 2 == 0 else -(number + 1) // 2
            number, worth = 0, 1


def whole(rows: Rows) -> str:
    """A stream by itself."""
    numbers: list[int] = []
    before = NOTHING
    for row in rows:
        numbers += _less(row, before)
        before = row
    return packed(numbers)


def difference(rows: Rows, home: Rows, number: int, semitones: int) -> list[int | str]:
    """A stream as the difference from another one.

    number: of the home stream. semitones: by which the pitches of rows that are alike differ.
    """
    moved = {tick: list(group) for tick, group in groupby(home, itemgetter(0))}
    own = {tick: list(group) for tick, group in groupby(rows, itemgetter(0))}
    numbers: list[int] = []
    same, before = 0, NOTHING
    for tick in sorted(moved.keys() | own.keys()):
        there, here = moved.get(tick, []), own.get(tick, [])
        if [_up(row, semitones) for row in there] == here:
            same += len(there)
        else:
            numbers += (same, len(there), len(here))
            for place, row in enumerate(here):
                numbers += _less(row, _beside(there, place, before))
            same = 0
        before = there[-1] if there else before
    return [number, semitones, packed(numbers)]


def rows_of(streams: Sequence[Packed], number: int) -> Rows:
    """The rows of one of a page's streams."""
    stream = streams[number]
    if isinstance(stream, str):
        return _whole_rows(stream)
    of, semitones, text = stream
    assert isinstance(of, int)
    assert isinstance(semitones, int)
    return tuple(_differing(rows_of(streams, of), semitones, unpacked(str(text))))


@lru_cache(maxsize=32)
def _whole_rows(text: str) -> Rows:
    """The rows of a whole stream; many others are differences from it."""
    return tuple(_summed(unpacked(text)))


def _differing(home: Rows, semitones: int, numbers: Iterator[int]) -> Iterator[Row]:
    at, before = 0, NOTHING
    for same in numbers:
        yield from (_up(row, semitones) for row in home[at : at + same])
        at += same
        out, instead = next(numbers), next(numbers)
        there = home[at : at + out]
        before = home[at - 1] if at else NOTHING
        for place in range(instead):
            less = (next(numbers), next(numbers), next(numbers), next(numbers), next(numbers))
            yield _more(less, _beside(there, place, before))
        at += out
    yield from (_up(row, semitones) for row in home[at:])


def _summed(numbers: Iterator[int]) -> Iterator[Row]:
    before = NOTHING
    for tick in numbers:
        less = (tick, next(numbers), next(numbers), next(numbers), next(numbers))
        before = _more(less, before)
        yield before


def _beside(there: Sequence[Row], place: int, before: Row) -> Row:
    """The home row with which a row is compared."""
    return there[min(place, len(there) - 1)] if there else before


def _up(row: Row, semitones: int) -> Row:
    return row[0], row[1], row[2] + semitones, row[3], row[4]


def _less(row: Row, other: Row) -> Row:
    tick, length, pitch, velocity, touch = other
    return row[0] - tick, row[1] - length, row[2] - pitch, row[3] - velocity, row[4] - touch


def _more(row: Row, other: Row) -> Row:
    tick, length, pitch, velocity, touch = other
    return row[0] + tick, row[1] + length, row[2] + pitch, row[3] + velocity, row[4] + touch
