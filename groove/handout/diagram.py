"""Fretboard diagrams drawn: the neck lies as the player sees it, string 1 on top.

Roles are told by shape and by the text inside, never by colour alone: the root a black square,
the third a box pointed to both sides, the fifth a circle, the seventh a box pointed downwards,
any other note its bare text. A neck for the left hand is the mirror of that for the right.
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.errors import GrooveError, nearest
from groove.handout.fretboard import Tuning
from groove.handout.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THICK,
    THIN,
    Circle,
    Line,
    Mark,
    Rect,
    Shape,
    Text,
    text_width,
)
from groove.handout.positions import Dot, Position
from groove.handout.symbols import signs

LABELS = ("degree", "name", "finger")
STRING_GAP, FRET_WIDTH = 5.2, 8.4  # mm
OPEN_WIDTH = 6.0  # mm, the column for open strings
RADIUS = 2.25  # mm, of a dot
FEWEST_FRETS = 4  # shown
TITLE_HEIGHT, NUMBERS_HEIGHT = 6.0, 5.0  # mm
TITLE_SIZE = 11.0  # points
CAP = 0.36  # of the type size: how far a baseline lies under the middle of a figure
ROLE_WORDS = {"root": "root", "third": "3rd", "fifth": "5th", "seventh": "7th"}
WHITE, BLACK = 0.0, 1.0


def shown_frets(tuning: Tuning, dots: Sequence[Dot]) -> tuple[int, int]:
    """The first and last fret of a diagram, 0 to take in the open strings.

    Given the dots of several positions, what to show in each so that they can be compared.

    >>> from groove.handout.fretboard import read_tuning
    >>> shown_frets(read_tuning("guitar"), [Dot(6, 5, 45, "A", "1", "root", 1)])
    (5, 8)
    """
    stopped = [dot.fret for dot in dots if dot.fret]
    first = 0 if any(dot.fret == 0 for dot in dots) else min(stopped, default=1)
    last = max(max(stopped, default=1), max(first, 1) + FEWEST_FRETS - 1)
    over = max(last - tuning.frets, 0)
    return first - over, last - over


def fretboard_size(
    tuning: Tuning,
    position: Position | Sequence[Dot],
    *,
    fret_width: float = FRET_WIDTH,
    string_gap: float = STRING_GAP,
    title: str = "",
    frets: tuple[int, int] | None = None,
) -> tuple[float, float]:
    """How wide and high a diagram is in mm, its title and fret numbers included."""
    first, last = frets or shown_frets(tuning, _dots(position))
    columns = last - max(first, 1) + 1
    wide = columns * fret_width + (OPEN_WIDTH if first == 0 else 0)
    high = (len(tuning.strings) - 1) * string_gap + 2 * RADIUS + NUMBERS_HEIGHT
    return wide, high + (TITLE_HEIGHT if title else 0)


def draw_fretboard(
    tuning: Tuning,
    position: Position | Sequence[Dot],
    *,
    x: float,
    y: float,
    label: str = "degree",
    left_handed: bool = False,
    fret_width: float = FRET_WIDTH,
    string_gap: float = STRING_GAP,
    title: str = "",
    frets: tuple[int, int] | None = None,
) -> tuple[Mark, ...]:
    """The marks of a diagram whose top left corner is (x, y), in mm.

    position: a Position, or any dots. label: what stands on the dots, one of LABELS. Raises
    GrooveError for another label. frets: the first and last to show; where left out, what
    ``shown_frets`` finds. Its size is that of ``fretboard_size`` with the same arguments.
    """
    if label not in LABELS:
        raise GrooveError(f"label {label!r} is not known: {nearest(label, LABELS)}")
    dots = _dots(position)
    first, last = frets or shown_frets(tuning, dots)
    fretted = max(first, 1)
    wide, _ = fretboard_size(
        tuning, dots, fret_width=fret_width, string_gap=string_gap, frets=frets
    )
    nut = OPEN_WIDTH if first == 0 else 0.0

    def across(offset: float) -> float:
        """A distance from the low end of the neck, on the page."""
        return x + (wide - offset if left_handed else offset)

    def column(fret: int) -> float:
        """The middle of a fret."""
        if fret == 0:
            return across(nut / 2 - 0.3)
        return across(nut + (fret - fretted + 0.5) * fret_width)

    marks: list[Mark] = []
    if title:
        marks.append(Text(x, y + ascent_of(TITLE_SIZE), signs(title), TITLE_SIZE, "bold"))
        y += TITLE_HEIGHT
    top = y + RADIUS
    foot = top + (len(tuning.strings) - 1) * string_gap
    for string in tuning.strings:
        level = top + (string - 1) * string_gap
        marks.append(Line(across(nut), level, across(wide), level, THIN))
    for wire in range(last - fretted + 2):
        at = across(nut + wire * fret_width)
        thick = THICK if wire == 0 and first <= 1 else THIN
        marks.append(Line(at, top - thick / 2, at, foot + thick / 2, thick))
    numbers = foot + RADIUS + 1.4 + ascent_of(SMALLEST)
    for fret in range(fretted, last + 1):
        marks.append(Text(column(fret), numbers, str(fret), SMALLEST, "regular", "middle"))
    for dot in dots:
        level = top + (dot.string - 1) * string_gap
        marks += draw_dot(column(dot.fret), level, dot.role, dot_label(dot, label))
    return tuple(marks)


def draw_dot(x: float, y: float, role: str, text: str) -> tuple[Mark, ...]:
    """A dot with its middle at (x, y): the shape says the role, the text what it is."""
    half = max(RADIUS, text_width(text, SMALLEST, "bold") / 2 + 0.55)
    r = RADIUS
    ink = BLACK
    if role == "root":
        shape: Mark = Rect(x - half, y - r, 2 * half, 2 * r, BLACK, MEDIUM)
        ink = WHITE
    elif role == "third":
        tip, in_ = half + 0.85, half - 0.5
        points: tuple[tuple[float, float], ...] = (
            (-tip, 0.0),
            (-in_, -r),
            (in_, -r),
            (tip, 0.0),
            (in_, r),
            (-in_, r),
        )
        shape = Shape(tuple((x + a, y + b) for a, b in points), WHITE, MEDIUM)
    elif role == "fifth":
        shape = Circle(x, y, max(r, half * 0.98), WHITE, MEDIUM)
    elif role == "seventh":
        points = ((-half, -r), (half, -r), (half, 0.7), (0.0, r + 0.35), (-half, 0.7))
        shape = Shape(tuple((x + a, y + b) for a, b in points), WHITE, MEDIUM)
    else:
        shape = Rect(x - half + 0.3, y - r + 0.3, 2 * half - 0.6, 2 * r - 0.6, WHITE, 0.0)
    foot = y + CAP * SMALLEST * POINT
    return shape, Text(x, foot, text, SMALLEST, "bold", "middle", ink)


def draw_legend(*, x: float, y: float) -> tuple[Mark, ...]:
    """One line that says what the shapes mean, its left end at x and its middle at y."""
    marks: list[Mark] = []
    for role, word in ROLE_WORDS.items():
        marks += draw_dot(x + 3.2, y, role, "1357"[list(ROLE_WORDS).index(role)])
        marks.append(Text(x + 7.2, y + CAP * SMALLEST * POINT, word, SMALLEST))
        x += 7.2 + text_width(word, SMALLEST) + 5
    return tuple(marks)


def dot_label(dot: Dot, label: str) -> str:
    """What stands on a dot, with typographic accidentals.

    >>> dot_label(Dot(5, 4, 49, "C#", "3", "third", 1), "name")
    'C♯'
    """
    return signs(str(getattr(dot, label)))


def ascent_of(size: float) -> float:
    """The height of capitals at a size in points, in mm."""
    return 2 * CAP * size * POINT


def _dots(position: Position | Sequence[Dot]) -> Sequence[Dot]:
    return position.dots if isinstance(position, Position) else position
