"""The fields of a form file for the lesson: teacher, learner, blocks, phrases and solo."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from groove import library
from groove.errors import nearest, quoted
from groove.form.values import one_of, read_part_chords, read_text, read_title
from groove.wording import SHIPPED, Wording
from groove.wording.file import read_words

LEARNERS = BEGINNER, INTERMEDIATE, ADVANCED = ("beginner", "intermediate", "advanced")
SOLOS = ("none", "example", "answers")
"""What the solo part of a track plays: nothing; a chorus of an example; two bars of an example
and two for the student in turn."""
PHRASE_FIELDS = ("name", "notes", "words", "over", "tuning")
MOST_PHRASES = 24
LONGEST_REMARK = 2_000  # characters


@dataclass(frozen=True, slots=True)
class NamedPhrase:
    """A teacher's phrase as it stands in the form file: name, notes as text, and a remark.

    over: the chord that it is for, in the form's notation, empty for the first one. tuning: in
    which its strings and frets are written, empty for a guitar's.
    """

    name: str
    notes: str
    words: str = ""
    over: str = ""
    tuning: str = ""


@dataclass(frozen=True, slots=True)
class LessonFields:
    """The lesson's fields of a form; empty ones leave no trace.

    learner: one of LEARNERS. blocks: the parts of the sheet in their order, empty for the
    learner's usual ones. remarks: paragraphs. words: the sentences of all that is written.
    """

    teacher: str = ""
    link: str = ""
    invite: str = ""
    remarks: tuple[str, ...] = ()
    learner: str = INTERMEDIATE
    blocks: tuple[str, ...] = ()
    phrases: tuple[NamedPhrase, ...] = ()
    solo: str = "none"
    words: Wording = SHIPPED


NO_LESSON = LessonFields()


def read_link(value: Any) -> str:
    """An address that begins with http, https or mailto."""
    remedy = 'write an address in quotes, as in "https://lessons.example/blues"'
    text = read_text(value, remedy)
    fine = text.lower().startswith(("https://", "http://", "mailto:"))
    if not fine or not text.isprintable() or " " in text or len(text) > LONGEST_REMARK:
        raise ValueError(f"found {quoted(value)}; an http, https or mailto address is allowed")
    return text


def read_remarks(value: Any) -> tuple[str, ...]:
    """Paragraphs: a list of texts, or one text with empty lines between paragraphs."""
    remedy = 'write text in quotes, as in remarks = "Leave room for the answer."'
    texts = value if isinstance(value, list) else read_text(value, remedy).split("\n\n")
    found = [" ".join(read_text(text, remedy).split()) for text in texts]
    if any(len(text) > LONGEST_REMARK or not text.isprintable() for text in found):
        raise ValueError(f"a paragraph has at most {LONGEST_REMARK} characters, all printable")
    return tuple(text for text in found if text)


def read_blocks(value: Any) -> tuple[str, ...]:
    """Names of parts of the sheet: a list, or text with commas between them."""
    remedy = 'write names in quotes, as in "chart, scales, plan"'
    texts = value if isinstance(value, list) else read_text(value, remedy).split(",")
    names = tuple(library.load("lesson", "blocks")["blocks"])
    found = tuple(one_of(names)(text) for text in texts)
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
            read_part_chords(texts["over"])
        found[name] = NamedPhrase(name, **texts)
    return tuple(found.values())


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
    "remarks": read_remarks,
    "phrases": read_phrases,
}
"""The readers of those that stand in a form file alone."""
