"""Tablature as plain text: a line for each string, string 1 on top, frets as numbers.

>>> from groove.handout.fretboard import read_tuning
>>> guitar = read_tuning("guitar")
>>> print(tablature(guitar, [[Place(4, 11), Place(2, 10)], [Place(3, 9)]], marks=["", "x"]))
E |-------|
B |-10----|
G |-----9-|
D |-11----|
A |-------|
E |-------|
        x
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.handout.fretboard import Place, Tuning


def tablature(tuning: Tuning, columns: Sequence[Sequence[Place]], marks: Sequence[str] = ()) -> str:
    """The lines of a tablature, without a line break at the end.

    columns: what sounds together, in order. marks: a word under each column, such as a degree;
    none where left out. Raises ValueError where two places of a column share a string.
    """
    marks = list(marks) or [""] * len(columns)
    lines = dict.fromkeys(tuning.strings, "")
    foot = ""
    for column, mark in zip(columns, marks, strict=True):
        frets = {place.string: str(place.fret) for place in column}
        if len(frets) < len(column):
            raise ValueError("two notes on one string")
        width = max(len(text) for text in (*frets.values(), mark, ""))
        for string in lines:
            lines[string] += "-" + frets.get(string, "").ljust(width + 1, "-")
        foot += " " + mark.ljust(width + 1)
    label = max(len(name) for name in tuning.names)
    rows = [
        f"{tuning.names[-string].ljust(label)} |{lines[string]}|" for string in sorted(lines)
    ]  # fmt: skip
    if foot.strip():
        rows.append(" " * (label + 2) + foot.rstrip())
    return "\n".join(rows)
