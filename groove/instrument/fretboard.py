"""Stringed instruments: tunings, strings, frets and their notes.

Strings count as players count them: string 1 is the last one written, the highest of a guitar.
Fret 0 is the open string. The tunings by name are data, ``patterns/tunings.toml``.

How a lesson sheet or a practice page uses the modules that build on this one:

A tuning, and something to play: a scale, an arpeggio, and a scale as heard over a chord.

>>> from groove.instrument.fretboard import read_tuning
>>> from groove.instrument.material import arpeggio, scale
>>> from groove.theory.chords import parse_chord
>>> guitar = read_tuning("guitar")
>>> minor = scale("A", "minor pentatonic")
>>> a7, d7, e7 = (parse_chord(c) for c in ("A7", "D7", "E7"))
>>> [(tone.name, tone.degree, tone.role) for tone in arpeggio(a7).tones]
[('A', '1', 'root'), ('C#', '3', 'third'), ('E', '5', 'fifth'), ('G', 'b7', 'seventh')]
>>> [tone.degree for tone in minor.over(d7).tones]
['5', 'b7', '1', '2', '4']

Its five positions; any other by the fret under the first finger; several chords under one hand.

>>> from groove.instrument.positions import at_fret, one_position, positions
>>> [(p.number, p.fret, p.form, p.lowest, p.highest) for p in positions(guitar, minor)]
[(1, 5, 'E', 5, 8), (2, 7, 'D', 7, 10), (3, 10, 'C', 9, 13), (4, 1, 'A', 0, 3),
 (5, 2, 'G', 2, 5)]
>>> first = positions(guitar, minor)[0]
>>> first.dots[0]
Dot(string=6, fret=5, pitch=45, name='A', degree='1', role='root', finger=1)
>>> at_fret(guitar, minor, 5).dots == first.dots
True
>>> together = one_position(guitar, [arpeggio(c) for c in (a7, d7, e7)])
>>> [p.fret for p in together], [p.complete for p in together]
([4, 4, 4], [True, True, True])

Each as data for JSON, and as marks to put on a page.

>>> from groove.instrument.positions import as_data
>>> as_data(first)["dots"][0]["name"]
'A'
>>> from groove.handout.drawing.fretboard import fretboard_size, draw_fretboard
>>> size = fretboard_size(guitar, first)
>>> marks = draw_fretboard(guitar, first, x=20, y=30, label="degree")

Double stops inside a position of the chord.

>>> from groove.instrument.double_stops import double_stops
>>> [str(stop) for stop in double_stops(guitar, a7) if 1 in stop.numbers][1:3]
['third A C#: string 6 fret 5, string 5 fret 4', 'third C# E: string 3 fret 6, string 2 fret 5']

A phrase: how many ways there are to play it, the best from each place where it can begin, and
over another chord.

>>> from groove.instrument.fingerings import best_starts, count
>>> from groove.lesson.phrase_notation import read_phrase
>>> from groove.lesson.phrase_moves import by_degree, seats
>>> from groove.instrument.tablature import tablature
>>> lick = read_phrase("3f5 3f6 2f5 4f7", guitar, a7.root)
>>> pitches = [note.pitch for note in lick]
>>> count(guitar, pitches), len(best_starts(guitar, pitches))
(49, 12)
>>> over = by_degree(lick, a7, e7)
>>> [str(seat) for seat in seats(over, e7)]
['b3 blue', '3 chord', '5 chord', '1 chord']
>>> place, *_ = best_starts(guitar, [note.pitch for note in over])
>>> print(tablature(guitar, [[fret] for fret in place.places]))
E |------------|
B |-------0----|
G |-0--1-------|
D |----------2-|
A |------------|
E |------------|

Keyboards: groove.instrument.keyboard. Tablature on a page: groove.handout.drawing.tab.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from groove import library
from groove.errors import OptionError, nearest, quoted
from groove.theory.pitch import _PITCH, parse_pitch

OCTAVE = 12
MOST_STRINGS = 12
LOWEST, HIGHEST = 12, 96  # MIDI notes of open strings, C0 to C7
FRETS = 24  # of a tuning that is written out
FINGERS = 4
SHORT_NECK_REACH = 7  # two frets a finger, the little finger one
EXAMPLE = '"D2 A2 D3 G3 B3 E4"'


@dataclass(frozen=True, order=True, slots=True)
class Place:
    """A fret on a string; string 1 is the highest of a guitar, fret 0 the open string."""

    string: int
    fret: int


@dataclass(frozen=True, slots=True)
class Tuning:
    """An instrument with its open strings.

    open_strings: MIDI notes, string 1 last. names: of the same strings. frets: on the neck.
    frets_a_finger: 1 or 2, see patterns/tunings.toml.
    """

    title: str
    open_strings: tuple[int, ...]
    names: tuple[str, ...]
    frets: int = FRETS
    frets_a_finger: int = 1

    @property
    def strings(self) -> range:
        """The strings as written, string 1 last."""
        return range(len(self.open_strings), 0, -1)

    @property
    def lowest_string(self) -> int:
        """The string that sounds lowest; not the first written where a tuning is re-entrant."""
        return min(self.strings, key=self.open)

    @property
    def reach(self) -> int:
        """Frets under a hand that does not stretch: 4, or 7 on short necks."""
        return FINGERS if self.frets_a_finger == 1 else SHORT_NECK_REACH

    def open(self, string: int) -> int:
        """The MIDI note of an open string."""
        return self.open_strings[-string]

    def pitch(self, place: Place) -> int:
        """The MIDI note at a place."""
        return self.open(place.string) + place.fret

    def places(self, pitch: int) -> tuple[Place, ...]:
        """Everywhere that a MIDI note lies on the neck, from the highest-numbered string."""
        found = (Place(string, pitch - self.open(string)) for string in self.strings)
        return tuple(place for place in found if 0 <= place.fret <= self.frets)

    def finger(self, fret: int, hand: int) -> int:
        """The finger, 1 to 4, for a fret by a hand whose first finger plays ``hand``.

        One finger a fret (or two frets); beyond them the first or the fourth stretches; 0 open.
        """
        if fret == 0:
            return 0
        return min(max((fret - hand) // self.frets_a_finger + 1, 1), FINGERS)


@cache
def tunings() -> dict[str, Tuning]:
    """The tunings that ship with the program, by name."""
    return {
        name: _tuning(
            entry["title"], entry["strings"], entry["frets"], entry.get("frets_a_finger", 1)
        )
        for name, entry in library.table("tunings").items()
    }


def read_tuning(text: str) -> Tuning:
    """A tuning by its name, or written out as open strings: ``"D2 A2 D3 G3 B3 E4"``.

    Raises OptionError for anything else.

    >>> read_tuning("D2 A2 D3 G3 B3 E4").open_strings
    (38, 45, 50, 55, 59, 64)
    >>> read_tuning("gitar")
    Traceback (most recent call last):
    groove.errors.OptionError: tuning: 'gitar' is not known; did you mean guitar? ...
    """
    name = "-".join(text.lower().split())
    if name in tunings():
        return tunings()[name]
    words = text.replace(",", " ").split()
    if not words or not any(_PITCH.fullmatch(word) for word in words):
        raise OptionError(
            "tuning",
            f"{quoted(text)} is not known; {nearest(name, tunings())} "
            f"Or write out its open strings, {EXAMPLE}",
        )
    return _tuning(" ".join(words), text, FRETS, 1)


def _tuning(title: str, text: str, frets: int, frets_a_finger: int) -> Tuning:
    words = text.replace(",", " ").split()
    if len(words) > MOST_STRINGS:
        raise OptionError("tuning", f"{len(words)} strings; 1 to {MOST_STRINGS} are allowed")
    pitches, names = [], []
    for word in words:
        try:
            name, pitch = parse_pitch(word)
        except ValueError as error:
            raise OptionError("tuning", f"{error}; write open strings like {EXAMPLE}") from None
        if not LOWEST <= pitch <= HIGHEST:
            raise OptionError("tuning", f"{word} is out of range; strings lie from C0 to C7")
        pitches.append(pitch)
        names.append(str(name))
    return Tuning(title, tuple(pitches), tuple(names), frets, frets_a_finger)
