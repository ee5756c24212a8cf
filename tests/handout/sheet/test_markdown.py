"""The sheet as Markdown: its parts, and that what a user wrote is shown as it was written."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

import groove
from groove.form.model import Section
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.request import Request

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
    """What a reader sees of the markup: headings, lists, bold type, code and HTML."""
    return [(t.type, t.tag, {child.type for child in t.children or []}) for t in found]


PLAIN = structure(tokens("Title", "Part"))


@settings(max_examples=60, deadline=None)
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
