"""A phrase on a sheet as Markdown that reads well as plain text."""

from __future__ import annotations

import re
from collections.abc import Sequence

from groove.handout.sheet.sheet import Sheet
from groove.instrument.fingerings import Placement
from groove.instrument.fretboard import Tuning
from groove.instrument.tablature import tablature
from groove.lesson.phrase_guide import PhraseGuide
from groove.lesson.phrase_words import (
    clash_words,
    left_words,
    lengths,
    marked_line,
    moved_line,
    moved_words,
    phrase_words,
    placement_words,
    seat_marks,
)
from groove.theory.symbols import symbol
from groove.wording import said


def fenced(text: str) -> list[str]:
    """Text that keeps its columns, in a fence longer than any that it holds."""
    fence = "`" * max([3, *(len(run) + 1 for run in re.findall("`+", text))])
    return [fence, text, fence]


def phrase_text(sheet: Sheet) -> list[list[str]]:
    """The paragraphs on a sheet's phrase; none where it has none."""
    found, tuning = sheet.phrase, sheet.tuning
    if found is None:
        return []
    beats = [said("phrases", "phrase.beats")] if tuning and lengths(found.phrase) else []
    parts = [
        [
            f"## {said('phrases', 'phrase.title')}",
            "",
            " ".join([phrase_words(found, tuning), *beats]),
        ]
    ]
    if tuning:
        written = found.as_written
        shown = (
            [(f"{said('phrases', 'places.written')}: {placement_words(written)}", written)]
            if written
            else []
        )
        shown += [(placement_words(place), place) for place in found.places]
        parts += [[f"{words}:", "", *_tab(found, tuning, place)] for words, place in shown]
    parts.append(
        [f"### {said('phrases', 'moved.title')}", *(f"\n{w}" for w in [moved_words(found)] if w)]
    )
    for moved in found.moved:
        if tuning and moved.placement:
            clash = clash_words(moved)
            line = moved_line(moved) + (f" ({clash})" if clash else "")
            marks = [("", seat_marks(moved))]
            parts.append([line, "", *_tab(found, tuning, moved.placement, marks)])
        else:
            parts.append([marked_line(moved)])
    if found.left:
        lines = [f"- {marked_line(left)}" for left in found.left]
        if tuning and found.first:
            marks = [(str(symbol(left.chord)), seat_marks(left)) for left in found.left]
            lines = _tab(found, tuning, found.first, marks)
        parts.append([f"### {said('phrases', 'left.title')}", "", left_words(found), "", *lines])
    return parts


def phrase_tab(
    found: PhraseGuide,
    tuning: Tuning,
    place: Placement,
    under: Sequence[tuple[str, Sequence[str]]] = (),
) -> str:
    """The tablature of a phrase at a place, with the lengths of its notes if they differ.

    under: as in groove.instrument.tablature.
    """
    columns = [[note] for note in place.places]
    return tablature(tuning, columns, over=lengths(found.phrase), under=under)


def _tab(
    found: PhraseGuide,
    tuning: Tuning,
    place: Placement,
    under: Sequence[tuple[str, Sequence[str]]] = (),
) -> list[str]:
    return fenced(phrase_tab(found, tuning, place, under))
