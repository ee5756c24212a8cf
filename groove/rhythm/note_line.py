"""The notation of melodies and riffs: ``| F#4:2 E4:2 | -:4 |`` or ``1:3/2 b3:1/2 3 -``.

Each word is a note and, after a colon, its length in beats, the beat being the one that a tempo
counts; one beat if left out. A note is a name with its octave, middle C being ``C4``, or a degree
of the chord that sounds: ``3`` is the third that the chord has, ``b3`` the one that is written,
``_5`` lies an octave down. With ``from = "key"`` degrees count from the key. ``-`` is a rest.
``|`` is for the eye, and must stand at a bar line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import cycle
from typing import Any

from groove.errors import nearest, quoted
from groove.rhythm.kit import instrument_name
from groove.rhythm.meter import Meter
from groove.theory.pitch import Degree, NoteName, parse_pitch

REST = "-"
MOST_NOTES = 20_000
LONGEST_NOTE = 256  # beats
LARGEST_PITCH = 127
SHAPE = "notes look like F#4:2 or, as degrees, b3:1/2, and - rests"
DEGREES_FROM = ("chord", "key")
_LENGTH = re.compile(r"\d{1,4}(?:\.\d{1,4}|/\d{1,4})?|\.\d{1,4}")
_DEGREE = re.compile(r"(_{0,3})([#b♯♭]{0,2}\d{1,3})")


@dataclass(frozen=True, slots=True)
class WrittenNote:
    """A note or a rest as written.

    beats: its length. pitch: the MIDI note of a name, spelled ``name``; without one it is a
    ``degree``, so many octaves ``down``; with neither a rest. bar_line: whether one is written
    before it.
    """

    beats: Fraction
    name: NoteName | None = None
    pitch: int = -1
    degree: Degree | None = None
    down: int = 0
    bar_line: bool = False

    @property
    def is_rest(self) -> bool:
        """True if nothing sounds."""
        return self.name is None and self.degree is None


@dataclass(frozen=True, slots=True)
class Riff:
    """A line of notes with its name and instrument, a riff or the melody of a section.

    instrument: a name in groove.rhythm.kit.INSTRUMENTS, empty for the usual one. from_key:
    whether its degrees count from the key; from the chord that sounds if not.
    """

    name: str
    instrument: str
    notes: tuple[WrittenNote, ...]
    from_key: bool = False

    @property
    def beats(self) -> Fraction:
        """Its length in beats."""
        return sum((note.beats for note in self.notes), Fraction(0))


def parse_notes(text: str) -> tuple[WrittenNote, ...]:
    """Read a line of notes. Raises ValueError, saying which note and what is allowed.

    >>> [str(note.beats) for note in parse_notes("| 1:3/2 b3:1/2 3 - |")]
    ['3/2', '1/2', '1', '1']
    """
    notes: list[WrittenNote] = []
    bar_line = False
    for word in text.replace("|", " | ").split():
        if word == "|":
            bar_line = True
            continue
        if len(notes) == MOST_NOTES:
            raise ValueError(f"more than {MOST_NOTES:,} notes; write shorter lines")
        try:
            notes.append(_note(word, bar_line))
        except ValueError as error:
            raise ValueError(f"note {len(notes) + 1}, {quoted(word)}: {error}") from None
        bar_line = False
    if not notes:
        raise ValueError(f"no notes; {SHAPE}")
    return tuple(notes)


def _note(word: str, bar_line: bool) -> WrittenNote:
    text, colon, length = word.partition(":")
    beats = _beats(length) if colon else Fraction(1)
    if text == REST:
        return WrittenNote(beats, bar_line=bar_line)
    degree = _DEGREE.fullmatch(text)
    if degree:
        try:
            found = Degree.parse(degree[2])
        except ValueError:
            raise ValueError("degrees go from 1 to 13, with b or # before them") from None
        return WrittenNote(beats, degree=found, down=len(degree[1]), bar_line=bar_line)
    if text[:1] in "Hh" and text:
        raise ValueError("German H is B here, and German B is Bb, as in Bb4")
    try:
        if text[:1].islower():
            raise ValueError("a small letter")
        name, pitch = parse_pitch(text)
    except ValueError:
        raise ValueError(f"{_remedy(text)}; {SHAPE}") from None
    if not 0 <= pitch <= LARGEST_PITCH:
        raise ValueError("MIDI has notes from C-1 to G9 only")
    return WrittenNote(beats, name, pitch, bar_line=bar_line)


def _remedy(text: str) -> str:
    """The fault of a word that is no note."""
    if re.fullmatch(r"[A-Ga-g][#b♯♭x]{0,2}", text):
        return f"a note name needs its octave, as in {text.capitalize()}4"
    if re.fullmatch(r"[a-g][#b♯♭x]{0,2}-?\d", text):
        return f"note names begin with a capital, {text.capitalize()}"
    return "no note"


def _beats(text: str) -> Fraction:
    allowed = "write beats, as in F#4:2, F#4:1/2 or F#4:1.5"
    try:
        beats = Fraction(text if _LENGTH.fullmatch(text) else "?")
    except (ValueError, ZeroDivisionError):
        raise ValueError(f"{quoted(text)} is no number of beats; {allowed}") from None
    if not 0 < beats <= LONGEST_NOTE or 24 % beats.denominator:
        raise ValueError(
            f"{text} beats; {allowed}, up to {LONGEST_NOTE}, in halves, thirds and their halves"
        )
    return beats


@dataclass(frozen=True, slots=True)
class PlacedNote:
    """A note in its bar: its place and its length in ticks, which may go on over bar lines."""

    at: int
    length: int
    note: WrittenNote


def in_bars(
    notes: Sequence[WrittenNote], meters: Sequence[Meter], *, around: bool = False
) -> tuple[tuple[PlacedNote, ...], ...]:
    """The notes that begin in each bar that they fill.

    meters: the metre of each bar that they have room in. around: whether the line goes round
    over bars like these, as a riff does; a melody may be shorter than its section. Raises
    ValueError unless they fill whole bars and each ``|`` is at a bar line.
    """
    room = cycle(meters) if around else iter(meters)
    bars: list[list[PlacedNote]] = []
    meter, into, size = Meter.parse("4/4"), Fraction(0), Fraction(0)  # of the last bar, in beats
    written = 0  # bars before the last bar line that is written

    def check() -> None:
        if into < size:
            over = f"take {_mixed(into)} away or " if written < len(bars) - 1 else ""
            raise ValueError(
                f"bar {len(bars)} has {_mixed(into)} of the {_mixed(size)} beats of {meter}; "
                f"{over}add {_mixed(size - into)}, as -:{size - into}"
            )

    for note in notes:
        if note.bar_line:
            check()
            written = len(bars)
        place, length, left = None, 0, note.beats
        while left:
            if into == size:
                following = next(room, None)
                if following is None:
                    raise ValueError(f"the notes are longer than the {len(meters)} bars they have")
                meter, into = following, Fraction(0)
                size = Fraction(meter.bar_ticks, meter.beat_ticks)
                bars.append([])
            place = place or (len(bars) - 1, int(into * meter.beat_ticks))
            part = min(left, size - into)
            length += int(part * meter.beat_ticks)
            into, left = into + part, left - part
        if place:
            bars[place[0]].append(PlacedNote(place[1], length, note))
    check()
    return tuple(map(tuple, bars))


def _mixed(beats: Fraction) -> str:
    whole, part = divmod(beats, 1)
    return " ".join(str(n) for n in (whole, part) if n) or "0"


def read_instrument(value: Any) -> str:
    """The name in groove.rhythm.kit.INSTRUMENTS of an instrument's name in any case.

    Raises ValueError, saying which name is near.
    """
    return instrument_name(_text(value, 'write a name in quotes, as in "tenor sax"'))


def read_melody(value: Any) -> Riff:
    """The melody of a section: its notes as text, or a table with notes, instrument and from."""
    if isinstance(value, str):
        return Riff("melody", "", parse_notes(value))
    shape = 'write notes in quotes, as in melody = "| F#4:2 E4:2 |"'
    if not isinstance(value, Mapping):
        raise ValueError(f"found {quoted(value)}; {shape}")
    return _line("melody", value)


def read_riffs(value: Any) -> tuple[Riff, ...]:
    """The riffs of a form, each with a name of its own. Raises ValueError about the first fault."""
    shape = 'write each as [[riffs]] with name = "tenor" and notes = "1 3 5 -"'
    if not isinstance(value, list) or not all(isinstance(table, Mapping) for table in value):
        raise ValueError(f"found {quoted(value)}; {shape}")
    riffs: dict[str, Riff] = {}
    for place, table in enumerate(value, 1):
        name = table.get("name")
        if not isinstance(name, str) or not name.strip() or not name.isprintable():
            raise ValueError(f"riff {place} has no name; {shape}")
        name = name.strip()
        if name in riffs:
            raise ValueError(f"two riffs are named {quoted(name)}; give one another name")
        try:
            riffs[name] = _line(name, {k: v for k, v in table.items() if k != "name"})
        except ValueError as error:
            raise ValueError(f"riff {quoted(name)}: {error}") from None
    return tuple(riffs.values())


def _line(name: str, table: Mapping[str, Any]) -> Riff:
    for field in table:
        if field not in _READERS:
            raise ValueError(f"unknown field {quoted(field)}; {nearest(field, _READERS)}")
    if "notes" not in table:
        raise ValueError(f'no notes; write notes = "1 3 5 -"; {SHAPE}')
    found = {}
    for field, value in table.items():
        try:
            found[field] = _READERS[field](value)
        except ValueError as error:
            raise ValueError(f"{field}: {error}") from None
    return Riff(name, found.get("instrument", ""), found["notes"], found.get("from") == "key")


def _text(value: Any, remedy: str) -> str:
    if not isinstance(value, str):
        raise ValueError(f"found {quoted(value)}, which is no text; {remedy}")
    return value.strip()


def _notes(value: Any) -> tuple[WrittenNote, ...]:
    return parse_notes(_text(value, SHAPE))


def _degrees_from(value: Any) -> str:
    text = _text(value, f"there are: {', '.join(DEGREES_FROM)}").lower()
    if text not in DEGREES_FROM:
        raise ValueError(f"found {quoted(value)}; {nearest(text, DEGREES_FROM)}")
    return text


_READERS: dict[str, Callable[[Any], Any]] = {
    "notes": _notes,
    "instrument": read_instrument,
    "from": _degrees_from,
}
