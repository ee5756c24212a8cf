"""Grips drawn."""

import pytest

from groove.handout.drawing.grip import draw_grip, grip_size, shown_frets
from groove.handout.drawing.page import Circle, Line, Rect, Text, ink_box
from groove.instrument.fretboard import read_tuning
from groove.instrument.grips.choose import chosen
from groove.instrument.grips.grip import ChordGrip
from groove.theory.chords import parse_chord

GUITAR = read_tuning("guitar")


def grip(chord: str, home: int = 8, learner: str = "intermediate") -> ChordGrip:
    return chosen(GUITAR, parse_chord(chord), learner, home)[0]


def test_each_pressed_note_has_its_finger_and_each_string_its_step() -> None:
    held = grip("C7")
    words = [mark.text for mark in draw_grip(GUITAR, held, x=0, y=0) if isinstance(mark, Text)]
    fingers = [str(dot.finger) for dot in held.dots]
    assert sorted(words) == sorted(["8", *fingers, "1", "5", "♭7", "3", "5", "1"])


def test_root_is_square_and_the_double_stop_inside_is_filled() -> None:
    held = grip("C7")
    marks = draw_grip(GUITAR, held, x=0, y=0)
    filled = [mark for mark in marks if isinstance(mark, Rect | Circle) and mark.fill == 1.0]
    assert len(filled) == 2
    squares = [mark for mark in marks if isinstance(mark, Rect) and mark.wide == mark.high]
    assert len(squares) == 2


@pytest.mark.parametrize("chord", ["C7alt", "D7alt", "F", "Bb", "Bbmaj7", "Am7b5"])
def test_a_finger_on_two_strings_is_drawn_as_a_bar_beyond_their_dots(chord: str) -> None:
    for learner in ("beginner", "intermediate", "advanced"):
        for held in chosen(GUITAR, parse_chord(chord), learner, 5):
            marks = draw_grip(GUITAR, held, x=0, y=0)
            bars = [m for m in marks if isinstance(m, Rect) and m.wide > m.high]
            fingers = [dot.finger for dot in held.dots if dot.finger]
            assert len(bars) == sum(fingers.count(finger) > 1 for finger in set(fingers))
            for bar, barre in zip(bars, held.barres, strict=True):
                dots = [dot for dot in held.dots if dot.finger == barre.finger]
                wide = 4.2 * (max(d.string for d in dots) - min(d.string for d in dots))
                assert bar.wide > wide + 2 * 1.95


def test_open_and_silent_strings_stand_over_the_nut() -> None:
    held = grip("D7", learner="beginner")
    marks = draw_grip(GUITAR, held, x=0, y=0)
    nut = next(mark for mark in marks if isinstance(mark, Line) and mark.width == 0.9)
    over = [m for m in marks if (box := ink_box(m)) and box.bottom < nut.y1]
    crosses = [mark for mark in over if isinstance(mark, Line)]
    assert len(crosses) == 2 * len(held.muted) == 4
    assert sum(isinstance(mark, Rect) for mark in over) == 1


@pytest.mark.parametrize("chord", ["C7", "F#m7b5", "Bb7#9", "Eb"])
def test_left_hand_is_the_mirror(chord: str) -> None:
    held = grip(chord)
    wide, _ = grip_size(GUITAR, held)
    right, left = (draw_grip(GUITAR, held, x=0, y=0, left_handed=hand) for hand in (False, True))
    for one, other in zip(right, left, strict=True):
        if isinstance(one, Circle) and isinstance(other, Circle):
            assert one.x + other.x == pytest.approx(wide)
            assert one.y == other.y


def test_drawing_begins_at_the_nut_or_at_the_hand() -> None:
    assert shown_frets(grip("D7", learner="beginner")) == (1, 4)
    assert shown_frets(grip("C7")) == (8, 4)


def test_open_strings_stand_over_the_nut_and_not_over_a_fret() -> None:
    mandolin = read_tuning("mandolin")
    for name in ("C", "D", "Em", "G7"):
        for held in chosen(mandolin, parse_chord(name), "advanced", 3):
            first, frets = shown_frets(held)
            assert first == 1 or all(dot.fret for dot in held.dots)
            assert all(first <= dot.fret < first + frets for dot in held.dots if dot.fret)
