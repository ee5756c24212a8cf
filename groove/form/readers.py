"""Readers of a handout: their transposition and clef.

A transposing instrument's part stands higher than it sounds: a major second on B♭
instruments, a major sixth on E♭, a fifth on F (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass

from groove.errors import OptionError, nearest, quoted
from groove.form.choruses import in_key
from groove.form.model import Form
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.wording import words_of

WRITTEN_FOR = {"C": "concert", "Bb": "Bb", "Eb": "Eb", "F": "F", "bass": "bass-clef"}
"""The page's short names of readers, and their names in READERS."""


@dataclass(frozen=True, slots=True)
class Reader:
    """A kind of reader of a handout. fifths: from sounding to written on the line of fifths."""

    name: str
    fifths: int = 0
    clef: str = "treble"

    @property
    def words(self) -> str:
        """For whom it is, ``for B♭ instruments``."""
        return str(words_of("form")["readers"][self.name])

    def shift(self, key: Key) -> int:
        """The distance on the line of fifths from sounding to written notes in a sounding key.

        Of two keys that sound alike the one with fewer signs is written. The concert reader
        keeps the key as it was asked for.
        """
        signature = key.signature + self.fifths
        if self.fifths and abs(signature - 12) < abs(signature):
            return self.fifths - 12
        return self.fifths

    def key(self, key: Key) -> Key:
        """The key this reader sees where ``key`` sounds.

        >>> str(READERS["Eb"].key(Key.parse("C")))
        'A major'
        """
        return Key(NoteName(key.tonic.fifths + self.shift(key)), key.mode)

    def form(self, form: Form) -> Form:
        """The form in the key that this reader writes it in."""
        return in_key(form, self.key(form.key))


READERS = {
    reader.name: reader
    for reader in (
        Reader("concert"),
        Reader("Bb", 2),
        Reader("Eb", 3),
        Reader("F", 1),
        Reader("bass-clef", 0, "bass"),
    )
}


def reader_named(name: str) -> Reader:
    """A reader by its name in READERS, or by an instrument of ``patterns/lesson/players.toml``.

    Raises GrooveError for other names.

    >>> reader_named("alto-sax").name
    'Eb'
    """
    known = {reader.lower(): reader for reader in READERS} | _players("for")
    if name.lower() not in known:
        names = [*READERS, *_players("for")]
        raise OptionError("for", f"found {quoted(name)}; {nearest(name, names)}")
    return READERS[known[name.lower()]]


def drawn_for(name: str) -> str | None:
    """The instrument to draw for a reader or player: ``"keyboard"`` for a piano, ``"none"`` for a
    trombone, None for an unknown name."""
    name = name.lower()
    return _players("instrument").get(name, "none" if name in _players("for") else None)


def _players(table: str) -> dict[str, str]:
    found: dict[str, str] = words_of("players")[table]
    return found
