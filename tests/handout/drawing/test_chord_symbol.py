"""A chord symbol as drawn."""

from __future__ import annotations

from itertools import pairwise

import pytest

from groove.handout.drawing.chord_symbol import chord_marks, chord_width
from groove.handout.drawing.page import ink_box
from groove.theory.chords import parse_chord
from groove.theory.symbols import symbol

SIZE = 20.0  # points
CHORDS = ["C", "Bbm7b5", "F#13#11/C#", "Ebmaj7", "G7sus4", "Am(maj7)"]


@pytest.mark.parametrize("chord", CHORDS)
def test_parts_follow_each_other_without_overlaps_in_the_width_that_was_said(chord: str) -> None:
    shown = symbol(parse_chord(chord))
    marks = chord_marks(shown, 10.0, 50.0, SIZE)
    assert "".join(mark.text for mark in marks) == str(shown)
    boxes = [box for mark in marks if (box := ink_box(mark))]
    assert boxes[0].left >= 10
    assert boxes[-1].right <= 10 + chord_width(shown, SIZE)
    for before, after in pairwise(boxes):
        assert before.left < after.left
        assert not before.overlaps(after)


def test_root_is_the_largest_and_figures_stand_raised() -> None:
    root, triad, figures, bass = chord_marks(symbol(parse_chord("Am7/G")), 0.0, 50.0, SIZE)
    assert [part.text for part in (root, triad, figures, bass)] == ["A", "m", "7", "/G"]
    assert root.size == SIZE
    assert figures.size < triad.size < bass.size < root.size
    assert root.y == triad.y == bass.y == 50
    assert figures.y == pytest.approx(50 - 0.3 * SIZE * 25.4 / 72)


def test_width_grows_with_the_size() -> None:
    shown = symbol(parse_chord("Bbm7b5"))
    assert chord_width(shown, 2 * SIZE) == pytest.approx(2 * chord_width(shown, SIZE))
