"""The files of a chart."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pypdfium2
import pytest

from groove.errors import GrooveError
from groove.handout import CHARTS
from groove.handout.chart.files import chart, write_chart_files
from tests.handout.chart.chart_material import form, shipped


def test_files_of_all_kinds_are_written(tmp_path: Path) -> None:
    names = [tmp_path / f"chart{kind}" for kind in CHARTS]
    assert write_chart_files(chart(shipped("twelve-bar")), names) == names
    assert ET.parse(names[0]).getroot().tag.endswith("svg")
    found = pypdfium2.PdfDocument(names[1]).get_metadata_dict()
    assert found["Title"] == "Twelve-bar blues, chord chart"
    assert ET.parse(names[2]).getroot().tag == "score-partwise"


def test_pages_of_a_long_chart_are_numbered(tmp_path: Path) -> None:
    written = chart(form(chords="I7:100", choruses=1))
    names = [path.name for path in write_chart_files(written, [tmp_path / "long.svg"])]
    assert names == ["long-1.svg", "long-2.svg"]


def test_numerals_stand_in_drawn_files_and_in_musicxml(tmp_path: Path) -> None:
    names = [tmp_path / "a.pdf", tmp_path / "a.musicxml"]
    write_chart_files(chart(shipped("twelve-bar")), names, numerals=True)
    text = pypdfium2.PdfDocument(names[0])[0].get_textpage().get_text_range()
    assert "IV7" in text
    assert "IV7" in [words.text for words in ET.parse(names[1]).iter("words")]


def test_reader_that_is_not_known_is_an_error() -> None:
    with pytest.raises(GrooveError, match="kazoo"):
        chart(shipped("twelve-bar"), "kazoo")
    assert str(chart(shipped("twelve-bar"), "Eb").key.tonic) == "A"
