"""The teacher's words on every handout: all of them, escaped, and no trace of empty ones."""

import io
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree as ET

import pypdfium2
import pytest

import groove
from groove.form.model import Form
from groove.handout.chart.files import chart, write_chart_files
from groove.handout.chart.musicxml import musicxml
from groove.handout.chart.pages import chart_pages
from groove.handout.chart.text import chart_text
from groove.handout.drawing.page import PAPERS, Page, Text, ink_box
from groove.handout.drawing.pdf import pdf
from groove.handout.drawing.svg import svg
from groove.handout.pack.credits import credits_text
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import write_sheet
from groove.handout.teacher import byline_html, invite_html, remarks_html
from groove.lesson.voice import SILENT, voice_of
from groove.sound.files.tags import info_fields, tags_of, vorbis_comments
from groove.sound.synth.soundfonts import Fonts, find_fonts
from tests.handout.sheet.sheet_material import assert_apart
from tests.lesson.voice_material import (
    HOSTILE,
    INVITE,
    LINK,
    ON_PLAN,
    SECOND,
    TEACHER,
    WHOLE,
    hostile,
    taught,
)


@pytest.fixture(scope="module")
def form(tmp_path_factory: pytest.TempPathFactory) -> Form:
    return taught(tmp_path_factory.mktemp("forms"))


@pytest.fixture(scope="module")
def bad(tmp_path_factory: pytest.TempPathFactory) -> Form:
    return hostile(tmp_path_factory.mktemp("forms"))


@pytest.fixture(scope="module")
def fonts() -> Fonts:
    return find_fonts(None, {})


def texts(pages: tuple[Page, ...]) -> str:
    return " ".join(m.text for page in pages for m in page.marks if isinstance(m, Text))


def test_chart_and_sheet_print_name_address_remarks_and_last_line(form: Form) -> None:
    for pages in (
        chart_pages(chart(form), PAPERS["a4"]),
        sheet_pages(write_sheet(form), PAPERS["letter"]),
    ):
        printed = texts(pages)
        for said in (f"Teacher: {TEACHER}", "lessons.example/blues", WHOLE, SECOND, INVITE):
            assert said in printed
        for page in pages:
            assert_apart(page)
        assert INVITE in "".join(page.words for page in pages)


def test_a_remark_on_a_part_stands_under_its_heading(form: Form) -> None:
    made = write_sheet(form)
    words = "".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    assert re.search(rf"Practice plan\s+{ON_PLAN}", words)
    assert f"*{ON_PLAN}*" in sheet_markdown(made).split("## Practice plan")[1].split("## ")[0]


def test_text_data_and_musicxml_have_them_too(form: Form) -> None:
    made = write_sheet(form)
    assert f"Teacher: {TEACHER} · [lessons.example/blues]({LINK})" in sheet_markdown(made)
    assert sheet_data(made)["remarks"] == {
        "lesson": [WHOLE],
        "chorus 2": [SECOND],
        "plan": [ON_PLAN],
    }
    for said in (TEACHER, WHOLE, INVITE):
        assert said in chart_text(chart(form))
        assert said in musicxml(chart(form)).decode()


def test_address_can_be_clicked_in_pdf_and_svg(form: Form) -> None:
    paper = PAPERS["a4"]
    for pages in (chart_pages(chart(form), paper), sheet_pages(write_sheet(form), paper)):
        document = pypdfium2.PdfDocument(io.BytesIO(pdf(pages)))
        assert f"/URI ({LINK})".encode() in pdf(pages)
        assert len(document) == len(pages)
        root = ET.fromstring(svg(pages[0]))
        assert [a.get("href") for a in root.iter("{http://www.w3.org/2000/svg}a")] == [LINK]


