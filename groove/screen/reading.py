"""A form file's text read for the screen: the form, or its mistakes, each with its place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from groove.errors import GrooveError
from groove.form.build import FormError, build
from groove.form.model import Form
from groove.form.read import text_layer

_PLACED = re.compile(r"@(?:(sections|order) (\d+) )?(.*?)@: (.*)", re.DOTALL)
_WHERE = re.compile(r"(?:section|line) \d+(?:, \w+)?: ")
_BAR = re.compile(r"(?:section [^:]*: )?bar (\d+): (.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Mistake:
    """A mistake in the words of ``groove check``.

    of: ``"sections"``, ``"order"``, ``"phrases"``, or empty for the whole form; place: which of
    them, from 0. field: of the form, section, line or phrase. bar: of the section, from 0; None
    where no bar is named.
    """

    text: str
    field: str = ""
    of: str = ""
    place: int = 0
    bar: int | None = None


@dataclass(frozen=True, slots=True)
class Read:
    """A text as read: its form, None where it has mistakes."""

    form: Form | None
    mistakes: tuple[Mistake, ...] = ()


def read(text: str, path: Path) -> Read:
    """Read the text of a form file. path: of the file, whose name is the usual title, and beside
    which the files that it names lie."""
    try:
        layer = text_layer(text.encode(), path)
        form = build([replace(layer, place=lambda field: f"@{field}@")])
        mistakes = tuple(_of_phrases(form))
        return Read(None if mistakes else form, mistakes)
    except FormError as error:
        return Read(None, tuple(map(_mistake, error.problems)))
    except GrooveError as error:
        return Read(None, (Mistake(str(error)),))


def _of_phrases(form: Form) -> Iterator[Mistake]:
    """The mistakes in the notes of the teacher's phrases."""
    if form.lesson.phrases:
        from groove.lesson.teacher_phrases import faults

        for place, text in faults(form):
            yield Mistake(text, "notes", "phrases", place)


def _mistake(problem: str) -> Mistake:
    found = _PLACED.fullmatch(problem)
    if not found:
        return Mistake(problem)
    of, place, field, text = found.groups()
    bar = _BAR.fullmatch(text)
    at: dict[str, Any] = {"bar": int(bar[1]) - 1} if bar and field == "chords" else {}
    said = bar[2] if bar and field == "chords" else _WHERE.sub("", text) if of else text
    return Mistake(said, field, of or "", int(place) - 1 if place else 0, **at)
