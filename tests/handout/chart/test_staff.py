"""The melody of a line on a staff: where heads, stems, accidentals and ledger lines stand.

Source: common engraving practice.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from groove.handout.chart.bar import MelodyNote
from groove.handout.chart.cells import Measures, cells, staff_space
from groove.handout.chart.staff import staff_marks, staff_room
from groove.handout.drawing.page import Glyph, Line, Mark
from groove.handout.drawing.staff.rhythm import Stroke, notes
from groove.theory.pitch import parse_pitch
from tests.handout.chart.marked_material import FOUR, bar

MEASURES = Measures(20, False, 160.0)
SPACE = staff_space(MEASURES)


def drawn(words: str, signature: int = 0, clef: str = "treble") -> list[Mark]:
    """The marks of one bar of quarter notes, its staff's room beginning at 0."""
    tune = []
    for number, word in enumerate(words.split()):
        name, pitch = parse_pitch(word)
        (note,) = notes([Stroke(number * 960, 960)], FOUR, rests=False)
        tune.append(MelodyNote(note, name, (pitch - name.sharps) // 12 - 1))
    made = replace(bar("C"), melody=tuple(tune), signature=signature)
    measures = replace(MEASURES, clef=clef)
    return staff_marks(cells([made], 0.0, measures)[1], 0.0, measures)


def middle(marks: list[Mark]) -> float:
    level = sorted(m.y1 for m in marks if isinstance(m, Line) and m.y1 == m.y2 and m.x1 == 0)
    return level[2]


def heads(marks: list[Mark]) -> list[float]:
    """Steps of the heads over the middle line."""
    return [
        round((middle(marks) - m.y) / (SPACE / 2), 6)
        for m in marks
        if isinstance(m, Glyph) and m.name == "black notehead"
    ]


def signs(marks: list[Mark]) -> list[str]:
    names = ("sharp", "flat", "natural")
    return [m.name for m in marks if isinstance(m, Glyph) and m.name in names]


@pytest.mark.parametrize(("clef", "steps"), [("treble", [-6, 0, 4]), ("bass", [6, 12, 16])])
def test_heads_stand_on_the_lines_of_their_clef(clef: str, steps: list[int]) -> None:
    assert heads(drawn("C4 B4 F5", clef=clef)) == steps


def test_stems_go_up_below_the_middle_line_and_else_down() -> None:
    marks = drawn("A4 B4")
    up, down = (m for m in marks if isinstance(m, Line) and m.x1 == m.x2 and 0 < m.x1 < 35)
    assert up.y2 < up.y1
    assert down.y2 > down.y1


def test_an_accidental_stands_where_the_signature_differs_and_holds_to_the_bar_line() -> None:
    assert signs(drawn("F#4 F#4 F4 F#4")) == ["sharp", "natural", "sharp"]
    assert signs(drawn("F#4 C#4 F4", signature=2)) == ["sharp", "sharp", "natural"]
    assert signs(drawn("Bb4 Eb5", signature=-1)) == ["flat", "flat"]


def test_middle_c_has_a_ledger_line_and_a_high_c_two() -> None:
    def ledgers(word: str) -> int:
        marks = drawn(word)
        return sum(isinstance(m, Line) and m.y1 == m.y2 and m.x1 > 0 for m in marks)

    assert (ledgers("C4"), ledgers("D4"), ledgers("A5"), ledgers("C6")) == (1, 0, 1, 2)


def test_a_line_without_a_melody_has_no_staff() -> None:
    assert staff_room([bar("C")], MEASURES) == 0
