"""Lines of notes in the octave of their reader's staff."""

from __future__ import annotations

import pytest

from groove.form.read import read_form
from groove.handout.sheet.sheet import write_sheet
from groove.lesson.line import NoteLine, on_staff
from groove.lesson.request import Request

RANGES = {"bass-clef": (36, 65), "Bb": (57, 84), "Eb": (57, 84), "F": (57, 84)}
"""About two ledger lines on either side of the staff: C2 to F4, A3 to C6 (common practice)."""


@pytest.mark.parametrize("reader", RANGES)
@pytest.mark.parametrize("key", ["C", "E", "F#", "A"])
def test_lines_of_horns_lie_on_the_staff_of_their_clef(reader: str, key: str) -> None:
    sheet = write_sheet(read_form("twelve-bar", key=key), Request(reader=reader, instrument="none"))
    low, high = RANGES[reader]
    for line in (sheet.solo, sheet.answers, *sheet.licks):
        assert all(low <= note.pitch <= high for note in line.notes)


def test_a_line_without_notes_stays_so() -> None:
    assert on_staff(NoteLine("", (), ()), "bass").notes == ()
