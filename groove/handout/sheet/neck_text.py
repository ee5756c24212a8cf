"""Necks as text for Markdown: diagrams, and the scales of a sheet."""

from __future__ import annotations

from collections.abc import Callable

from groove.handout.drawing.fretboard import dot_label
from groove.handout.sheet.neck_words import position_title
from groove.handout.sheet.phrase_text import fenced
from groove.handout.sheet.scale_necks import (
    full_title,
    home_line,
    home_title,
    over_lines,
    same_words,
)
from groove.handout.sheet.sheet import Sheet
from groove.instrument.fretboard import Tuning
from groove.instrument.positions import Dot, Position
from groove.lesson.blocks import heading_of
from groove.lesson.neck_scales import PASSING, NeckScale, neck_scales
from groove.theory.symbols import noted
from groove.wording import said


def scale_necks_text(sheet: Sheet) -> list[list[str]]:
    """The scales of a sheet in the home position, and the key's in the others, as paragraphs."""
    tuning = sheet.tuning
    if tuning is None:
        return []
    scales = neck_scales(sheet.guide, tuning)

    def drawn(shown: NeckScale, position: Position) -> list[str]:
        def marked(dot: Dot) -> str:
            text = dot_label(dot, sheet.label)
            return f"({text})" if shown.look(dot) == PASSING else text

        return diagram(sheet, tuning, position, marked)

    parts = [
        [f"## {heading_of('necks')}", "", home_line(sheet)],
        [f"### {home_title(scales)}", "", said("neck", "scales.in_brackets")],
    ]
    for shown in scales:
        name, *more = over_lines(shown)
        title = f"{name}, {', '.join(more)}"
        parts.append([f"{title}:", "", *drawn(shown, shown.home)])
    for shown in scales:
        others = [place for place in shown.five if place.number != 1]
        if others:
            parts.append([f"### {said('neck', 'scales.five', scale=full_title(shown))}"])
        parts += [[f"{position_title(p)}:", "", *drawn(shown, p)] for p in others]
    same = same_words(scales)
    return [*parts, [same]] if same else parts


def diagram(
    sheet: Sheet,
    tuning: Tuning,
    position: Position,
    marked: Callable[[Dot], str] | None = None,
) -> list[str]:
    """A position as text: a line for each string, string 1 on top, each note at its fret.

    marked: the text of a note, the sheet's label if left out.
    """
    found = {
        (dot.string, dot.fret): marked(dot) if marked else dot_label(dot, sheet.label)
        for dot in position.dots
    }
    frets = list(range(position.frets[0], position.frets[1] + 1))
    wide = max(len(text) for text in (*found.values(), str(frets[-1])))
    if sheet.left_handed:
        frets.reverse()
    rows = []
    for string in reversed(tuning.strings):
        name = noted(tuning.names[-string]).ljust(2)
        cells = "|".join(f"-{found.get((string, f), '').center(wide, '-')}-" for f in frets)
        rows.append(f"|{cells}| {name.strip()}" if sheet.left_handed else f"{name} |{cells}|")
    numbers = " ".join(f" {str(f).center(wide)} " for f in frets)
    margin = " " if sheet.left_handed else " " * 4
    return fenced("\n".join([*rows, f"{margin}{numbers}".rstrip()]))
