"""A sheet has the parts that its form names, in their order, on paper, in text and in data."""

import re
from pathlib import Path

import pytest

import groove
from groove.errors import GrooveError
from groove.handout.drawing.page import PAPERS, Page
from groove.handout.sheet import data, markdown, pages
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.files import write_sheet_files
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import Sheet, write_sheet
from groove.lesson.blocks import heading_of
from groove.wording import worded, words_of


def with_blocks(*names: str) -> Sheet:
    return write_sheet(groove.read_form("twelve-bar", blocks=", ".join(names)))


def words(made: Sheet) -> str:
    return "\n".join(page.words for page in sheet_pages(made, PAPERS["a4"]))


def headings(made: Sheet) -> list[str]:
    return re.findall(r"^## (.*)$", sheet_markdown(made), re.M)


def test_parts_have_the_headings_that_the_form_gives_them(tmp_path: Path) -> None:
    file = tmp_path / "ferry.toml"
    table = '[headings]\nplan = "This week"\n'
    for language in ("", 'words = "german"\n'):
        file.write_text(f'chords = "I7"\nblocks = "plan, scales"\n{language}{table}')
        made = write_sheet(groove.read_form(file))
        with worded(made.guide.form.lesson.words):
            assert headings(made) == ["This week", heading_of("scales")]
            assert words(made).count("This week") == 1
    file.write_text('chords = "I7"\nheadings = { plans = "This week" }\n')
    with pytest.raises(GrooveError, match="headings: a heading for 'plans'; did you mean plan"):
        groove.read_form(file)


NAMED = ["plan", "changes", "scales"]


@pytest.mark.parametrize("names", [NAMED, NAMED[::-1]])
def test_named_parts_come_in_their_order_and_no_others(names: list[str]) -> None:
    made = with_blocks(*names)
    titles = [heading_of(name) for name in names]
    assert headings(made) == titles
    at = [words(made).index(title) for title in titles]
    assert at == sorted(at)
    for part in set(words_of("blocks")["blocks"]) - {*names, "chart", "form"}:
        assert heading_of(part) not in words(made)
    fields = [*sheet_data(made)]
    assert [field for field in fields if field in names] == names
    assert not {"sequence", "chords", "pentatonics", "cautions"} & set(fields)


def test_a_chart_that_is_not_first_begins_a_page() -> None:
    made = with_blocks("changes", "chart", "plan")
    first, *_, last = sheet_pages(made, PAPERS["a4"])
    assert "From chord to chord" in first.words
    assert "Practice plan" not in first.words
    assert re.search(r"C7.*\n(?:.*\n)*Practice plan", last.words)


def test_every_part_is_drawn_and_written_under_its_own_name() -> None:
    known = set(words_of("blocks")["blocks"])
    assert {"chart", *pages.PARTS} == set(markdown.PARTS) == known
    assert {"remarks", "form", *data.PARTS} == known  # these two are in the facts on the form


def test_a_part_that_a_sheet_has_nothing_of_is_told(tmp_path: Path) -> None:
    said: list[str] = []
    made = with_blocks("chart", "voicings", "phrases", "plan")
    write_sheet_files(made, [tmp_path / "sheet.md"], say=said.append)
    assert said == ["note: blocks: there is nothing for voicings, phrases on this sheet"]


def test_pages_count_from_the_first_on() -> None:
    made: tuple[Page, ...] = sheet_pages(with_blocks("changes", "chart", "plan"), PAPERS["a4"])
    assert [p.title.rpartition(" ")[2] for p in made] == [str(n + 1) for n in range(len(made))]
