"""Lines of notes as Markdown and as data."""

from __future__ import annotations

from groove.handout.sheet.data import sheet_data
from groove.handout.sheet.lines.line_text import line_text, solo_text
from groove.lesson.line import HAMMER, SLIDE
from tests.handout.drawing.staff.staff_material import bars, line, note
from tests.handout.sheet.sheet_material import sheet


def test_tablature_has_lengths_signs_bar_lines_and_chords() -> None:
    made = line(
        [note(0, 0.5, 3, 5), note(0.5, 0.5, 3, 7, joined=HAMMER), note(2, 3, 2, 5),
         note(5, 1, 2, 8, joined=SLIDE)],
        bars(2),
    )  # fmt: skip
    ((fence, text, _),) = line_text(sheet(), made)
    assert fence == "```"
    rows = text.split("\n")
    assert rows[0].split() == ["1/2", "1/2", "[1]", "2", "~1", "1", "[2]"]
    assert rows[2] == "B |----------------5-|-(5)--/8------|"
    assert rows[3].startswith("G |-5----h7")
    assert rows[-1].split() == ["A7"]


def test_without_strings_each_bar_is_said_in_notes() -> None:
    made = line([note(0, 1, 3, 5), note(1, 3, 2, 5)])
    assert line_text(sheet(instrument="keyboard"), made) == [["- Bar 1, A7: C4 1, E4 3."]]


def test_solo_is_the_same_on_paper_as_text_and_as_data() -> None:
    made = sheet()
    data = sheet_data(made)["solo"]
    assert [n["fret"] for n in data["notes"]] == [n.place.fret for n in made.solo.notes if n.place]
    assert len(solo_text(made)) == 1 + 3
    assert len(data["bars"]) == 12
