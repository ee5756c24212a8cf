"""The files of a handout: their names, numbers and kinds, and the notes on them."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from pathlib import Path

import pypdfium2
import pytest

from groove.errors import GrooveError, OptionError
from groove.handout.drawing.page import Page, Paper, Text
from groove.handout.output import Handout, numbered_names, write_handout


def handout(pages: int = 1, title: str = "Ferry", sections: Sequence[str] = ()) -> Handout:
    """A handout of so many pages, each with its number on it."""

    def drawn(paper: Paper) -> list[Page]:
        return [Page(paper, (Text(20, 20, str(n), 12),), f"{title} {n}") for n in range(pages)]

    kinds = (".svg", ".pdf", ".md")
    others = {".md": lambda: b"# Ferry"}
    return Handout("sheet", kinds, title, f"{title}, lesson sheet", sections, drawn, others)


def written(
    made: Handout, folder: Path, *names: str, paper: str = "a4"
) -> tuple[list[str], list[str]]:
    """The names of the files written into a folder, and the notes."""
    said: list[str] = []
    paths = write_handout(made, [folder / name for name in names], paper, said.append)
    assert all(path.parent == folder and path.exists() for path in paths)
    return [path.name for path in paths], said


def test_one_page_alone_has_the_name_asked_for(tmp_path: Path) -> None:
    assert written(handout(1), tmp_path, "a.svg") == (["a.svg"], [])


def test_several_pages_are_numbered_from_one_in_order(tmp_path: Path) -> None:
    names, said = written(handout(3), tmp_path, "a.svg")
    assert (names, said) == (["a-1.svg", "a-2.svg", "a-3.svg"], [])
    titles = [ET.parse(tmp_path / name).getroot()[0].text for name in names]
    assert titles == ["Ferry 0", "Ferry 1", "Ferry 2"]


def test_ten_pages_and_more_sort_by_name() -> None:
    assert next(path.name for path in numbered_names(Path("a.svg"), 9)) == "a-1.svg"
    names = [path.name for path in numbered_names(Path("a.svg"), 10)]
    assert names == sorted(names)
    assert (names[0], names[-1]) == ("a-01.svg", "a-10.svg")


def test_pdf_has_all_pages_and_is_called_what_the_handout_is(tmp_path: Path) -> None:
    assert written(handout(3, "夜のバス"), tmp_path, "a.pdf")[0] == ["a.pdf"]
    document = pypdfium2.PdfDocument(tmp_path / "a.pdf")
    assert len(document) == 3
    assert document.get_metadata_dict()["Title"] == "夜のバス, lesson sheet"


def test_paper_is_the_one_asked_for(tmp_path: Path) -> None:
    written(handout(), tmp_path, "a.svg", paper="letter")
    assert ET.parse(tmp_path / "a.svg").getroot().get("width") == "215.9mm"
    with pytest.raises(OptionError, match="letter"):
        written(handout(), tmp_path, "b.svg", paper="leter")
    assert not (tmp_path / "b.svg").exists()


def test_endings_choose_the_kind_in_capitals_too(tmp_path: Path) -> None:
    assert written(handout(), tmp_path, "a.MD", "b.PDF")[0] == ["a.MD", "b.PDF"]
    assert (tmp_path / "a.MD").read_bytes() == b"# Ferry"
    assert (tmp_path / "b.PDF").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("name", ["a.doc", "a", "a.svg.txt"])
def test_another_ending_writes_nothing_and_names_the_known(name: str, tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match=r"a sheet ends in \.svg, \.pdf or \.md$"):
        written(handout(), tmp_path, "b.md", name)
    assert list(tmp_path.iterdir()) == []


def test_file_that_was_there_before_is_named(tmp_path: Path) -> None:
    (tmp_path / "a.md").write_text("old")
    _, said = written(handout(), tmp_path, "a.md", "b.md")
    assert said == [f"note: {tmp_path / 'a.md'} was there before and has been replaced"]


def test_shorter_handout_names_the_pages_that_a_longer_one_left(tmp_path: Path) -> None:
    for name in ("a-12.svg", "a-7.svg", "a-x.svg", "other-9.svg", "a-7.svgz", "a.md"):
        (tmp_path / name).touch()
    _, said = written(handout(2), tmp_path, "a.svg")
    assert said == [
        (
            "note: a-7.svg, a-12.svg are not of this handout; "
            "an earlier one may have had another number of pages"
        )
    ]
    assert (tmp_path / "a-7.svg").exists()


@pytest.mark.parametrize(("pages", "left"), [(2, "a.svg"), (1, "a-2.svg")])
def test_one_page_and_several_name_what_the_other_left(
    pages: int, left: str, tmp_path: Path
) -> None:
    (tmp_path / left).touch()
    _, said = written(handout(pages), tmp_path, "a.svg")
    (note,) = said
    assert note.startswith(f"note: {left} is not of this handout")


def test_no_page_is_looked_for_beside_a_pdf(tmp_path: Path) -> None:
    (tmp_path / "a-2.pdf").touch()
    assert written(handout(), tmp_path, "a.pdf")[1] == []


@pytest.mark.parametrize("kind", [".pdf", ".svg"])
def test_characters_that_cannot_be_printed_are_named_once(kind: str, tmp_path: Path) -> None:
    made = handout(title="夜のバス, Ǎ", sections=["Refrain", "歌", "歌"])
    assert written(made, tmp_path, f"a{kind}", f"b{kind}")[1] == [
        "note: title: the typeface has no 夜 の バ ス; boxes are printed instead",
        "note: section names: the typeface has no 歌; boxes are printed instead",
    ]


def test_all_characters_can_stand_in_text(tmp_path: Path) -> None:
    assert written(handout(title="夜のバス"), tmp_path, "a.md")[1] == []
