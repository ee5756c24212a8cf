"""Fretboard diagrams drawn: the neck lies as the player sees it, string 1 on top.

Roles are shown by shape and by the text inside, never by colour alone: the root a black square,
the third a box pointed to both sides, the fifth a circle, the seventh a box pointed downwards,
the blue note a box that leans, any other note its bare text. The strings' names stand at the nut,
the frets' numbers below them. A neck for the left hand is the mirror of that for the right.
"""

from __future__ import annotations

from collections.abc import Callable, Collection

from groove.errors import GrooveError, nearest
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THICK,
    THIN,
    Circle,
    Line,
    Mark,
    Polygon,
    Rect,
    Text,
    text_width,
)
from groove.instrument.fretboard import Tuning
from groove.instrument.positions import Dot, Position
from groove.theory.symbols import noted, signs
from groove.wording import said

LABELS = ("degree", "name", "finger")
STRING_GAP, FRET_WIDTH = 5.2, 8.4  # mm
NAMES_WIDTH, NAME_AT = 4.4, 1.6  # mm, the column for the strings' names, and their middle
OPEN_WIDTH = 6.0  # mm, the column for open strings
RADIUS = 2.25  # mm, of a dot
TITLE_HEIGHT, NUMBERS_HEIGHT, LEGEND_LINE = 5.2, 4.3, 5.6  # mm
TITLE_SIZE = 11.0  # points
CAP = 0.36  # of the type size: how far a baseline lies under the middle of a figure
SAMPLES = {"root": "1", "third": "3", "fifth": "5", "seventh": "7", "blue": "b5", "other": "4"}
ROLES = ("root", "third", "fifth", "seventh", "blue", "other")
ON_DOTS = {"name": "names", "finger": "fingers"}
"""The texts on the dots where that isn't the role, by the name of its sentence."""
WHITE, BLACK = 0.0, 1.0


def fretboard_size(
    tuning: Tuning,
    position: Position,
    *,
    fret_width: float = FRET_WIDTH,
    string_gap: float = STRING_GAP,
    title: str = "",
) -> tuple[float, float]:
    """Width and height of a diagram in mm, strings' names, title and fret numbers included."""
    first, last = position.frets
    columns = last - max(first, 1) + 1
    wide = NAMES_WIDTH + columns * fret_width + (OPEN_WIDTH if first == 0 else 0)
    high = (len(tuning.strings) - 1) * string_gap + 2 * RADIUS + NUMBERS_HEIGHT
    return wide, high + (TITLE_HEIGHT if title else 0)


def draw_fretboard(
    tuning: Tuning,
    position: Position,
    *,
    x: float,
    y: float,
    label: str = "degree",
    left_handed: bool = False,
    fret_width: float = FRET_WIDTH,
    string_gap: float = STRING_GAP,
    title: str = "",
    look: Callable[[Dot], str] | None = None,
) -> tuple[Mark, ...]:
    """The marks of a diagram whose top left corner is (x, y), in mm.

    label: the text on the dots, one of LABELS. Raises GrooveError for another label. Its size
    is that of ``fretboard_size`` with the same arguments. look: what a dot is drawn as, as in
    draw_dot; its role if left out.
    """
    if label not in LABELS:
        raise GrooveError(f"label {label!r} is not known: {nearest(label, LABELS)}")
    first, last = position.frets
    fretted = max(first, 1)
    wide, _ = fretboard_size(tuning, position, fret_width=fret_width, string_gap=string_gap)
    nut = _nut(position)

    def across(offset: float) -> float:
        """A distance from the low end of the neck, on the page."""
        return x + (wide - offset if left_handed else offset)

    def column(fret: int) -> float:
        """The middle of a fret."""
        return x + fret_middle(
            tuning, position, fret, left_handed=left_handed, fret_width=fret_width
        )

    marks: list[Mark] = []
    if title:
        marks.append(Text(x, y + ascent_of(TITLE_SIZE), title, TITLE_SIZE, "bold"))
        y += TITLE_HEIGHT
    top = y + RADIUS
    foot = top + (len(tuning.strings) - 1) * string_gap
    for string in tuning.strings:
        level = top + (string - 1) * string_gap
        marks.append(Line(across(nut), level, across(wide), level, THIN))
        name = noted(tuning.names[-string])
        foot_of = level + CAP * SMALLEST * POINT
        marks.append(Text(across(NAME_AT), foot_of, name, SMALLEST, "regular", "middle"))
    for wire in range(last - fretted + 2):
        at = across(nut + wire * fret_width)
        thick = THICK if wire == 0 and first <= 1 else THIN
        marks.append(Line(at, top - thick / 2, at, foot + thick / 2, thick))
    numbers = foot + RADIUS + 1.4 + ascent_of(SMALLEST)
    for fret in range(fretted, last + 1):
        marks.append(Text(column(fret), numbers, str(fret), SMALLEST, "regular", "middle"))
    for dot in position.dots:
        level = top + (dot.string - 1) * string_gap
        shown = look(dot) if look else dot.role
        marks += draw_dot(column(dot.fret), level, shown, dot_label(dot, label))
    return tuple(marks)


