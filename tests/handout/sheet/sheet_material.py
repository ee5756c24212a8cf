"""Sheets for the tests, and the texts on their pages."""

from functools import cache
from itertools import combinations

import pytest

import groove
from groove.handout.drawing.page import PAPERS, Page, Text, ink_box
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import Sheet, write_sheet
from groove.lesson.request import Request
from tests.lesson.guide_material import FORMS

PHRASE = "4f7 3f5 3f7 2f5"


@cache
def sheet(form: str = "twelve-bar", **asked: object) -> Sheet:
    return write_sheet(groove.read_form(form), Request(**asked))  # type: ignore[arg-type]


def texts(page: Page) -> list[Text]:
    return [mark for mark in page.marks if isinstance(mark, Text)]


def assert_apart(page: Page) -> None:
    boxes = [(mark, box) for mark in texts(page) if (box := ink_box(mark))]
    for (one, a), (other, b) in combinations(boxes, 2):
        assert not a.overlaps(b), f"{one.text!r} and {other.text!r}"


each_layout = pytest.mark.parametrize(
    ("form", "instrument", "paper"),
    [(f, i, p) for f in FORMS for i in ("guitar", "keyboard") for p in ("a4", "letter")],
)


@cache
def laid_out(form: str, instrument: str, paper: str) -> tuple[Page, ...]:
    return sheet_pages(sheet(form, instrument=instrument), PAPERS[paper])
