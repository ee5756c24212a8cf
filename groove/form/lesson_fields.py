"""The fields of a form file for the lesson: teacher, learner, blocks, phrases and solo."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import quote

from groove import library
from groove.errors import nearest, quoted
from groove.form.values import one_of, read_part_chords, read_text, read_title
from groove.theory.keys import Key
from groove.wording import SHIPPED, Wording
from groove.wording.file import read_words

LEARNERS = BEGINNER, INTERMEDIATE, ADVANCED = ("beginner", "intermediate", "advanced")
SOLOS = NO_SOLO, EXAMPLE, ANSWERS = ("none", "example", "answers")
"""The kinds of solo part that a track may have: nothing; a chorus of an example; two bars of an
example and two for the student in turn."""
PHRASE_FIELDS = ("name", "notes", "words", "over", "key", "tuning")
MOST_PHRASES = 24
STRINGED = ("guitar", "bass", "ukulele", "mandolin")
INSTRUMENTS = (*STRINGED, "keyboard", "none")
"""The instruments that a lesson sheet has drawings for; none is for horns and voices."""
LONGEST_REMARK = 2_000  # characters
MOST_CHORUSES = 100
ADDRESS = re.compile(r"(?i:https?://|mailto:)[\w.~:/?#\[\]@!$&'()*+,;=%-]+")
IN_ADDRESSES = ":/?#[]@!$&'()*+,;=%~"
PARAGRAPHS = re.compile(r"\n[ \t]*\n")


@dataclass(frozen=True, slots=True)
class NamedPhrase:
    """A teacher's phrase as it stands in the form file: name, notes as text, and a remark.

    over: the chord that it is for, in the form's notation, empty for the first one. key: in which
    notes and chord are written, empty for that of the file. tuning: in which its strings and frets
    are written, empty for a guitar's.
    """

    name: str
    notes: str
    words: str = ""
    over: str = ""
    key: str = ""
    tuning: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """A paragraph of the teacher's. place: a part of the sheet, ``"chorus 2"``, or empty for one
    on the whole lesson."""

    words: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class LessonFields:
    """The lesson's fields of a form; empty ones leave no trace.

    learner: one of LEARNERS. plays: what the learner plays, one of INSTRUMENTS. blocks: the parts
    of the sheet in their order, empty for the learner's usual ones. headings: the teacher's own for
    parts of the sheet, by name; they stand in `words` too. remarks: in their order. words: the
    sentences of all that is written.
    """

    teacher: str = ""
    link: str = ""
    invite: str = ""
    remarks: tuple[Remark, ...] = ()
    learner: str = INTERMEDIATE
    plays: str = ""
    blocks: tuple[str, ...] = ()
    headings: tuple[tuple[str, str], ...] = ()
    phrases: tuple[NamedPhrase, ...] = ()
    solo: str = NO_SOLO
    words: Wording = SHIPPED

    @property
    def headed(self) -> LessonFields:
        """The same with the teacher's headings among its words."""
        if not self.headings:
            return self
        own = self.words.own
        blocks = own.get("blocks", {})
        headings = {**blocks.get("blocks", {}), **dict(self.headings)}
        return replace(self, words=Wording({**own, "blocks": {**blocks, "blocks": headings}}))

    def remarks_at(self, place: str) -> tuple[str, ...]:
        """The teacher's paragraphs on a part of the sheet, a chorus, or the whole, ``""``."""
        return tuple(remark.words for remark in self.remarks if remark.place == place)


NO_LESSON = LessonFields()


def read_link(value: Any) -> str:
    """An address that begins with http, https or mailto, in characters that an address may have
    (RFC 3986, and letters of other scripts, RFC 3987)."""
    remedy = 'write an address in quotes, as in "https://lessons.example/blues"'
    text = read_text(value, remedy)
    if not ADDRESS.fullmatch(text) or not text.isprintable() or len(text) > LONGEST_REMARK:
        raise ValueError(f"found {quoted(value)}; an http, https or mailto address is allowed")
    return text


def in_ascii(link: str) -> str:
    """An address with other letters than those of ASCII as bytes of UTF-8 (RFC 3987).

    >>> in_ascii("https://lessons.example/bücher?page=1")
    'https://lessons.example/b%C3%BCcher?page=1'
    """
    return quote(link, safe=IN_ADDRESSES)


def read_remarks(value: Any) -> tuple[Remark, ...]:
    """Paragraphs: a list of texts, or one text with empty lines between paragraphs; or a table of
    such, by what they are about: ``lesson``, a part of the sheet, ``chorus 2``."""
    if not isinstance(value, Mapping):
        return tuple(Remark(text) for text in _paragraphs(value))
    found: list[Remark] = []
    for place, texts in value.items():
        found += [Remark(text, _remark_place(place)) for text in _paragraphs(texts)]
    return tuple(found)