def fret_middle(
    tuning: Tuning,
    position: Position,
    fret: int,
    *,
    left_handed: bool = False,
    fret_width: float = FRET_WIDTH,
) -> float:
    """The middle of a fret from the left edge of a diagram, in mm; of open strings for 0."""
    nut = _nut(position)
    offset = nut - OPEN_WIDTH / 2 - 0.3
    if fret:
        offset = nut + (fret - max(position.frets[0], 1) + 0.5) * fret_width
    wide, _ = fretboard_size(tuning, position, fret_width=fret_width)
    return wide - offset if left_handed else offset


def string_level(string: int, string_gap: float = STRING_GAP) -> float:
    """A string from the top edge of a diagram without a title, in mm."""
    return RADIUS + (string - 1) * string_gap


def _nut(position: Position) -> float:
    """The nut, or the wire before the first fret, from the low end of a diagram."""
    return NAMES_WIDTH + (OPEN_WIDTH if position.frets[0] == 0 else 0.0)


def draw_dot(x: float, y: float, role: str, text: str) -> tuple[Mark, ...]:
    """A dot with its middle at (x, y): the shape shows the role, the text the note or finger.

    role: one of groove.instrument.material, or of a scale over a chord a tone of the chord
    (``"chord"``, filled), of the scale alone (``"scale"``, hollow) or one to pass through
    (``"passing"``, which leans as the blue note does).
    """
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
        shape = Polygon(tuple((x + a, y + b) for a, b in points), WHITE, MEDIUM)
    elif role in ("fifth", "scale"):
        shape = Circle(x, y, max(r, half * 0.98), WHITE, MEDIUM)
    elif role == "chord":
        shape, ink = Circle(x, y, max(r, half * 0.98), BLACK, MEDIUM), WHITE
    elif role in ("blue", "passing"):
        lean = 0.8
        points = (
            (lean - half, -r),
            (half + lean, -r),
            (half - lean, r),
            (-half - lean, r),
        )
        shape = Polygon(tuple((x + a, y + b) for a, b in points), WHITE, MEDIUM)
    elif role == "seventh":
        points = ((-half, -r), (half, -r), (half, 0.7), (0.0, r + 0.35), (-half, 0.7))
        shape = Polygon(tuple((x + a, y + b) for a, b in points), WHITE, MEDIUM)
    else:
        shape = Rect(x - half + 0.3, y - r + 0.3, 2 * half - 0.6, 2 * r - 0.6, WHITE, 0.0)
    foot = y + CAP * SMALLEST * POINT
    return shape, Text(x, foot, text, SMALLEST, "bold", "middle", ink)


def legend_height(label: str) -> float:
    """The height of a legend in mm."""
    return (2 if label in ON_DOTS else 1) * LEGEND_LINE


def draw_legend(
    roles: Collection[str], *, x: float, y: float, label: str = "degree"
) -> tuple[Mark, ...]:
    """The legend: the meaning of the shapes of some roles and of the dots; top left at (x, y).

    label: as of the diagrams, one of LABELS.
    """
    marks: list[Mark] = []
    middle = y + LEGEND_LINE / 2
    at = x
    for role in ROLES:
        if role not in roles:
            continue
        bare = "bare_degree" if label == "degree" else "bare"
        word = said("places", f"legend.{bare if role == 'other' else role}")
        shown = "" if label in ON_DOTS else signs(SAMPLES[role])
        if shown or role != "other":
            marks += draw_dot(at + 3.2, middle, role, shown)
            at += 7.2
        marks.append(Text(at, middle + CAP * SMALLEST * POINT, word, SMALLEST))
        at += text_width(word, SMALLEST) + 4.5
    if label in ON_DOTS:
        foot = middle + LEGEND_LINE + CAP * SMALLEST * POINT
        marks.append(Text(x, foot, said("places", f"legend.{ON_DOTS[label]}"), SMALLEST))
    return tuple(marks)


def dot_label(dot: Dot, label: str) -> str:
    """The text on a dot, with typographic accidentals.

    >>> dot_label(Dot(5, 4, 49, "C#", "3", "third", 1), "name")
    'C♯'
    """
    return noted(str(getattr(dot, label)))


def ascent_of(size: float) -> float:
    """The height of capitals at a size in points, in mm."""
    return 2 * CAP * size * POINT
