"""The library of chord shapes: groups of shapes from ``patterns/guitar/``, checked and typed.

A group is a file. Its shapes are written string by string from the lowest: frets, fingers, and the
degrees of the chord that sound. A movable shape is written as low as it goes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from groove import library
from groove.rhythm.pattern_table import Table
from groove.rhythm.patterns import PatternError
from groove.theory.chords import parse_chord
from groove.theory.pitch import Degree
from groove.theory.quality import parse_quality

STRINGS = 6
DAMPED, NONE = "x", "."
OPEN_PITCHES = (40, 45, 50, 55, 59, 64)  # MIDI notes of the open strings, E2 to E4, from the lowest


@dataclass(frozen=True, slots=True)
class Shape:
    """A chord shape; all tuples go from the lowest string that sounds to the highest.

    chord: the chord that it is written for, a suffix for a movable shape, a symbol for another.
    strings: counted from the highest, as players do. frets: as written. fingers: 1 the index to 4
    the little one, 0 for an open string. degrees: of the chord. root: the pitch class of the root
    at the frets written.
    """

    chord: str
    movable: bool
    strings: tuple[int, ...]
    frets: tuple[int, ...]
    fingers: tuple[int, ...]
    degrees: tuple[Degree, ...]
    root: int

    @property
    def pitches(self) -> tuple[int, ...]:
        """MIDI notes at the frets written."""
        return tuple(
            OPEN_PITCHES[STRINGS - string] + fret
            for string, fret in zip(self.strings, self.frets, strict=True)
        )


@dataclass(frozen=True, slots=True)
class Group:
    """The shapes of a file, in its order. title, about: for people."""

    name: str
    title: str
    about: str
    movable: bool
    shapes: tuple[Shape, ...]


@cache
def group(name: str) -> Group:
    """A group of the library. Raises PatternError for a faulty file."""
    try:
        table = Table(library.load("guitar", name))
        movable = table.take("movable", bool)
        shapes = tuple(_shape(shape, movable) for shape in table.tables("shapes"))
        found = Group(name, table.take("title", str), table.take("about", str), movable, shapes)
        table.end()
    except ValueError as error:
        raise PatternError(f"patterns/guitar/{name}.toml: {error}") from None
    return found


def _shape(table: Table, movable: bool) -> Shape:
    """A shape. Raises ValueError where its strings don't sound the degrees written."""
    chord = table.take("chord", str)
    frets, fingers, degrees = (
        _row(table, key, *silent)
        for key, silent in (("frets", DAMPED), ("fingers", NONE), ("degrees", NONE))
    )
    table.end()
    sounding = [string for string in range(STRINGS) if frets[string] != DAMPED]
    if any((degrees[n] != NONE) != (n in sounding) for n in range(STRINGS)) or not sounding:
        raise table.error("degrees", f"found {degrees}; one for each fret of {frets} is needed")
    shape = Shape(
        chord,
        movable,
        tuple(STRINGS - string for string in sounding),
        tuple(int(frets[string]) for string in sounding),
        tuple(int(fingers[string].replace(NONE, "0")) for string in sounding),
        tuple(Degree.parse(degrees[string]) for string in sounding),
        0,
    )
    roots = {
        (pitch - degree.semitones) % 12
        for pitch, degree in zip(shape.pitches, shape.degrees, strict=True)
    }
    named = {parse_chord(chord).root.pitch_class} if not movable else roots
    if len(roots) != 1 or roots != named:
        raise table.error("degrees", f"found {degrees}, which the frets {frets} don't sound")
    parse_quality(chord if movable else "")
    return Shape(chord, movable, shape.strings, shape.frets, shape.fingers, shape.degrees, *roots)


def _row(table: Table, key: str, silent: str) -> list[str]:
    """The words of a row, one a string."""
    words = table.take(key, str).split()
    if len(words) != STRINGS:
        raise table.error(key, f"found {' '.join(words)!r}; {STRINGS} words are needed")
    if key != "degrees" and not all(word == silent or word.isdecimal() for word in words):
        raise table.error(key, f"found {' '.join(words)!r}; numbers and {silent} are allowed")
    return words
