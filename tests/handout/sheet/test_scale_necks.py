"""Scales on the neck of a sheet."""

import pytest

from groove.handout.drawing.page import PAPERS, Text, ink_box
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.pages import sheet_pages
from groove.handout.sheet.scale_necks import home_line, legend, scale_necks
from tests.handout.sheet.sheet_material import sheet, texts


@pytest.mark.parametrize(
    ("form", "instrument", "words"),
    [
        ("twelve-bar", "guitar", "first finger at fret 8; the root C is on string 6, fret 8."),
        ("minor-twelve-bar", "bass", "first finger at fret 5; the root A is on string 4, fret 5."),
        ("twelve-bar", "ukulele", "open strings to fret 3; the root C is the open string 3."),
    ],
)
def test_first_page_names_the_home_position_with_its_fret(
    form: str, instrument: str, words: str
) -> None:
    made = sheet(form, instrument=instrument)
    assert home_line(made).endswith(words)
    first = sheet_pages(made, PAPERS["a4"])[0]
    assert home_line(made) in " ".join(first.words.split())


def test_keys_have_no_home_position() -> None:
    made = sheet(instrument="keyboard")
    assert home_line(made) == ""
    assert sheet_data(made)["scales_on_neck"] is None


@pytest.mark.parametrize("instrument", ["guitar", "bass", "mandolin"])
@pytest.mark.parametrize("left_handed", [False, True])
def test_every_diagram_stays_between_the_margins(instrument: str, left_handed: bool) -> None:
    made = sheet("jazz-twelve-bar", instrument=instrument, left_handed=left_handed)
    for block in scale_necks(made, 176.0):
        for mark in block.draw(0.0, 0.0):
            box = ink_box(mark)
            assert box is None or (box.left > -2.0 and box.right < 178.0), mark


def test_page_and_data_have_the_same_scales() -> None:
    made = sheet()
    words = " ".join(mark.text for page in sheet_pages(made, PAPERS["a4"]) for mark in texts(page))
    found = sheet_data(made)["scales_on_neck"]["scales"]
    assert [entry["title"] for entry in found[:2]] == ["C minor pentatonic", "C major pentatonic"]
    assert [entry["with"] for entry in found[:2]] == ["blues", "major blues"]
    assert all(f"over {entry['over']}" in words for entry in found)


def test_a_long_legend_is_broken_at_the_edge() -> None:
    words = ["tone of the scale"] * 8
    block = legend([(4.0, word, lambda x, y: []) for word in words], 100.0)
    marks = [mark for mark in block.draw(0.0, 0.0) if isinstance(mark, Text)]
    assert len(marks) == 8
    assert len({mark.y for mark in marks}) > 1
    boxes = [box for mark in marks if (box := ink_box(mark))]
    assert max(box.right for box in boxes) <= 100.0
    assert max(box.bottom for box in boxes) <= block.height