def _remark_place(name: str) -> str:
    if name == "lesson":
        return ""
    place = " ".join(name.lower().split())
    number = re.fullmatch(r"chorus (\d{1,3})", place)
    if number and 1 <= int(number[1]) <= MOST_CHORUSES:
        return f"chorus {int(number[1])}"
    if place not in part_names():
        hint = nearest(place, ("lesson", *part_names()))
        raise ValueError(f'remarks on {quoted(name)}; write lesson, "chorus 2" or a part: {hint}')
    return place


def part_names() -> tuple[str, ...]:
    """The names of the parts that a sheet may have."""
    return tuple(library.load("lesson", "blocks")["blocks"])


def read_headings(value: Any) -> tuple[tuple[str, str], ...]:
    """The teacher's headings by the names of parts of the sheet: a table of texts."""
    if not isinstance(value, Mapping):
        raise ValueError(f'found {quoted(value)}; write headings = {{ plan = "This week" }}')
    for name in value:
        if name not in part_names():
            raise ValueError(f"a heading for {quoted(name)}; {nearest(name, part_names())}")
    return tuple((name, read_title(text)) for name, text in value.items())


def _paragraphs(value: Any) -> list[str]:
    remedy = 'write text in quotes, as in remarks = "Leave room for the answer."'
    texts = value if isinstance(value, list) else PARAGRAPHS.split(read_text(value, remedy))
    found = [" ".join(read_text(text, remedy).split()) for text in texts]
    if any(len(text) > LONGEST_REMARK or not text.isprintable() for text in found):
        raise ValueError(f"a paragraph has at most {LONGEST_REMARK} characters, all printable")
    return [text for text in found if text]


def read_blocks(value: Any) -> tuple[str, ...]:
    """Names of parts of the sheet: a list, or text with commas between them."""
    remedy = 'write names in quotes, as in "chart, scales, plan"'
    texts = value if isinstance(value, list) else read_text(value, remedy).split(",")
    found = tuple(one_of(part_names())(text) for text in texts)
    if len(set(found)) < len(found):
        raise ValueError(f"found {quoted(value)}; each part is named once")
    return found


def read_phrases(value: Any) -> tuple[NamedPhrase, ...]:
    """Phrases, each with a name of its own. Raises ValueError about the first fault."""
    shape = 'write each as [[phrases]] with name = "answer" and notes = "3f5 3f7"'
    if not isinstance(value, list) or not all(isinstance(table, Mapping) for table in value):
        raise ValueError(f"found {quoted(value)}; {shape}")
    if len(value) > MOST_PHRASES:
        raise ValueError(f"{len(value)} phrases; at most {MOST_PHRASES} are allowed")
    found: dict[str, NamedPhrase] = {}
    for place, table in enumerate(value, 1):
        for field in table:
            if field not in PHRASE_FIELDS:
                hint = nearest(field, PHRASE_FIELDS)
                raise ValueError(f"phrase {place}: unknown field {quoted(field)}; {hint}")
        if "name" not in table or "notes" not in table:
            raise ValueError(f"phrase {place} lacks its name or its notes; {shape}")
        name = read_title(table["name"])
        if name in found:
            raise ValueError(f"two phrases are named {quoted(name)}; give one another name")
        texts = {field: read_text(table[field], shape) for field in table if field != "name"}
        texts["words"] = " ".join(texts.get("words", "").split())
        if texts.get("over"):
            _check_over(texts["over"], name)
        if texts.get("key"):
            _check_key(texts["key"], name)
        found[name] = NamedPhrase(name, **texts)
    return tuple(found.values())


def _check_over(over: str, name: str) -> None:
    """Raise ValueError where a phrase of a name is over anything but one chord."""
    try:
        chords = read_part_chords(over)
    except ValueError as error:
        raise ValueError(f"phrase {quoted(name)}: over: {error}") from None
    if len(chords) > 1:
        raise ValueError(f'phrase {quoted(name)}: over names one chord, as in over = "V7"')


def _check_key(key: str, name: str) -> None:
    try:
        Key.parse(key)
    except ValueError as error:
        raise ValueError(f"phrase {quoted(name)}: key: {error}") from None


OPTION_READERS: dict[str, tuple[Callable[[Any], Any], str, str]] = {
    "teacher": (read_title, "NAME", "the teacher's name, on chart, sheet, page and in tags"),
    "link": (read_link, "ADDRESS", "an http, https or mailto address beside the teacher's name"),
    "invite": (read_title, "TEXT", 'a last line to the student, "Send me your version"'),
    "learner": (one_of(LEARNERS), "WHO", "beginner, intermediate or advanced: how deep it goes"),
    "blocks": (read_blocks, "NAMES", "the parts of the lesson sheet, in this order"),
    "solo": (one_of(SOLOS), "WHAT", "a solo part: example (a chorus), answers (two bars in turn)"),
    "words": (read_words, "FILE", "sentences of your own from a file; german: in that language"),
}
"""Reader, value and help of each field that is an option of the command line as well."""
FILE_READERS: dict[str, Callable[[Any], Any]] = {
    "plays": one_of(INSTRUMENTS),
    "headings": read_headings,
    "remarks": read_remarks,
    "phrases": read_phrases,
}
"""The readers of those that stand in a form file alone."""
