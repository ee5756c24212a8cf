"""Keyboards drawn: the keys to play are marked as the dots of a fretboard are."""

from __future__ import annotations

from collections.abc import Sequence

from groove.errors import GrooveError
from groove.handout.drawing.fretboard import (
    CAP,
    RADIUS,
    TITLE_HEIGHT,
    TITLE_SIZE,
    ascent_of,
    draw_dot,
)
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THIN,
    Line,
    Mark,
    Rect,
    Text,
    text_width,
)
from groove.instrument.keyboard import BLACK_KEYS, MIDDLE_C, OCTAVES, KeyboardKey
from groove.theory.symbols import noted

LABELS = ("degree", "name")
WHITE_WIDTH, WHITE_HEIGHT = 6.0, 19.0  # mm
BLACK_WIDTH, BLACK_HEIGHT = 4.2, 11.4
HALO = 0.45  # mm of white round a dot on a black key
C_HEIGHT = 4.4  # mm, for the names of the Cs below


def keyboard_size(title: str = "", octaves: int = OCTAVES) -> tuple[float, float]:
    """Width and height of a drawn keyboard in mm, its title included."""
    high = WHITE_HEIGHT + C_HEIGHT + (TITLE_HEIGHT if title else 0)
    return 7 * octaves * WHITE_WIDTH, high


def draw_keyboard(
    played: Sequence[KeyboardKey],
    *,
    x: float,
    y: float,
    lowest: int = MIDDLE_C,
    octaves: int = OCTAVES,
    label: str = "degree",
    title: str = "",
) -> tuple[Mark, ...]:
    """The marks of a keyboard whose top left corner is (x, y), in mm.

    lowest: the MIDI note of the white key at its left end. label: the text on the keys, one of
    LABELS; GrooveError for another.
    """
    if label not in LABELS:
        raise GrooveError(f"label {label!r} is not known: there are: {', '.join(LABELS)}")
    marks: list[Mark] = []
    if title:
        marks.append(Text(x, y + ascent_of(TITLE_SIZE), title, TITLE_SIZE, "bold"))
        y += TITLE_HEIGHT
    wide = 7 * octaves * WHITE_WIDTH
    marks.append(Rect(x, y, wide, WHITE_HEIGHT, None, MEDIUM))
    for number in range(1, 7 * octaves):
        at = x + number * WHITE_WIDTH
        marks.append(Line(at, y, at, y + WHITE_HEIGHT, THIN))
    for pitch in range(lowest, lowest + 12 * octaves):
        at = x + _middle(pitch, lowest)
        if pitch % 12 in BLACK_KEYS:
            marks.append(Rect(at - BLACK_WIDTH / 2, y, BLACK_WIDTH, BLACK_HEIGHT, 1.0, THIN))
        elif pitch % 12 == 0:
            foot = y + WHITE_HEIGHT + C_HEIGHT / 2 + 2 * CAP * SMALLEST * POINT - 0.6
            marks.append(Text(at, foot, f"C{pitch // 12 - 1}", SMALLEST, "regular", "middle"))
    for key in played:
        text = noted(key.degree if label == "degree" else key.name)
        across, down = key_middle(key.pitch, lowest)
        at, foot = x + across, y + down
        if key.black:
            half = max(RADIUS, text_width(text, 9, "bold") / 2 + 0.55) + HALO
            high = RADIUS + HALO
            marks.append(Rect(at - half, foot - high, 2 * half, 2 * high, 0.0, 0.0))
        marks += draw_dot(at, foot, key.role, text)
    return tuple(marks)


def key_middle(pitch: int, lowest: int = MIDDLE_C) -> tuple[float, float]:
    """The middle of the dot on a key from the top left corner of a keyboard without a title, in
    mm; lowest: as for draw_keyboard."""
    high = BLACK_HEIGHT if pitch % 12 in BLACK_KEYS else WHITE_HEIGHT
    return _middle(pitch, lowest), high - RADIUS - 0.9


def _middle(pitch: int, lowest: int) -> float:
    """The middle of a key, in mm from the left end of the keyboard, which is a white key."""
    return (
        _whites(pitch) - _whites(lowest) + (0 if pitch % 12 in BLACK_KEYS else 0.5)
    ) * WHITE_WIDTH


def _whites(pitch: int) -> int:
    """The number of white keys below a key, counted from MIDI note 0."""
    return 7 * (pitch // 12) + sum(below not in BLACK_KEYS for below in range(pitch % 12))
