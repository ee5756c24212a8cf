"""The chart on paper: nothing overlaps, nothing leaves the page, one page up to 48 bars."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.form.model import Form
from groove.form.readers import READERS
from groove.handout.chart.pages import chart_pages
from groove.handout.chart.written import write_chart
from groove.handout.drawing.page import PAPERS, SMALLEST, Box, Glyph, Line, Page, Text, ink_box
from tests.examples import examples
from tests.form import road_material
from tests.handout.chart.chart_material import FORMS, METERS, form, forms, shipped
from tests.handout.chart.marked_material import marked_chart

EDGE = 8.0  # mm that printers can't reach


def text_boxes(page: Page) -> list[tuple[str, Box]]:
    found = []
    for mark in page.marks:
        box = ink_box(mark)
        if isinstance(mark, Text | Glyph) and box:
            found.append((mark.text if isinstance(mark, Text) else mark.name, box))
    return found


def overlaps(page: Page) -> list[tuple[str, str]]:
    boxes = sorted(text_boxes(page), key=lambda named: named[1].top)
    clashes = []
    for number, (name, box) in enumerate(boxes):
        for other_name, other in boxes[number + 1 :]:
            if other.top >= box.bottom:
                break
            of_one_sign = name.startswith("time ") or name.endswith(" flag")  # over its own head
            if box.overlaps(other) and not of_one_sign:
                clashes.append((name, other_name))
    return clashes


def crossed(page: Page) -> list[str]:
    """Texts through which a bar line or a bracket runs; a note has a stem of its own."""
    upright = [mark for mark in page.marks if isinstance(mark, Line) and mark.x1 == mark.x2]
    longest_stem = 6.0
    found = []
    for text, box in text_boxes(page):
        is_note = text.endswith(("notehead", "slash", " flag"))
        for mark in upright:
            stem = is_note and abs(mark.y2 - mark.y1) < longest_stem
            line = ink_box(mark)
            if line and box.overlaps(line) and not stem:
                found.append(text)
    return found


def leaving(page: Page) -> list[Box]:
    boxes = [box for mark in page.marks if (box := ink_box(mark))]
    return [
        box
        for box in boxes
        if box.left < EDGE
        or box.top < EDGE
        or box.right > page.paper.width - EDGE
        or box.bottom > page.paper.height - EDGE
    ]


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
@pytest.mark.parametrize("name", FORMS)
def test_no_text_overlaps_another_in_any_shipped_form(name: str, paper) -> None:  # type: ignore[no-untyped-def]
    made = shipped(name)
    for reader in READERS.values():
        for numerals in (False, True):
            pages = chart_pages(write_chart(made, reader), paper, numerals=numerals)
            assert [overlaps(page) for page in pages] == [[]]
            assert [crossed(page) for page in pages] == [[]]
            assert [leaving(page) for page in pages] == [[]]


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
def test_marks_of_an_arrangement_keep_clear_of_each_other(paper) -> None:  # type: ignore[no-untyped-def]
    for numerals in (False, True):
        pages = chart_pages(marked_chart(), paper, numerals=numerals)
        assert [overlaps(page) for page in pages] == [[]] * len(pages)
        assert [crossed(page) for page in pages] == [[]] * len(pages)
        assert [leaving(page) for page in pages] == [[]] * len(pages)


@given(road_material.forms(), st.sampled_from(sorted(PAPERS)), st.booleans())
@settings(max_examples=examples(25))
def test_marks_of_any_arrangement_keep_clear_of_each_other(
    made: Form, paper: str, numerals: bool
) -> None:
    for page in chart_pages(write_chart(made), PAPERS[paper], numerals=numerals):
        assert overlaps(page) == crossed(page) == leaving(page) == []


@pytest.mark.parametrize("name", road_material.EXAMPLES)
def test_marks_of_the_examples_keep_clear_of_each_other(name: str) -> None:
    made = road_material.example(name).form
    for reader in READERS.values():
        for page in chart_pages(write_chart(made, reader), PAPERS["a4"]):
            assert overlaps(page) == crossed(page) == leaving(page) == []


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
def test_short_form_in_all_keys_stands_on_its_page_free_of_overlaps(paper) -> None:  # type: ignore[no-untyped-def]
    made = form(chords="ii7 V7:1/2 bII7#11:1/2 Imaj7:2", choruses=12, key_cycle="fourths")
    for reader in READERS.values():
        (page,) = chart_pages(write_chart(made, reader), paper)
        assert overlaps(page) == crossed(page) == leaving(page) == []
        assert sum(isinstance(m, Text) and m.text == "In the keys that follow:" for m in page.marks)


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
@pytest.mark.parametrize("choruses", [2, 12, 25])
def test_words_on_changing_choruses_lie_on_nothing(choruses: int, paper) -> None:  # type: ignore[no-untyped-def]
    made = shipped(
        "minor-twelve-bar", key="F#m", tempo=60, tempo_step=2.5, key_cycle="up",
        choruses=choruses, turnaround=True,
    )  # fmt: skip
    for reader in READERS.values():
        chart = write_chart(made, reader)
        (page,) = chart_pages(chart, paper, numerals=True)
        assert overlaps(page) == crossed(page) == leaving(page) == []
        set_ = " ".join(mark.text for mark in page.marks if isinstance(mark, Text))
        assert all(words in set_ for words in chart.course)


@given(forms(), st.sampled_from(list(PAPERS.values())), st.booleans())
@settings(max_examples=examples(40))
def test_any_form_of_up_to_48_bars_stands_on_one_page_free_of_overlaps(
    made: Form, paper, numerals: bool  # type: ignore[no-untyped-def]
) -> None:  # fmt: skip
    pages = chart_pages(write_chart(made), paper, numerals=numerals)
    assert len(pages) == 1
    assert overlaps(pages[0]) == []
    assert crossed(pages[0]) == []
    assert leaving(pages[0]) == []


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
@pytest.mark.parametrize("meter", METERS)
def test_long_section_name_under_a_bracket_keeps_clear_of_its_hook(meter: str, paper) -> None:  # type: ignore[no-untyped-def]
    """Found: the tail of a y in a name that fills the one bar of the first ending."""
    name = "A very long way round to the bridge"
    lines = [{"name": "A", "chords": "I7 IV7"}] * 11
    sections = [*lines, {"name": name, "chords": "V7"}]
    made = form(sections=sections, turnaround="V7", choruses=2, meter=meter)
    for numerals in (False, True):
        (page,) = chart_pages(write_chart(made), paper, numerals=numerals)
        assert crossed(page) == []
        assert overlaps(page) == []


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
def test_chord_before_the_end_of_a_section_keeps_clear_of_its_double_bar_line(paper) -> None:  # type: ignore[no-untyped-def]
    """Found: in a line whose bars are as narrow as their chords, the first of the two lines."""
    dense = "I:1/4 Im7b5/3:1/4 I:1/4 I:1/4 I:1/4 I:1/4 Vm(maj7)/3:1/4 I:1/4 "
    lines = f"I:4 {dense} I:1/4 #IV13#11/3:1/4 I:1/4 I:1/4 bIIIm7b5"
    made = form(sections=[{"name": "A", "chords": lines}, {"name": "A", "chords": "I"}])
    for numerals in (False, True):
        (page,) = chart_pages(write_chart(made), paper, numerals=numerals)
        assert crossed(page) == []


def test_every_line_but_the_first_begins_with_the_number_of_its_first_bar() -> None:
    (page,) = chart_pages(write_chart(shipped("rhythm-changes", key="C")), PAPERS["a4"])
    numbers = [m for m in page.marks if isinstance(m, Text) and m.x < 17.0]
    assert [int(mark.text) for mark in numbers] == [5, 9, 13, 17, 21, 25, 29]
    assert {mark.anchor for mark in numbers} == {"end"}


@given(forms(most_bars=48))
@settings(max_examples=examples(15))
def test_bars_of_a_form_stand_on_the_page_in_order(made: Form) -> None:
    chart = write_chart(made)
    (page,) = chart_pages(chart, PAPERS["a4"])
    roots = [mark.text for mark in page.marks if isinstance(mark, Text) and mark.face == "bold"]
    wanted = [
        placed.chord.root.letter for bar in chart.bars if not bar.same for placed in bar.chords
    ]
    found = iter(root[0] for root in roots)
    assert all(letter in found for letter in wanted)


def test_long_forms_flow_onto_more_pages_that_are_numbered() -> None:
    pages = chart_pages(write_chart(form(chords="I7:1000", tempo=320, choruses=1)), PAPERS["a4"])
    assert len(pages) > 10
    for number, page in enumerate(pages, 1):
        texts = [mark.text for mark in page.marks if isinstance(mark, Text)]
        assert f"{number} of {len(pages)}" in texts
        assert overlaps(page) == []
        assert leaving(page) == []


def test_long_symbols_shrink_rather_than_collide() -> None:
    made = form(chords="I13b9#11/3:1/4 Im7b5:1/4 V7#5#9:1/4 IVmaj7#11:1/4 " * 8)
    (page,) = chart_pages(write_chart(made), PAPERS["letter"], numerals=True)
    assert overlaps(page) == []
    assert leaving(page) == []


@pytest.mark.parametrize(
    "title", ["A" * 120, "Twelve words " * 9, "Žluťoučký kůň", "Пароход", "歌"]
)
def test_titles_of_any_length_and_alphabet_fit(title: str) -> None:
    (page,) = chart_pages(write_chart(form(chords="I7:12", title=title)), PAPERS["a4"])
    assert overlaps(page) == []
    assert leaving(page) == []


@pytest.mark.parametrize("name", FORMS)
def test_type_of_shipped_forms_can_be_read_from_a_music_stand(name: str) -> None:
    for paper in PAPERS.values():
        (page,) = chart_pages(write_chart(shipped(name)), paper, numerals=True)
        assert min(mark.size for mark in page.marks if isinstance(mark, Text)) >= SMALLEST
