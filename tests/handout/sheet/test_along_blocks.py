"""Double stops along a pair of strings on a sheet."""

import pytest

from groove.handout.drawing.page import Text
from groove.handout.sheet.along_blocks import along_blocks, along_lines, along_text
from groove.handout.sheet.data import sheet_data
from tests.handout.sheet.sheet_material import sheet


@pytest.mark.parametrize("instrument", ["guitar", "bass", "ukulele", "mandolin"])
@pytest.mark.parametrize("form", ["twelve-bar", "minor-twelve-bar", "jazz-twelve-bar"])
def test_two_lines_go_through_the_whole_chorus(form: str, instrument: str) -> None:
    made = sheet(form, instrument=instrument)
    lines = along_lines(made)
    assert len(lines) == 2
    for line in lines:
        ((name, beats),) = line.stretches
        assert name == ""
        assert [beat.bar for beat, _ in beats if not beat.at] == list(range(12))
        assert all(stop for _, stop in beats)


def test_drawing_has_every_fret_and_each_chord_once() -> None:
    made = sheet()
    blocks = along_blocks(made, 176.0)
    for line, block in zip(along_lines(made), (blocks[2], blocks[4]), strict=True):
        marks = [mark for mark in block.draw(0, 0) if isinstance(mark, Text)]
        ((_, beats),) = line.stretches
        frets = [d.fret for _, stop in beats if stop for d in (stop.lower, stop.upper)]
        shown = [m.text for m in marks if m.face == "bold" and m.size == 10.0]
        assert sorted(shown) == sorted(map(str, frets))
        roots = [m.text for m in marks if m.face == "bold" and m.size == 14.0]
        assert roots == [str(beat.chord.root) for beat, _ in beats if beat.new]
        assert max(mark.x for mark in marks) <= 176.0


def test_text_and_data_have_the_same_stops() -> None:
    made = sheet("jazz-twelve-bar")
    text = "\n".join(line for part in along_text(made) for line in part)
    data = sheet_data(made)["along_strings"]
    for line, entry in zip(along_lines(made), data, strict=True):
        low, high = line.along.strings
        assert f"strings {low} and {high}" in text
        assert entry["strings"] == [low, high]
        stops = [stop for _, beats in line.stretches for _, stop in beats if stop]
        found = [stop for section in entry["sections"] for stop in section["stops"]]
        assert [(s["lower"]["fret"], s["upper"]["fret"]) for s in found] == [
            (stop.lower.fret, stop.upper.fret) for stop in stops
        ]


def test_keys_have_none() -> None:
    made = sheet(instrument="keyboard")
    assert along_blocks(made, 176.0) == along_text(made) == []


def test_short_sections_stand_side_by_side_under_their_names() -> None:
    made = sheet("tests/arrangements/latin-swing-aaba.toml")
    blocks = along_blocks(made, 176.0)
    words = " ".join(block.words for block in blocks)
    for section in made.guide.sections:
        assert section.name in words
    assert len(blocks) < 2 * len(made.guide.sections)
    for block in blocks:
        marks = [mark for mark in block.draw(0, 0) if isinstance(mark, Text)]
        assert max(mark.x for mark in marks) <= 176.0
