"""The book of a set for one reader: a page of contents, then the charts of all tunes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.form.harmony import key_in_words
from groove.form.model import Form
from groove.form.readers import Reader, reader_named
from groove.form.words import feel_words
from groove.handout.chart.pages import FOOT, MARGIN, chart_pages
from groove.handout.chart.written import write_chart
from groove.handout.drawing.flow import numbered
from groove.handout.drawing.page import Line, Mark, Page, Paper, Text, fitted, text_width
from groove.handout.set_list.read import CONCERT, SetList
from groove.wording import in_figures, inside, said, words_of

TITLE, FOR, ROW, FACTS = 26.0, 13.0, 14.0, 11.0  # points
TOP, HIGH = 24.0, 10.0  # mm, from the title to the first row, and from row to row
NUMBER, PAGE, GAP = 11.0, 13.0, 3.0  # mm, the columns of the numbers, and round the dotted line
FACTS_SHARE = 0.5  # of the room between the numbers
DOT, BETWEEN = 0.35, 1.6  # mm


def book_pages(set_list: SetList, name: str, paper: Paper) -> tuple[Page, ...]:
    """The book for a reader by name, its pages numbered from the contents on."""
    reader = reader_named(name)
    charts = [chart_pages(write_chart(form, reader), paper) for form in set_list.tunes]
    rows = max(1, int((paper.height - 2 * MARGIN - TOP) // HIGH))
    parts = [range(at, min(at + rows, len(charts))) for at in range(0, len(charts), rows)]
    firsts, at = [], len(parts) + 1
    for chart in charts:
        firsts.append(at)
        at += len(chart)
    contents = [_contents(set_list, name, reader, paper, part, firsts) for part in parts]
    titled = [
        replace(page, title=said("chart", "file.chart", title=form.title))
        for form, chart in zip(set_list.tunes, charts, strict=True)
        for page in chart
    ]
    return numbered([*contents, *titled], MARGIN - FOOT)


def for_words(name: str, reader: Reader) -> str:
    """The reader of a book: ``for B♭ instruments``, ``alto sax, for E♭ instruments``, ``drums``."""
    if name == reader.name:
        return reader.words
    plain = words_of("instruments")["readers"].get(name, name.replace("-", " "))
    if reader.name == CONCERT:
        return str(plain)
    return said("chart", "book.reader", name=plain, reader=reader.words)


def _contents(
    set_list: SetList, name: str, reader: Reader, paper: Paper, part: range, firsts: Sequence[int]
) -> Page:
    width = paper.width - 2 * MARGIN
    y = MARGIN + 9.0
    whose = for_words(name, reader)
    marks: list[Mark] = [
        Text(MARGIN, y, fitted(set_list.title, width, TITLE, "bold"), TITLE, "bold"),
        Text(MARGIN, y + 7.5, whose, FOR, "italic"),
    ]
    words = [set_list.title, whose]
    y += TOP - HIGH
    for index in part:
        y += HIGH
        form = reader.form(set_list.tunes[index])
        page = str(firsts[index])
        marks += _row(index + 1, form, page, MARGIN, y, width)
        row = said(
            "chart", "book.row", number=index + 1, title=form.title, facts=facts(form), page=page
        )
        words.append(row)
    title = said("chart", "book.contents", title=set_list.title)
    return Page(paper, tuple(marks), title, "\n".join(words))


def facts(form: Form) -> str:
    """``F major, 172, mambo``: key, tempo and feel."""
    feel = feel_words(form)
    return f"{key_in_words(form)}, {in_figures(form.tempo)}, {inside(feel)}"


def _row(number: int, form: Form, page: str, x: float, y: float, width: float) -> list[Mark]:
    """A tune with its number, its facts, a dotted line and its page."""
    end = x + width
    room = width - NUMBER - PAGE
    shown_facts = fitted(facts(form), FACTS_SHARE * room, FACTS, "italic")
    left = text_width(shown_facts, FACTS, "italic")
    title = fitted(form.title, room - left - 2 * GAP, ROW, "bold")
    start = x + NUMBER + text_width(title, ROW, "bold") + GAP
    shown = end - PAGE - left
    dots = round(max(0.0, shown - GAP - start) / BETWEEN)
    return [
        Text(x, y, str(number), ROW),
        Text(x + NUMBER, y, title, ROW, "bold"),
        *(
            Line(at, y, at + DOT, y, DOT)
            for at in (shown - GAP - n * BETWEEN for n in range(1, dots + 1))
        ),
        Text(shown, y, shown_facts, FACTS, "italic"),
        Text(end, y, page, ROW, anchor="end"),
    ]
