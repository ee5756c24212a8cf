"""Keyboards: two octaves of keys as data, and drawn.

>>> from groove.handout.material import arpeggio
>>> from groove.theory.chords import parse_chord
>>> [(key.pitch, key.name, key.degree) for key in keys(arpeggio(parse_chord("A7")))][:5]
[(61, 'C#', '3'), (64, 'E', '5'), (67, 'G', 'b7'), (69, 'A', '1'), (73, 'C#', '3')]
"""

from __future__ import annotations

from dataclasses import dataclass

from groove.errors import GrooveError
from groove.handout.diagram import RADIUS, TITLE_HEIGHT, TITLE_SIZE, ascent_of, draw_dot
from groove.handout.material import Material
from groove.handout.page import MEDIUM, THIN, Line, Mark, Rect, Text, text_width
from groove.handout.symbols import signs

LABELS = ("degree", "name")
LOWEST, OCTAVES = 60, 2  # C4: the keys from middle C on
BLACK_KEYS = {1, 3, 6, 8, 10}
WHITE_WIDTH, WHITE_HEIGHT = 6.0, 24.0  # mm
BLACK_WIDTH, BLACK_HEIGHT = 4.6, 14.8
HALO = 0.45  # mm of white round a dot on a black key


@dataclass(frozen=True, slots=True)
class Key:
    """A key to play: MIDI note, name, degree, role (see material), whether it is black."""

    pitch: int
    name: str
    degree: str
    role: str
    black: bool


def keys(material: Material) -> tuple[Key, ...]:
    """The keys of some material over two octaves from middle C."""
    found = []
    for pitch in range(LOWEST, LOWEST + 12 * OCTAVES):
        tone = material.tone(pitch)
        if tone:
            black = pitch % 12 in BLACK_KEYS
            found.append(Key(pitch, tone.name, tone.degree, tone.role, black))
    return tuple(found)


def keyboard_size(title: str = "") -> tuple[float, float]:
    """How wide and high a drawn keyboard is, in mm."""
    return 7 * OCTAVES * WHITE_WIDTH, WHITE_HEIGHT + (TITLE_HEIGHT if title else 0)


def draw_keyboard(
    material: Material, *, x: float, y: float, label: str = "degree", title: str = ""
) -> tuple[Mark, ...]:
    """The marks of a keyboard whose top left corner is (x, y), in mm.

    label: what stands on the keys, one of LABELS; GrooveError for another.
    """
    if label not in LABELS:
        raise GrooveError(f"label {label!r} is not known: there are: {', '.join(LABELS)}")
    marks: list[Mark] = []
    if title:
        marks.append(Text(x, y + ascent_of(TITLE_SIZE), signs(title), TITLE_SIZE, "bold"))
        y += TITLE_HEIGHT
    wide = 7 * OCTAVES * WHITE_WIDTH
    marks.append(Rect(x, y, wide, WHITE_HEIGHT, None, MEDIUM))
    for number in range(1, 7 * OCTAVES):
        at = x + number * WHITE_WIDTH
        marks.append(Line(at, y, at, y + WHITE_HEIGHT, THIN))
    for pitch in range(LOWEST, LOWEST + 12 * OCTAVES):
        if pitch % 12 in BLACK_KEYS:
            left = x + _middle(pitch) - BLACK_WIDTH / 2
            marks.append(Rect(left, y, BLACK_WIDTH, BLACK_HEIGHT, 1.0, THIN))
    for key in keys(material):
        text = signs(key.degree if label == "degree" else key.name)
        at = x + _middle(key.pitch)
        foot = y + (BLACK_HEIGHT if key.black else WHITE_HEIGHT) - RADIUS - 1.7
        if key.black:
            half = max(RADIUS, text_width(text, 9, "bold") / 2 + 0.55) + HALO
            high = RADIUS + HALO
            marks.append(Rect(at - half, foot - high, 2 * half, 2 * high, 0.0, 0.0))
        marks += draw_dot(at, foot, key.role, text)
    return tuple(marks)


def _middle(pitch: int) -> float:
    """Where the middle of a key lies, in mm from the left end."""
    octave, step = divmod(pitch - LOWEST, 12)
    whites = sum(below not in BLACK_KEYS for below in range(step))
    offset = whites if step in BLACK_KEYS else whites + 0.5
    return (7 * octave + offset) * WHITE_WIDTH
