"""The sheet as Markdown: its parts, and that what a user wrote is shown as it was written."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

import groove
from groove.form.model import Section
from groove.handout.drawing.page import PAPERS
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import write_sheet
from groove.handout.sheet.words import entries, tones_line
from groove.lesson.request import INSTRUMENTS, STRINGED, Request
from tests.examples import examples
from tests.form.road_material import arranged
from tests.form.road_material import example as arrangement
from tests.handout.sheet.sheet_material import PHRASE, assert_apart, sheet
from tests.lesson.guide_material import FORMS

COMMON_MARK = MarkdownIt("commonmark")
USERS_TEXT = st.text(
    st.characters(min_codepoint=32, max_codepoint=126) | st.sampled_from("♯♭é–"),
    min_size=1,
    max_size=20,
).map(lambda text: " ".join(text.split()) or "x")


BLUES = groove.read_form("twelve-bar", chords="I7:4 IV7:4 V7:4 IV7:4", turnaround=False)
SPANS = BLUES.sections[0].spans
TWO_PARTS = replace(
    BLUES, sections=(Section("A", SPANS[:2]), Section("The other part, the second", SPANS[2:]))
)
MADE = write_sheet(TWO_PARTS, Request(instrument="none"))


def tokens(title: str, section: str) -> list[Token]:
    """A sheet with a title and the name of its first section, read by a CommonMark parser."""
    form = MADE.guide.form
    first, *others = form.sections
    form = replace(form, title=title, sections=(replace(first, name=section), *others))
    chart = replace(MADE.chart, title=title)
    text = sheet_markdown(replace(MADE, guide=replace(MADE.guide, form=form), chart=chart))
    return COMMON_MARK.parse(text)


def shown(token: Token) -> str:
    """The text of a heading or a paragraph as it is read, without its markup."""
    children = token.children or []
    return "".join(child.content or "\n" * (child.type == "softbreak") for child in children)


def structure(found: list[Token]) -> list[tuple[str, str, set[str]]]:
    """The markup as a reader sees it: headings, lists, bold type, code and HTML."""
    return [(t.type, t.tag, {child.type for child in t.children or []}) for t in found]


PLAIN = structure(tokens("Title", "Part"))


@settings(max_examples=examples(60), deadline=None)
@given(USERS_TEXT, USERS_TEXT)
@example("```", "<img src=x onerror=alert(1)>")
@example("# a #", "1. b")
@example("_a_ **b** &amp;", "- [x](javascript:y)")
def test_title_and_names_of_sections_are_shown_as_they_were_written(
    title: str, section: str
) -> None:
    found = tokens(title, section)
    assert structure(found) == PLAIN
    inline = [token for token in found if token.type == "inline"]
    assert shown(inline[0]) == title
    assert shown(inline[2]).splitlines()[1].startswith(section)
    assert any(shown(token).startswith(f"{section}: ") for token in inline)
    assert title in next(token.content for token in found if token.type == "fence")


@pytest.mark.parametrize("instrument", ["keyboard", "none"])
def test_phrase_without_strings_may_go_beyond_the_neck_of_a_guitar(instrument: str) -> None:
    made = sheet(instrument=instrument, phrase="C1 C7")
    assert "The phrase: C1 C7." in sheet_markdown(made)
    for page in sheet_pages(made, PAPERS["a4"]):
        assert_apart(page)


def test_markdown_has_every_part_once_in_teaching_order() -> None:
    text = sheet_markdown(sheet(phrase=PHRASE))
    parts = [line for line in text.splitlines() if line.startswith("## ")]
    assert parts == [
        "## The form", "## Main scales", "## Practice plan", "## Scales for the whole form",
        "## Scales on the neck",
        "## Chord by chord",
        "## All chords under one hand", "## Grips", "## From chord to chord", "## Double stops",
        "## Licks", "## Example solo", "## Call and response",
        "## The phrase", "## Each chord in five positions", "## Look after yourself",
    ]  # fmt: skip


@pytest.mark.parametrize("form", ["rhythm-changes", "minor-twelve-bar"])
def test_text_says_once_when_a_scale_works_and_points_there_from_later_chords(form: str) -> None:
    written = sheet(form)
    parts = re.split(
        r"^### ",
        sheet_markdown(written).split("## Chord by")[1].split("## All chords")[0],
        flags=re.M,
    )[1:]
    before: dict[tuple[str, str], str] = {}
    for chord, part in zip(written.guide.chords, parts, strict=True):
        lines = [line for line in part.splitlines() if line.strip()][2:]
        for choice in chord.choices[1:]:
            line = lines.pop(0)
            assert choice.title in line
            said = choice.words.replace(choice.goal or "-", "-")  # the goal is named beside it
            first = before.setdefault((choice.scale, said), part.split(" (")[0])
            if part.startswith(f"{first} ("):
                assert lines.pop(0).strip() == choice.words
            else:
                assert line.endswith(f"see {first})*")
        assert lines == []


def test_text_gives_the_frets_of_five_positions_string_by_string() -> None:
    written = sheet()
    text = sheet_markdown(written).split("## Each chord in five positions")[1].split("```")[1]
    head, *rows = text.strip("\n").splitlines()
    starts = [head.index(f"{number} · frets") for number in range(1, 6)]
    for string, row in enumerate(rows, 1):
        cells = [row[a:b].split() for a, b in pairwise([*starts, None])]
        assert cells == [
            sorted((str(d.fret) for d in p.dots if d.string == string), key=int)
            for p in written.on_neck[0].five
        ]


@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_plan_speaks_of_the_instrument_that_the_sheet_is_for(instrument: str) -> None:
    text = sheet_markdown(sheet(instrument=instrument)).split("## Practice plan")[1]
    assert ("neck" in text) == (instrument in STRINGED)
    assert ("keys" in text) == (instrument == "keyboard")


def test_notes_not_to_rest_on_stand_in_a_row_by_chord() -> None:
    form = groove.read_form("twelve-bar", key="C", chords="ii7 V7 Imaj7:2", turnaround=False)
    assert "Not to rest on: G7: C · Cmaj7: F." in sheet_markdown(write_sheet(form))


def test_text_for_the_left_hand_is_the_mirror() -> None:
    right, left = (sheet_markdown(sheet(left_handed=hand)) for hand in (False, True))
    assert "E  |--1---|------|------|--♭3--|" in right
    assert "|--♭3--|------|------|--1---| E" in left
    assert "A  |--4---|-(♭5)-|--5---|------|" in right
    assert "|------|--5---|-(♭5)-|--4---| A" in left


def test_every_chord_is_spoken_of_once_with_all_its_tones() -> None:
    for form in FORMS:
        guide = sheet(form).guide
        together = [chord for entry in entries(guide.chords) for chord in entry]
        assert sorted(map(str, together)) == sorted(map(str, guide.chords))
        text = sheet_markdown(sheet(form))
        assert all(tones_line(chord) in text for chord in guide.chords)


def test_a_chord_without_third_and_seventh_has_no_double_stops_and_no_empty_place_for_them() -> (
    None
):
    form = groove.read_form("twelve-bar", chords="C5:2 F7:2", key="C", turnaround=False)
    stops = sheet_markdown(write_sheet(form)).split("## Double stops")[1].split("\n## ")[0]
    assert "F7:" in stops
    assert "C5:" not in stops


def test_arrangement_goes_section_by_section() -> None:
    text = sheet_markdown(write_sheet(arrangement("latin-swing-aaba").form))
    assert "## Scales for the whole form" not in text
    headings = ["### Intro", "### A", "### B", "### Coda", "### Tag", "### Last"]
    places = [text.index(f"{words}\n") for words in headings]
    assert places == sorted(places)
    assert "- **Scales**: as in A." in text
    assert "### F6 to Cm7, on to B" in text


def test_names_of_lines_and_sections_are_escaped() -> None:
    form = arranged(
        sections=[{"name": "*A*", "chords": "I IV V I"}],
        order=[{"play": "*A*", "as": "<b>", "times": 2, "open": True}],
    )
    text = sheet_markdown(write_sheet(form)).split("## The form")[1]
    assert "<b>" not in text
    assert not re.search(r"(?<!\\)\*A\*", text.replace("**", ""))
