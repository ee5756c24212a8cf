"""Reads a chart that was copied as text, from a terminal, a message or a form file."""

from __future__ import annotations

import re

from groove.screen.bar_texts import bar_texts
from groove.screen.form_text import EditError

LONGEST_NAME = 20
_SIGNS = str.maketrans({"‖": "||", "♭": "b", "♯": "#", "𝄎": "%", "\u00a0": " "})
_NO_NAME = re.compile(r"\(|\d+ ?x|x ?\d+|title|key|tempo|time", re.IGNORECASE)


def pasted(text: str) -> list[tuple[str, list[str]]]:
    """The sections of a text, each with its name, empty for bars without one, and its bars.

    Text of rows with bar lines: a short row right above bars names a section, other rows without
    bar lines are left out. Other text is a bar, or a line of chords with lengths where it has
    several rows or lengths. Raises EditError for bars that can't be told apart.

    >>> pasted("A\\n| C7 | F7 |\\nB\\n| G7 | % |")
    [('A', ['C7', 'F7']), ('B', ['G7', '%'])]
    >>> pasted("Am7 D7"), pasted("I7:2 IV7:2")
    ([('', ['Am7 D7'])], [('', ['I7', '%', 'IV7', '%'])])
    """
    rows = [row.strip() for row in text.translate(_SIGNS).splitlines()]
    rows = [row for row in rows if row]
    try:
        if not any("|" in row for row in rows):
            return _without_bar_lines(rows)
        return [(name, bar_texts("\n".join(lines))) for name, lines in _sections(rows)]
    except ValueError as error:
        raise EditError(str(error)) from None


def _without_bar_lines(rows: list[str]) -> list[tuple[str, list[str]]]:
    text = " ".join(" ".join(rows).split())
    if not text:
        return []
    is_line = len(rows) > 1 or re.search(r":[\d.]", text)
    return [("", bar_texts(text) if is_line else [text])]


def _sections(rows: list[str]) -> list[tuple[str, list[str]]]:
    """The rows of bars of each section; a name that comes again with the same bars is left out."""
    found: list[tuple[str, list[str]]] = []
    for number, row in enumerate(rows):
        if "|" not in row:
            continue
        above = rows[number - 1] if number else ""
        is_name = bool(above) and "|" not in above and len(above) <= LONGEST_NAME
        if is_name and not _NO_NAME.search(above):
            found.append((above.rstrip(":"), [row]))
        elif found:
            found[-1][1].append(row)
        else:
            found.append(("", [row]))
    named = [each for place, each in enumerate(found) if each not in found[:place]]
    return [(name.strip("[]"), lines) for name, lines in named]
