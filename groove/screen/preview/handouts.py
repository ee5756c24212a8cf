"""The chart and the sheet of an open form page by page, made by the code that writes their files.

Pages are laid out as a whole, as one moves what is on the next, which takes some tenths of a
second of a sheet; each is drawn as SVG when it is asked for, which takes hundredths. What is laid
out is kept for the newest form alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from groove.form.file_names import title_stem
from groove.handout.drawing.page import PAPERS, Page
from groove.screen.preview.choice import CHART, USUAL_AUDIENCE, Choice
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.form.model import Form

MOST_KEPT = 4
"""Handouts of one form that are kept: those between which somebody goes to and fro."""


@dataclass(frozen=True)
class LaidOut:
    """A handout of a form. number: another one for each that is made. left_out: the headings of
    the parts that the form names and the sheet has nothing of."""

    number: int
    form: Form
    choice: Choice
    pages: tuple[Page, ...]
    left_out: tuple[str, ...] = ()

    def told(self) -> dict[str, Any]:
        """The data by which the screen's page shows it, ready for JSON: its number, the size of its
        paper in mm, what it leaves out, and of each page the title and the text."""
        paper = PAPERS[self.choice.paper]
        return {
            "number": self.number,
            "paper": [paper.width, paper.height],
            "leftOut": list(self.left_out),
            "pages": [{"title": page.title, "words": page.words} for page in self.pages],
        }

    def svg(self, page: int) -> bytes | None:
        """A page as SVG, counted from 1; None where there is none of that number."""
        from groove.handout.drawing.svg import svg

        return svg(self.pages[page - 1]) if 1 <= page <= len(self.pages) else None

    def pdf(self) -> bytes:
        """All pages as one PDF, with the bytes of the file that the command writes."""
        from groove.handout.drawing.pdf import pdf

        kind = self.choice.kind
        with worded(self.form.lesson.words):
            return pdf(self.pages, said(kind, f"file.{kind}", title=self.form.title))

    @property
    def stem(self) -> str:
        """The name of its file without an ending: ``harbour-lights-sheet-guitar``."""
        with worded(self.form.lesson.words):
            title = title_stem(self.form.title)
        audience = self.choice.audience
        whom = "" if audience == USUAL_AUDIENCE else f"-{audience.lower()}"
        return f"{title}-{self.choice.kind}{whom}"


class Handouts:
    """Lays out handouts, and keeps those of the newest form."""

    def __init__(self) -> None:
        self._made: dict[Choice, LaidOut] = {}
        self._number = 0

    def laid_out(self, form: Form, choice: Choice) -> LaidOut:
        """The handout of a form for a choice. Raises GrooveError where it can't be made, as for a
        phrase that the instrument can't play."""
        if any(each.form is not form for each in self._made.values()):
            self._made.clear()
        found = self._made.pop(choice, None)
        if found is None:
            self._number += 1
            found = LaidOut(self._number, form, choice, *_laid_out(form, choice))
        self._made[choice] = found  # the last of the dict, as it is the one in use
        for old in list(self._made)[:-MOST_KEPT]:
            del self._made[old]
        return found

    def numbered(self, number: int) -> LaidOut | None:
        """The handout of a number; None where another form's has taken its place."""
        made = tuple(self._made.values())  # at once, as another thread may lay out meanwhile
        return next((each for each in made if each.number == number), None)


def _laid_out(form: Form, choice: Choice) -> tuple[tuple[Page, ...], tuple[str, ...]]:
    """The pages of a handout, and the headings of the parts that it leaves out."""
    paper = PAPERS[choice.paper]
    if choice.kind == CHART:
        from groove.handout.chart.files import chart
        from groove.handout.chart.pages import chart_pages

        written = chart(form, choice.request.reader)
        with worded(form.lesson.words):
            return chart_pages(written, paper), ()
    from groove.handout.sheet.files import left_out
    from groove.handout.sheet.pages import sheet_pages
    from groove.handout.sheet.sheet import write_sheet
    from groove.lesson.blocks import heading_of

    sheet = write_sheet(form, choice.request)
    with worded(form.lesson.words):
        return sheet_pages(sheet, paper), tuple(map(heading_of, left_out(sheet)))
