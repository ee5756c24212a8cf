"""A beginner's sheet: two pages and those of phrases, each part small, plain scales alone."""

from pathlib import Path

import pytest

import groove
from groove.form.lesson_fields import BEGINNER, LEARNERS
from groove.handout.chart.pages import chart_pages
from groove.handout.drawing.page import PAPERS, Text, ink_box
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import Sheet, write_sheet
from groove.lesson.request import Request
from groove.library import names
from tests.form.road_material import EXAMPLES
from tests.handout.sheet.sheet_material import assert_apart

LONG = {"rhythm-changes"}
"""Shipped forms whose chart may have a page of its own before the two."""


def beginners(form: str, instrument: str | None = None) -> Sheet:
    return write_sheet(groove.read_form(form, learner=BEGINNER), Request(instrument=instrument))


@pytest.mark.parametrize("form", names("forms"))
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_shipped_form_stands_on_two_pages(form: str, paper: str) -> None:
    pages = sheet_pages(beginners(form), PAPERS[paper])
    assert len(pages) <= 2 + (form in LONG)
    for page in pages:
        assert_apart(page)
        boxes = [box for mark in page.marks if (box := ink_box(mark))]
        assert max(box.right for box in boxes) < page.paper.width - 5
        assert max(box.bottom for box in boxes) < page.paper.height - 5


@pytest.mark.parametrize("form", [str(path) for path in EXAMPLES.values()])
@pytest.mark.parametrize("instrument", ["guitar", "keyboard", "none"])
def test_an_arrangement_has_two_pages_beside_those_of_its_chart(form: str, instrument: str) -> None:
    made = beginners(form, instrument)
    for paper in PAPERS.values():
        assert len(sheet_pages(made, paper)) <= 2 + len(chart_pages(made.chart, paper))


def test_it_has_one_position_one_lick_four_bars_of_solo_and_the_plan() -> None:
    made = beginners("twelve-bar")
    words = "\n".join(page.words for page in sheet_pages(made, PAPERS["a4"]))
    for part in ("Main scales", "home position", "Licks", "Grips", "Example solo", "Practice plan"):
        assert part in words
    assert "The other positions" not in words
    assert len(made.licks) == 1
    assert len(made.solo.bars) == 4


@pytest.mark.parametrize("form", [*names("forms"), str(EXAMPLES["latin-swing-aaba"])])
def test_no_scale_goes_beyond_the_plain_sound(form: str) -> None:
    every = "chart, scales, sections, necks, chords"
    plain = write_sheet(groove.read_form(form, learner=BEGINNER, blocks=every))
    data = sheet_data(plain)
    shown = [*data["scales"], *(scale for chord in data["chords"] for scale in chord["scales"])]
    assert shown
    assert not any(scale["tag"] for scale in shown)
    assert "altered" not in sheet_markdown(plain)


def test_others_have_the_scales_for_colour_and_tension() -> None:
    for learner in LEARNERS[1:]:
        data = sheet_data(write_sheet(groove.read_form("jazz-twelve-bar", learner=learner)))
        tags = {scale["tag"] for chord in data["chords"] for scale in chord["scales"]}
        assert tags >= {"colour", "tension"}


def test_named_parts_are_not_bound_to_two_pages() -> None:
    form = groove.read_form("twelve-bar", learner=BEGINNER, blocks="chart, chords, positions, plan")
    assert "Each chord in five positions" in "".join(
        page.words for page in sheet_pages(write_sheet(form), PAPERS["a4"])
    )


def test_phrases_begin_after_the_second_page(tmp_path: Path) -> None:
    written = tmp_path / "road.toml"
    written.write_text(
        'title = "Porch Step"\nkey = "A"\ndrums = "shuffle"\nlearner = "beginner"\n'
        'chords = "I7:4 IV7:2 I7:2 V7 IV7 I7 V7"\n'
        '[remarks]\nlesson = "Fifth fret."\n"chorus 2" = "Leave two beats empty."\n'
        '[[phrases]]\nname = "call"\nnotes = "3f5:1/2 3f7:1/2 | 2f5:1 2f8:2"\n'
        '[[phrases]]\nname = "answer"\nnotes = "1f5+2f5:1/2 2f8:1/2 | 2f5:1 3f7:2"\n'
    )
    first, second, *others = sheet_pages(write_sheet(groove.read_form(str(written))), PAPERS["a4"])
    for part in (
        "to finish",
        "Fifth fret.",
        "12 bars",
        "Main scales",
        "Scales on the neck",
        "Licks",
    ):
        assert part in first.words
    assert "Practice plan" in second.words
    assert "The teacher's phrases" not in first.words + second.words
    assert others[0].words.startswith("The teacher's phrases")


def test_box_and_lick_stand_beside_each_other_at_one_height() -> None:
    page, *_ = sheet_pages(beginners("twelve-bar"), PAPERS["a4"])
    tops = {
        mark.text: (mark.x, mark.y)
        for mark in page.marks
        if isinstance(mark, Text) and mark.text in ("Scales on the neck", "Licks")
    }
    (box, lick) = tops["Scales on the neck"], tops["Licks"]
    assert box[1] == lick[1]
    assert box[0] < lick[0]
