"""Tablature as plain text: a line for each string, string 1 on top, frets as numbers.

>>> from groove.instrument.fretboard import read_tuning
>>> guitar = read_tuning("guitar")
>>> columns = [[Place(4, 11), Place(2, 10)], [Place(3, 9)]]
>>> print(tablature(guitar, columns, over=["1/2", "2"], under=[("A7", ["b3", "5"])]))
     1/2  2
E  |--------|
B  |-10-----|
G  |------9-|
D  |-11-----|
A  |--------|
E  |--------|
A7   b3   5
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from groove.instrument.fretboard import Place, Tuning
from groove.theory.pitch import plain_signs
from groove.theory.symbols import noted


def fret_word(_column: int, place: Place) -> str:
    """A place as the number of its fret."""
    return str(place.fret)


def tablature(
    tuning: Tuning,
    columns: Sequence[Sequence[Place]],
    *,
    over: Sequence[str] = (),
    under: Sequence[tuple[str, Sequence[str]]] = (),
    word: Callable[[int, Place], str] = fret_word,
    bars: Collection[int] = (),
) -> str:
    """The lines of a tablature, without a line break at the end.

    columns: places that sound together, in order. over: a word over each column, such as a length.
    under: lines of words under them, each with a word before it, such as degrees and their chord.
    word: what stands for a place of a column, counted from 0. bars: the columns before which a bar
    line stands. Raises ValueError where two places of a column share a string.
    """
    held = [
        {place.string: word(number, place) for place in column}
        for number, column in enumerate(columns)
    ]
    if any(len(frets) < len(column) for frets, column in zip(held, columns, strict=True)):
        raise ValueError("two notes on one string")
    words = [*([over] if over else []), *(marks for _, marks in under)]
    wide = [
        max(map(len, (*frets.values(), *(line[number] for line in words))), default=0) + 1
        for number, frets in enumerate(held)
    ]
    names = [plain_signs(noted(name)) for name in tuning.names]
    label = max(map(len, (*names, *(title for title, _ in under))))

    def spread(cells: Sequence[str], fill: str) -> str:
        line = "|" if fill == "-" else " "
        return "".join(
            (line if number in bars else "") + fill + cell.ljust(w, fill)
            for number, (cell, w) in enumerate(zip(cells, wide, strict=True))
        )

    strings = (
        f"{names[-string].ljust(label)} |{spread([f.get(string, '') for f in held], '-')}|"
        for string in sorted(tuning.strings)
    )
    above = [f"{'':{label}}  {spread(over, ' ')}".rstrip()] if over else []
    below = (f"{title:{label}}  {spread(marks, ' ')}".rstrip() for title, marks in under)
    return "\n".join([*above, *strings, *below])
