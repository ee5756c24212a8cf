"""The files of a sheet."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest

import groove
from groove.errors import GrooveError
from groove.handout.drawing.page import PAPERS
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
