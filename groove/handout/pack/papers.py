"""Readers of a pack's charts and lesson sheets, and the content of these in each key."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from groove.errors import OptionError, nearest
from groove.form.model import Form
from groove.form.readers import READERS, reader_named
from groove.handout.drawing.page import PAPERS
from groove.handout.sheet.sheet import write_sheet
from groove.instrument.fretboard import Tuning
from groove.lesson.phrase_notation import HIGHEST, LOWEST, Note, as_text, read_phrase
from groove.lesson.request import STRINGED, USUAL, Request, for_form, tuning_for
from groove.theory.keys import Key
from groove.theory.pitch import spelled

CONCERT = "concert"
OCTAVE = 12


@dataclass(frozen=True, slots=True)
class Papers:
    """The content of charts and sheets. requests: for concert pitch, then for each other reader,
    the phrase as it was given. paper: its size."""

    requests: tuple[Request, ...] = (USUAL,)
    paper: str = "a4"

    def request(self, reader: str, home: Form, form: Form) -> Request:
        """The request for a reader of a form that was `home` when the phrase was given."""
        found = next(each for each in self.requests if each.reader == reader)
        if found.phrase is None:
            return found
        read = READERS[reader].key(form.key)
        given_on = tuning_for(self.requests[0])
        phrase = moved_phrase(found.phrase, given_on, home.key, read, tuning_for(found))
        return replace(found, phrase=phrase)


A4 = Papers()


def read_papers(form: Form, readers: str | Iterable[str], paper: str, request: Request) -> Papers:
    """The papers asked for, tried out on a form. Raises GrooveError if they can't be made.

    readers: as `reader_named` knows them, in a list or with commas between them; concert pitch is
    always there. request: as for a sheet in concert pitch.
    """
    if paper not in PAPERS:
        raise OptionError("paper", f"found {paper!r}; {nearest(paper, PAPERS)}")
    given = [readers] if isinstance(readers, str) else readers
    words = [word.strip() for each in given for word in each.split(",")]
    names = [reader_named(word).name for word in words if word]
    others = dict.fromkeys(name for name in names if name != CONCERT)
    request = for_form(form, request)
    papers = Papers((request, *(_for_reader(name, request) for name in others)), paper)
    for each in papers.requests:
        write_sheet(form, papers.request(each.reader, form, form))
    return papers


def _for_reader(name: str, request: Request) -> Request:
    """The request for another reader; for a transposing one without a fretboard."""
    asked = replace(request, reader=name)
    on_strings = asked.instrument in (None, *STRINGED)
    if not (READERS[name].fifths and on_strings):
        return asked
    dots = "degrees" if asked.dots == "fingers" else asked.dots
    return Request(reader=name, dots=dots, phrase=asked.phrase)


def moved_phrase(
    text: str, tuning: Tuning | None, home: Key, key: Key, target: Tuning | None
) -> str:
    """A phrase that was given in one key, in another one: its notes by name.

    tuning: on which it was given; target: on which it will be played, in the octave that lies
    nearest and is there. Raises GrooveError where it can't be read, or is nowhere there.

    >>> from groove.instrument.fretboard import read_tuning
    >>> guitar, c, eb = read_tuning("guitar"), Key.parse("C"), Key.parse("Eb")
    >>> moved_phrase("3f5 Bb3:1/2", guitar, c, eb, guitar)
    'Eb4:1 Db4:1/2'
    """
    if key == home and tuning == target:
        return text
    phrase = read_phrase(text, tuning, home.tonic)
    steps = (key.tonic.pitch_class - home.tonic.pitch_class + 5) % OCTAVE - 5
    shifts = sorted((steps - OCTAVE, steps, steps + OCTAVE), key=abs)
    every = [n.pitch for note in phrase for n in (note, *note.others)]
    fitting = (s for s in shifts if all(_is_there(pitch + s, target) for pitch in every))
    shift = next(fitting, steps)
    return as_text([_moved(note, shift, key) for note in phrase])


def _is_there(pitch: int, tuning: Tuning | None) -> bool:
    return bool(tuning.places(pitch)) if tuning else LOWEST <= pitch <= HIGHEST


def _moved(note: Note, shift: int, key: Key) -> Note:
    pitch = note.pitch + shift
    others = tuple(_moved(other, shift, key) for other in note.others)
    return replace(note, name=str(spelled(pitch, key.tonic)), pitch=pitch, others=others)
