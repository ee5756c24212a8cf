"""Grips on a sheet."""

import pytest

import groove
from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.grip_blocks import MOST, grip_blocks, sheet_grips
from groove.handout.sheet.markdown import sheet_markdown
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.request import Request
from tests.handout.sheet.sheet_material import sheet
from tests.lesson.guide_material import FORMS


@pytest.mark.parametrize("form", FORMS)
def test_every_chord_has_a_grip_and_a_sheet_has_no_more_than_fit(form: str) -> None:
    made = sheet(form)
    found = sheet_grips(made)
    tones = {frozenset(map(str, entry.chord.notes)) for entry in made.guide.chords}
    assert {frozenset(map(str, chord.notes)) for chord, _ in found} == tones
    assert sum(len(grips) for _, grips in found) <= max(MOST, len(found))


def test_a_beginner_sees_one_grip_of_each_chord() -> None:
    form = groove.read_form("twelve-bar", learner="beginner")
    assert [len(grips) for _, grips in sheet_grips(write_sheet(form))] == [1, 1, 1]


def test_page_text_and_data_have_the_same_grips() -> None:
    made = sheet()
    words = " ".join(block.words for block in grip_blocks(made, 176.0))
    text, data = sheet_markdown(made), sheet_data(made)["grips"]
    every = [grip for _, grips in sheet_grips(made) for grip in grips]
    assert len(every) == len(data) == 6
    for grip, entry in zip(every, data, strict=True):
        on = {dot.string: dot for dot in grip.dots}
        frets = [str(on[s].fret) if s in on else "x" for s in range(6, 0, -1)]
        assert " ".join(frets) in words
        assert "frets    " + " ".join(fret.rjust(3) for fret in frets) in text
        assert [dot["fret"] for dot in entry["dots"]] == [dot.fret for dot in grip.dots]


def test_keys_and_horns_have_no_grips() -> None:
    made = write_sheet(groove.read_form("twelve-bar"), Request(instrument="keyboard"))
    assert grip_blocks(made, 176.0) == []
    assert sheet_data(made).get("grips") is None
