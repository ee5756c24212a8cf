"""Turns on the several ways of playing a note: never the same twice running.

The way depends on the names it is asked under and on how many strokes of that note came before, so
that one form gives the same sound each time, at any tempo.
"""

from __future__ import annotations

from zlib import crc32


class Turns:
    """Ways 0 to `ways` - 1, taken in turn by the strokes of each note.

    apart: neighbours are at least so many ways from one another; ways is more than twice that.
    kinds: way and number of kinds leave a remainder that neighbours don't share, as where that
    many recordings are played in turn. With one way only, all strokes are alike.
    """

    def __init__(self, name: str) -> None:
        self._name = name
        self._last: dict[int, tuple[int, int]] = {}

    def next(self, note: int, ways: int, apart: int = 1, kinds: int = 1) -> int:
        """The way of the next stroke of a note.

        >>> turns = Turns("drums")
        >>> taken = [turns.next(42, 4) for _ in range(100)]
        >>> sorted(set(taken)), any(one == other for one, other in zip(taken, taken[1:]))
        ([0, 1, 2, 3], False)
        """
        number, last = self._last.get(note, (0, 0))
        drawn = crc32(f"{self._name} {note} {number}".encode())
        others = [
            way
            for way in range(ways)
            if apart <= abs(way - last) and (kinds == 1 or way % kinds != last % kinds)
        ]
        way = others[drawn % len(others)] if number and others else drawn % ways
        self._last[note] = number + 1, way
        return way
