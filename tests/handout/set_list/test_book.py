"""The book of a set: its contents and its pages."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import groove
from groove.form.readers import reader_named
from groove.handout.drawing.page import PAPERS, Page, Text, ink_box
from groove.handout.set_list.book import book_pages, for_words
from groove.handout.set_list.read import SetList, read_set
from tests.handout.set_list.set_material import set_file


@pytest.fixture(name="friday")
def _friday(tmp_path: Path) -> SetList:
    return read_set(set_file(tmp_path))


def texts(page: Page) -> list[str]:
    return [mark.text for mark in page.marks if isinstance(mark, Text)]


def test_contents_name_the_page_of_each_tune(friday: SetList) -> None:
    contents, *charts = book_pages(friday, "concert", PAPERS["a4"])
    rows = re.findall(r"(\d+)\. (.*?), .*: page (\d+)", contents.words)
    assert [(number, title) for number, title, _ in rows] == [
        ("1", "Ferry Landing"), ("2", "Twelve-bar blues"), ("3", "Ferry Again"),
    ]  # fmt: skip
    for _, title, page in rows:
        assert title in texts(charts[int(page) - 2])


def test_contents_of_a_transposing_reader_have_the_keys_on_the_charts(friday: SetList) -> None:
    contents, first, *_ = book_pages(friday, "Bb", PAPERS["a4"])
    assert "1. Ferry Landing, G major, 120" in contents.words
    assert "for B♭ instruments" in texts(contents)
    assert "G major" in texts(first)


def test_pages_are_numbered_through(friday: SetList) -> None:
    pages = book_pages(friday, "concert", PAPERS["letter"])
    for number, page in enumerate(pages, 1):
        numbers = [text for text in texts(page) if re.fullmatch(r"\d+ of \d+", text)]
        assert numbers == [f"{number} of {len(pages)}"]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_long_set_has_several_pages_of_contents_that_hold_its_rows(paper: str) -> None:
    long = replace(groove.read_form("twelve-bar"), title="A Title That Goes On and On " * 4)
    pages = book_pages(SetList("Long Night", (), (long,) * 40), "concert", PAPERS[paper])
    contents = [page for page in pages if "contents" in page.title]
    assert len(pages) == len(contents) + 40
    assert 1 < len(contents) < 4
    sheet = PAPERS[paper]
    for page in contents:
        boxes = [box for mark in page.marks if (box := ink_box(mark))]
        assert all(box.left > 0 and box.right < sheet.width - 10 for box in boxes)
        shown = [box for mark in page.marks if isinstance(mark, Text) and (box := ink_box(mark))]
        pairs = [(a, b) for n, a in enumerate(shown) for b in shown[n + 1 :]]
        assert not any(a.overlaps(b) for a, b in pairs)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("Bb", "for B♭ instruments"),
        ("drums", "drums"),
        ("alto-sax", "alto sax, for E♭ instruments"),
        ("bass", "bass, bass clef"),
        ("concert", "concert pitch"),
    ],
)
def test_reader_of_a_book_in_words(name: str, words: str) -> None:
    assert for_words(name, reader_named(name)) == words
