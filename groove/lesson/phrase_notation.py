"""Reads a short phrase from a plain notation.

Notes in the order played, spaces between: 3f5 is string 3 (1 is the highest), fret 5; C4 or Bb3
is a note with its octave, middle C being C4. Both kinds can stand in one phrase. A colon adds the
length in beats, one where it is left out.

>>> from groove.instrument.fretboard import read_tuning
>>> guitar = read_tuning("guitar")
>>> phrase = read_phrase("4f7 3f5 C4:1/2 A3:3/2", guitar, NoteName.parse("A"))
>>> [(note.name, note.pitch, str(note.beats)) for note in phrase]
[('A', 57, '1'), ('C', 60, '1'), ('C', 60, '1/2'), ('A', 57, '3/2')]
>>> [note.place for note in phrase][:3]
[Place(string=4, fret=7), Place(string=3, fret=5), None]
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from groove.errors import OptionError
from groove.instrument.fretboard import Place, Tuning
from groove.theory.pitch import NoteName, octave, parse_pitch, spelled

MOST_NOTES = 32
LONGEST = 16  # beats
LOWEST, HIGHEST = 12, 127  # MIDI notes, C0 to G9: where no neck gives the limits

_NOTE = re.compile(r"(?:(?P<string>\d+)f(?P<fret>\d+)|(?P<name>[^:]+))(?::(?P<beats>.*))?")
_BEATS = re.compile(r"(\d{1,3})(?:/(\d{1,3}))?")


@dataclass(frozen=True, slots=True)
class Note:
    """A note of a phrase: spelled name, MIDI note, length in beats, and where it was written.

    place: None where it was given by name.
    """

    name: str
    pitch: int
    beats: Fraction = Fraction(1)
    place: Place | None = None

    @property
    def full_name(self) -> str:
        """The name with its octave, ``"Bb3"``."""
        return f"{self.name}{octave(NoteName.parse(self.name), self.pitch)}"


Phrase = tuple[Note, ...]


def read_phrase(text: str, tuning: Tuning | None, tonic: NoteName) -> Phrase:
    """A phrase in the notation above; notes by string and fret are spelled near a tonic.

    tuning: None where there are no strings; then notes are given by name alone. Raises
    GrooveError, naming the note, for a note that can't be read or isn't on the neck.
    """
    words = text.replace(",", " ").split()
    if not 1 <= len(words) <= MOST_NOTES:
        raise OptionError("phrase", f"{len(words)} notes; 1 to {MOST_NOTES} are allowed")
    return tuple(_note(word, tuning, tonic) for word in words)


def _note(word: str, tuning: Tuning | None, tonic: NoteName) -> Note:
    match = _NOTE.fullmatch(word)
    if not match:
        by_fret = "3f5 or " if tuning else ""
        raise OptionError("phrase", f"{word[:20]!r} is no note; write {by_fret}C4, or C4:1/2")
    beats = _beats(match["beats"], word)
    if match["name"]:
        try:
            name, pitch = parse_pitch(match["name"])
        except ValueError:
            by_fret = "3f5 (string 3, fret 5) or " if tuning else ""
            raise OptionError("phrase", f"{word[:20]!r} is no note; write {by_fret}C4") from None
        if tuning is None and not LOWEST <= pitch <= HIGHEST:
            raise OptionError(
                "phrase",
                f"{word[:20]} is too {'low' if pitch < LOWEST else 'high'}; "
                f"{_named(LOWEST, tonic)} to {_named(HIGHEST, tonic)} are allowed",
            )
        if tuning and not tuning.places(pitch):
            low, high = min(tuning.open_strings), max(tuning.open_strings) + tuning.frets
            raise OptionError(
                "phrase",
                f"{word[:20]} is not on this neck, which has "
                f"{_named(low, tonic)} to {_named(high, tonic)}",
            )
        return Note(str(name), pitch, beats)
    if tuning is None:
        raise OptionError(
            "phrase",
            f"{word[:20]} is a string and a fret, for stringed instruments alone; "
            "write notes by name, such as C4",
        )
    place = Place(int(match["string"]), int(match["fret"]))
    if place.string not in tuning.strings or place.fret > tuning.frets:
        raise OptionError(
            "phrase",
            f"{word[:20]} is not on this neck; strings are 1 to "
            f"{len(tuning.open_strings)}, frets 0 to {tuning.frets}",
        )
    pitch = tuning.pitch(place)
    return Note(str(spelled(pitch, tonic)), pitch, beats, place)


def _named(pitch: int, tonic: NoteName) -> str:
    return Note(str(spelled(pitch, tonic)), pitch).full_name


def _beats(text: str | None, word: str) -> Fraction:
    if text is None:
        return Fraction(1)
    match = _BEATS.fullmatch(text)
    if match and int(match[2] or 1):
        length = Fraction(int(match[1]), int(match[2] or 1))
        if 0 < length <= LONGEST:
            return length
    raise OptionError(
        "phrase",
        f"{word[:20]!r} has no length; after the colon stand beats such as 1, 1/2 or "
        f"3/2, up to {LONGEST}",
    )
