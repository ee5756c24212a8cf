"""The teacher's phrases on the practice page: names for every reader, tablature in every key.

Pages of forms without phrases have nothing of this.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from typing import Any

from groove.form.choruses import in_key
from groove.form.model import Form
from groove.handout.practice.guides import written_keys
from groove.handout.practice.necks import named_tuning
from groove.handout.practice.streams import packed
from groove.lesson.blocks import heading_of
from groove.lesson.guide import write_guide
from groove.lesson.line import JOINS, LineNote
from groove.lesson.request import Request
from groove.lesson.teacher_phrases import OverChord, TeacherPhrase, teacher_phrases
from groove.theory.keys import Key
from groove.theory.symbols import symbol
from groove.wording import words_of

STRINGS = 16
"""A place on the neck is a number: so many times its fret, and its string."""
BENDS, RELEASES = 4, 32
"""A gesture is a number: that of how a note is joined, as in JOINS from 1 on; BENDS times the half
semitones of its bend; and RELEASES where that comes back."""

Json = dict[str, Any]


class Texts:
    """Different texts, each once, by their numbers."""

    def __init__(self) -> None:
        self.numbers: dict[str, int] = {}

    def number(self, numbers: Iterator[int]) -> int:
        """The number of some numbers as text, which is kept if it is new."""
        return self.numbers.setdefault(packed(numbers), len(self.numbers))


def page_phrases(form: Form, keys: Sequence[Key], request: Request) -> Json:
    """The phrases of a form, ready for JSON; nothing where it has none.

    tuning: that of the tablature, by its name among the page's. times: of each phrase, text: of
    each note its ticks after the one before, the first after the first bar line, and its length.
    bars: of each phrase. read: by the symbol of a key that is read, of each phrase and each
    chord that it is over, the first as written, the chord's symbol and the number of a text of
    `names`: the notes on the line of fifths above the tonic. placed: by the number of the key
    that sounds, of the same the lowest fret and the number of a text of `tabs`: of each note its
    place with its fret above that one, or its MIDI note below 0 where it has no place; and its
    gesture.
    """
    if not form.lesson.phrases:
        return {}
    name, tuning = named_tuning(request)
    names, tabs = Texts(), Texts()
    read = {key.symbol: key for sounds in keys for key in written_keys(sounds).values()}
    phrases = {symbol: write_guide(in_key(form, key)) for symbol, key in sorted(read.items())}
    placed = [teacher_phrases(phrases[key.symbol], tuning) for key in keys]
    return {
        "phrases": {
            "tuning": name,
            "times": [packed(times_of(phrase.written.line.notes)) for phrase in placed[0]],
            "bars": [len(phrase.written.line.bars) for phrase in placed[0]],
            "read": {
                key: [
                    [
                        [
                            str(symbol(over.chord)),
                            names.number(names_of(over.line.notes, read[key])),
                        ]
                        for over in _all(phrase)
                    ]
                    for phrase in teacher_phrases(guide, None)
                ]
                for key, guide in phrases.items()
            },
            "placed": [
                [[tab_of(over.line.notes, tabs) for over in _all(phrase)] for phrase in in_a_key]
                for in_a_key in placed
            ],
            "names": list(names.numbers),
            "tabs": list(tabs.numbers),
        }
    }


def _all(phrase: TeacherPhrase) -> tuple[OverChord, ...]:
    return (phrase.written, *phrase.moved)


def times_of(notes: Sequence[LineNote]) -> Iterator[int]:
    """Of each note its ticks after the one before, and its length."""
    before = 0
    for note in notes:
        yield from (note.start - before, note.length)
        before = note.start


def names_of(notes: Sequence[LineNote], key: Key) -> Iterator[int]:
    """Of each note its place on the line of fifths above the tonic of a key."""
    return (note.name.fifths - key.tonic.fifths for note in notes)


def tab_of(notes: Sequence[LineNote], tabs: Texts) -> list[int]:
    """The lowest fret of some notes and the number of a text of `tabs`, as in `page_phrases`."""
    low = min((note.place.fret for note in notes if note.place), default=0)
    return [low, tabs.number(_places(notes, low))]


def _places(notes: Sequence[LineNote], low: int) -> Iterator[int]:
    for note in notes:
        place = note.place
        yield STRINGS * (place.fret - low) + place.string if place else -note.pitch
        joined = ("", *JOINS).index(note.joined)
        yield joined + BENDS * int(2 * note.bend) + RELEASES * note.release


def phrases_html(form: Form, own: str = "") -> str:
    """A section with the name and the remark of each phrase, a choice of its chord, a button to
    hear it and places for its notes; nothing where a form has none. own: paragraphs on them all."""
    words = words_of("page")["phrases"]
    before, _, after = words["over"].partition("{field}")
    found = [
        f'\n<div class="phrase">\n<h3 id="phrase-{number}">{escape(phrase.name)}</h3>'
        + (f"\n<p>{escape(phrase.words)}</p>" if phrase.words else "")
        + f'\n<div class="pair" role="group" aria-labelledby="phrase-{number}">'
        + f"<label>{escape(before)}<select></select>{escape(after)}</label>"
        + f'<button type="button">{escape(words["play"])}</button></div>'
        + '\n<div class="tab" role="group"></div>\n<p class="phrase-notes"></p>\n</div>'
        for number, phrase in enumerate(form.lesson.phrases)
    ]
    if not found:
        return ""
    title = f'\n<h2 id="phrases-title">{escape(heading_of("phrases"))}</h2>'
    hint = '\n<p class="hint" id="phrases-hint" hidden></p>'
    start = '\n<section id="phrases" class="panel" data-open aria-labelledby="phrases-title">'
    return f"{start}{title}{own}{hint}{''.join(found)}\n</section>"