def test_long_remarks_go_on_to_a_page_of_their_own(tmp_path: Path) -> None:
    words = " ".join(["Play it slowly, then a little faster, and listen."] * 38)
    path = tmp_path / "long.toml"
    path.write_text(f'chords = "I7:12"\nkey = "C"\nremarks = ["{words}", "{words}"]\n')
    pages = chart_pages(chart(groove.read_form(path)), PAPERS["a4"])
    assert len(pages) == 2
    assert [f"{n} of 2" in texts((page,)) for n, page in enumerate(pages, 1)] == [True, True]
    for page in pages:
        boxes = [box for mark in page.marks if (box := ink_box(mark))]
        assert max(box.bottom for box in boxes) < page.paper.height - 5


class Tags(HTMLParser):
    """The tags of some HTML, and its text."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        assert {name for name, _ in attrs} <= {
            "class",
            "href",
            "id",
            "aria-labelledby",
            "data-open",
        }

    def handle_data(self, data: str) -> None:
        self.text += data


def test_hostile_text_is_text_in_html(bad: Form) -> None:
    voice, read = voice_of(bad.lesson), Tags()
    read.feed(byline_html(voice) + remarks_html(voice) + invite_html(voice))
    assert read.tags == ["p", "span", "a", "section", "h2", "p", "p", "p", "a"]
    assert read.text.count(HOSTILE) == 4


def test_the_last_line_is_a_link_to_the_teacher_where_there_is_an_address(form: Form) -> None:
    voice = voice_of(form.lesson)
    assert invite_html(voice) == f'\n<p class="invite"><a href="{LINK}">{INVITE}</a></p>'
    alone = invite_html(replace(voice, link=""))
    assert alone == f'\n<p class="invite">{INVITE}</p>'


def test_hostile_text_is_text_in_svg_markdown_and_musicxml(bad: Form) -> None:
    made = write_sheet(bad)
    for page in sheet_pages(made, PAPERS["a4"]):
        assert not list(ET.fromstring(svg(page)).iter("{http://www.w3.org/2000/svg}script"))
    text = sheet_markdown(made).replace(f"```\n{HOSTILE}", "")  # a fence shows all as it is
    assert "<script>" not in text
    assert not re.search(r"(?<!\\)\]\(javascript", text)
    fields = ET.fromstring(musicxml(chart(bad))).iter("miscellaneous-field")
    assert {field.get("name"): field.text for field in fields}["invite"] == HOSTILE


def test_tags_and_credits_name_the_teacher(form: Form, fonts: Fonts) -> None:
    tags = tags_of(form, "mix", fonts)
    assert (tags.artist, tags.link) == (TEACHER, LINK)
    assert tags.comment.endswith(f"{WHOLE} {INVITE}")
    assert ("ARTIST", TEACHER) in vorbis_comments(tags, (), 44_100)
    assert ("CONTACT", LINK) in vorbis_comments(tags, (), 44_100)
    assert info_fields(tags)["IART"] == TEACHER
    credit = credits_text(form, fonts, with_audio=True)
    assert f"Teacher: {TEACHER} · {LINK}\n\n{INVITE}\n" in credit


def test_empty_fields_leave_no_trace(fonts: Fonts) -> None:
    plain = groove.read_form("twelve-bar")
    assert byline_html(SILENT) + remarks_html(SILENT) + invite_html(SILENT) == ""
    assert "miscellaneous" not in musicxml(chart(plain)).decode()
    assert not {"teacher", "link", "invite", "remarks"} & set(sheet_data(write_sheet(plain)))
    comments = dict(vorbis_comments(tags_of(plain, "mix", fonts), (), 1))
    assert not {"ARTIST", "CONTACT"} & comments.keys()
    assert "Teacher" not in credits_text(plain, fonts, with_audio=False)


def test_characters_that_the_face_lacks_are_told(tmp_path: Path, form: Form) -> None:
    path = tmp_path / "note.toml"
    path.write_text('chords = "I7:12"\nteacher = "Ada 夜"\ninvite = "夢"\n', "utf-8")
    said: list[str] = []
    write_chart_files(chart(groove.read_form(path)), [tmp_path / "a.pdf"], say=said.append)
    assert said == ["note: teacher: the typeface has no 夜 夢; boxes are printed instead"]
