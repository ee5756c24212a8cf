"""The pages of a sheet: nothing overlaps, in teaching order, full."""

import pytest

import groove
from groove.handout.drawing.flow import FOOT, HEADING, MARGIN, SUBHEADING
from groove.handout.drawing.page import PAPERS, SMALLEST, ink_box
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import write_sheet
from tests.form.road_material import EXAMPLES
from tests.handout.sheet.sheet_material import (
    PHRASE,
    assert_apart,
    each_layout,
    laid_out,
    sheet,
    texts,
)
from tests.lesson.guide_material import FORMS

ARRANGEMENTS = [str(path) for path in EXAMPLES.values()]


@pytest.mark.parametrize("form", [*FORMS, *ARRANGEMENTS])
def test_no_text_lies_on_another_and_all_stays_on_the_paper(form: str) -> None:
    for page in sheet_pages(sheet(form), PAPERS["a4"]):
        assert_apart(page)
        for mark in page.marks:
            box = ink_box(mark)
            if box:
                assert 5 < box.left <= box.right < page.paper.width - 5, mark
                assert 5 < box.top <= box.bottom < page.paper.height - 5, mark


@pytest.mark.parametrize(
    "asked",
    [
        {"instrument": "keyboard", "dots": "names"},
        {"instrument": "none"},
        {"reader": "Bb"},
        {"reader": "bass-clef", "left_handed": True},
        {"instrument": "ukulele", "dots": "fingers", "phrase": "C4 E4 G4"},
        {"instrument": "mandolin"},
        {"tuning": "drop-d", "position": 3, "phrase": PHRASE},
        {"phrase": "3f5:1/3 3f7:1/3 2f5:1/3 2f8:3/2 1f24:5/7 6f12:4", "dots": "names"},
        {"phrase": "3f5 3f7 2f5 2f8 " * 8, "left_handed": True},
        {"instrument": "keyboard", "phrase": "C4 Eb4 G4 C6"},
        {"instrument": "keyboard", "phrase": "C4 Eb4 G4 Bb4 " * 8},
    ],
)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_overlaps_for_other_instruments_and_papers(
    asked: dict[str, object], paper: str
) -> None:
    for page in sheet_pages(sheet("jazz-twelve-bar", **asked), PAPERS[paper]):
        assert_apart(page)


@pytest.mark.parametrize("form", [*FORMS, *ARRANGEMENTS])
def test_no_heading_stands_alone_at_the_foot(form: str) -> None:
    for page in sheet_pages(sheet(form, phrase=PHRASE), PAPERS["letter"])[1:]:
        set_ = [t for t in texts(page)[:-1] if t.text]
        lowest = max(set_, key=lambda t: t.y)
        assert not (lowest.face == "bold" and lowest.size in (HEADING, SUBHEADING)), lowest.text


def test_changing_choruses_are_said_on_pages_in_text_and_in_data() -> None:
    form = groove.read_form(
        "twelve-bar", key_cycle="fourths", tempo_step=6, choruses=12, turnaround=True
    )
    made = write_sheet(form)
    course = made.chart.course
    assert len(course) == 3
    pages = sheet_pages(made, PAPERS["a4"])
    assert_apart(pages[0])
    assert course[0] in " ".join(mark.text for mark in texts(pages[0]))
    assert sheet_markdown(made).count(course[0]) == 2
    assert sheet_data(made)["course"] == list(course)


def test_no_type_is_smaller_than_can_be_read() -> None:
    for page in sheet_pages(sheet(phrase=PHRASE), PAPERS["a4"]):
        assert min(mark.size for mark in texts(page)) >= SMALLEST


def test_pages_are_numbered_and_named() -> None:
    pages = sheet_pages(sheet(), PAPERS["a4"])
    for number, page in enumerate(pages, 1):
        assert any(t.text == f"{number} of {len(pages)}" for t in texts(page))
        assert any(t.text == "Twelve-bar blues" for t in texts(page))


def test_pages_say_to_a_screen_reader_what_stands_on_them() -> None:
    words = "\n".join(page.words for page in sheet_pages(sheet(), PAPERS["a4"]))
    assert "C7 to F7" in words
    assert "Practice plan" in words


@pytest.mark.parametrize("form", ["twelve-bar", "rhythm-changes"])
def test_parts_stand_in_teaching_order_cautions_after_the_music(form: str) -> None:
    words = "\n".join(page.words for page in sheet_pages(sheet(form), PAPERS["a4"]))
    parts = (
        "Main scales", "Practice plan", "Scales for the whole form", "Chord by chord",
        "All chords under one hand",
    )  # fmt: skip
    for last in ("Each chord in five", "Look after yourself"):
        at = [words.index(part) for part in (*parts, last)]
        assert at == sorted(at)


@each_layout
def test_cautions_stand_at_the_very_end_and_on_a4_take_no_page_of_their_own(
    form: str, instrument: str, paper: str
) -> None:
    *others, last = (page.words for page in laid_out(form, instrument, paper))
    before, cautions = last.split("Look after yourself ")
    assert before or paper == "letter"
    assert cautions == " ".join(sheet(form, instrument=instrument).guide.cautions)
    assert not any("Look after yourself" in words for words in others)


@each_layout
def test_only_the_last_page_is_less_than_seven_tenths_full(
    form: str, instrument: str, paper: str
) -> None:
    for page in laid_out(form, instrument, paper)[:-1]:
        foot = page.paper.height - FOOT
        boxes = [box for mark in page.marks if (box := ink_box(mark))]
        lowest = max(box.bottom for box in boxes if box.bottom < foot)
        assert lowest - MARGIN > 0.7 * (foot - MARGIN)


def test_keys_of_a_cycle_stand_in_a_table_on_pages_in_text_and_in_data() -> None:
    form = groove.read_form("twelve-bar", key="C", chords="ii7 V7 Imaj7:2", turnaround=False,
                            choruses=12, key_cycle="fourths")  # fmt: skip
    made = write_sheet(form)
    assert "- **F**: Gm7 (B♭ F)   C7 (E B♭)   Fmaj7 (A E) · F major pentatonic" in (
        sheet_markdown(made)
    )
    assert any("B♭: Cm7 (E♭ B♭)" in page.words for page in sheet_pages(made, PAPERS["a4"]))
    data = sheet_data(made)["keys"]
    assert [row["key"] for row in data[:3]] == ["C", "F", "Bb"]
    assert data[1]["chords"][0]["guide_tones"][0]["name"] == "Bb"


@pytest.mark.parametrize("form", ["twelve-bar", "rhythm-changes"])
@pytest.mark.parametrize("instrument", ["guitar", "keyboard"])
def test_meaning_of_the_shapes_stands_under_the_last_drawing_on_its_page(
    form: str, instrument: str
) -> None:
    for page in laid_out(form, instrument, "letter"):
        legends = [mark.y for mark in texts(page) if mark.text == "root"]
        drawings = [mark.y for mark in texts(page) if mark.face == "bold" and mark.text == "1"]
        assert all(any(0 < y - drawn < 60 for drawn in drawings) for y in legends)


def test_sheet_of_a_dense_form_is_no_book() -> None:
    assert len(sheet_pages(sheet("rhythm-changes"), PAPERS["a4"])) <= 14
