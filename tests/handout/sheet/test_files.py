"""The files of a sheet."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest

import groove
from groove.errors import GrooveError
from groove.handout.drawing.page import PAPERS
from groove.handout.output import numbered_names
from groove.handout.sheet.files import write_sheet_files
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.sheet import write_sheet
from tests.handout.sheet.sheet_material import sheet


def test_files_of_all_kinds_are_written(tmp_path: Path) -> None:
    names = [tmp_path / f"sheet{kind}" for kind in (".pdf", ".svg", ".md", ".json")]
    written = write_sheet_files(sheet("i-v-vi-iv"), names)
    assert all(path.stat().st_size for path in written)
    pages = [path for path in written if path.suffix == ".svg"]
    assert [path.name for path in pages] == [f"sheet-{n}.svg" for n in range(1, len(pages) + 1)]
    assert all(ET.parse(path).getroot().tag.endswith("svg") for path in pages)


def test_shorter_sheet_names_the_pages_that_a_longer_one_left(tmp_path: Path) -> None:
    said: list[str] = []
    for name in ("sheet-7.svg", "sheet-12.svg", "sheet-x.svg", "other-9.svg"):
        (tmp_path / name).touch()
    write_sheet_files(sheet("one-chord-vamp"), [tmp_path / "sheet.svg"], say=said.append)
    (note,) = [line for line in said if "earlier" in line]
    assert note.startswith("note: sheet-7.svg, sheet-12.svg are not of this handout")
    assert (tmp_path / "sheet-7.svg").exists()


def test_one_page_alone_has_the_name_asked_for() -> None:
    assert numbered_names(Path("a.svg"), 1) == [Path("a.svg")]


def test_several_pages_name_the_single_one_that_an_earlier_handout_left(tmp_path: Path) -> None:
    said: list[str] = []
    (tmp_path / "sheet.svg").touch()
    write_sheet_files(sheet("i-v-vi-iv"), [tmp_path / "sheet.svg"], say=said.append)
    assert [line for line in said if "sheet.svg is not of this handout" in line]


def test_ten_pages_and_more_sort_by_name() -> None:
    names = [path.name for path in numbered_names(Path("a.svg"), 11)]
    assert names == sorted(names)
    assert names[0] == "a-01.svg"


@pytest.mark.parametrize("kind", [".pdf", ".svg"])
def test_characters_that_cannot_be_printed_are_named(tmp_path: Path, kind: str) -> None:
    said: list[str] = []
    form = groove.read_form("one-chord-vamp", title="夜のバス, Ǎ")
    write_sheet_files(write_sheet(form), [tmp_path / f"a{kind}"], say=said.append)
    assert said == ["note: title: the typeface has no 夜 の バ ス; boxes are printed instead"]


@pytest.mark.parametrize("title", ["Twelve-bar blues", "夜のバス"])
def test_pdf_is_called_what_the_handout_is(tmp_path: Path, title: str) -> None:
    form = groove.read_form("one-chord-vamp", title=title)
    (path,) = write_sheet_files(write_sheet(form), [tmp_path / "a.pdf"])
    found = pypdfium2.PdfDocument(path).get_metadata_dict()["Title"]
    assert found == f"{title}, lesson sheet"


def test_pdf_shows_its_title_names_its_maker_and_embeds_every_font(tmp_path: Path) -> None:
    (path,) = write_sheet_files(sheet("one-chord-vamp"), [tmp_path / "a.pdf"])
    assert pypdfium2.PdfDocument(path).get_metadata_dict()["Author"] == "groove"
    content = path.read_bytes()
    assert b"/DisplayDocTitle true" in content
    assert b"Helvetica" not in content


def test_pdf_opens_with_as_many_pages_as_were_laid_out(tmp_path: Path) -> None:
    made = sheet("i-v-vi-iv")
    (path,) = write_sheet_files(made, [tmp_path / "sheet.pdf"])
    assert len(pypdfium2.PdfDocument(path)) == len(sheet_pages(made, PAPERS["a4"]))


def test_same_form_gives_the_same_bytes(tmp_path: Path) -> None:
    first, second = (
        write_sheet_files(write_sheet(groove.read_form("twelve-bar")), [tmp_path / name])[0]
        for name in ("a.pdf", "b.pdf")
    )
    assert first.read_bytes() == second.read_bytes()


def test_wrong_file_kind_writes_nothing(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match=r"\.json"):
        write_sheet_files(sheet(), [tmp_path / "a.md", tmp_path / "a.doc"])
    assert list(tmp_path.iterdir()) == []
