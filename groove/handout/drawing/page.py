"""A page as a list of simple marks, before any file format.

The look of all handouts, in one rule: **black on white, and nothing smaller or tighter than a
player can read from a music stand at arm's length.** Music stands large and bold; its
explanation, in the same face, smaller; nothing is boxed in that a space can set apart, nothing
is shown by colour alone. Lines have the weights that engravers give them: staff and fret lines
thin, bar lines stronger, the line that closes a piece thick.

Lengths are in millimetres from the top left corner, y downwards; type sizes are in points.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import cos, hypot, pi, sin

from groove.handout.drawing.faces import SYMBOLS, GlyphShape, face, settable

POINT = 25.4 / 72  # mm
THIN, MEDIUM, THICK = 0.18, 0.32, 0.9  # mm, line weights
ROUND = 48  # sides of a circle that is drawn in lines
SMALLEST = 9.0  # points; smaller type can't be read from a music stand


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet in mm."""

    name: str
    width: float
    height: float


PAPERS = {"a4": Paper("a4", 210.0, 297.0), "letter": Paper("letter", 215.9, 279.4)}


@dataclass(frozen=True, slots=True)
class Text:
    """A run of text on a baseline at (x, y).

    size: points. face: regular, bold or italic. anchor: whether x is the text's ``"start"``,
    ``"middle"`` or ``"end"``. ink: 1 black to 0 white. link: the address that a click on it opens.
    """

    x: float
    y: float
    text: str
    size: float
    face: str = "regular"
    anchor: str = "start"
    ink: float = 1.0
    link: str = ""


@dataclass(frozen=True, slots=True)
class Glyph:
    """A sign of the music face by its name in faces.SYMBOLS, its origin at (x, y).

    space: the distance of two staff lines in mm, which sizes it. Clefs and heads have their
    line at y, time signature digits their middle.
    """

    x: float
    y: float
    name: str
    space: float
    anchor: str = "start"
    ink: float = 1.0


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line, its ends cut square."""

    x1: float
    y1: float
    x2: float
    y2: float
    width: float = THIN
    ink: float = 1.0


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle: filled with ``fill`` (1 black to 0 white, None empty), outlined if width > 0."""

    x: float
    y: float
    wide: float
    high: float
    fill: float | None = None
    width: float = THIN


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle round (x, y), filled and outlined as a Rect is."""

    x: float
    y: float
    radius: float
    fill: float | None = None
    width: float = THIN


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed polygon, filled and outlined as a Rect is."""

    points: tuple[tuple[float, float], ...]
    fill: float | None = 1.0
    width: float = 0.0


Mark = Text | Glyph | Line | Rect | Circle | Polygon


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet and the marks on it, drawn in their order.

    title and words: the page's title and its text for a screen reader.
    """

    paper: Paper
    marks: tuple[Mark, ...]
    title: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Box:
    """The rectangle that a mark covers, in mm."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Box) -> bool:
        """True if both cover some place; touching is not overlapping."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def moved(mark: Mark, right: float, down: float) -> Mark:
    """A mark at another place, in mm."""
    match mark:
        case Line(x1, y1, x2, y2):
            return replace(mark, x1=x1 + right, y1=y1 + down, x2=x2 + right, y2=y2 + down)
        case Polygon(points):
            return replace(mark, points=tuple((x + right, y + down) for x, y in points))
        case _:
            return replace(mark, x=mark.x + right, y=mark.y + down)


def scaled(mark: Mark, factor: float, right: float = 0.0, down: float = 0.0) -> Mark:
    """A mark enlarged from the top left corner, lines and type with it, then moved by mm.

    >>> scaled(Line(1.0, 2.0, 3.0, 2.0, 0.5), 2.0, 10.0)
    Line(x1=12.0, y1=4.0, x2=16.0, y2=4.0, width=1.0, ink=1.0)
    """
    grown: Mark
    match mark:
        case Line(x1, y1, x2, y2, width):
            grown = replace(
                mark, x1=x1 * factor, y1=y1 * factor, x2=x2 * factor, y2=y2 * factor,
                width=width * factor,
            )  # fmt: skip
        case Polygon(points, _, width):
            larger = tuple((x * factor, y * factor) for x, y in points)
            grown = replace(mark, points=larger, width=width * factor)
        case Text(x, y, _, size):
            grown = replace(mark, x=x * factor, y=y * factor, size=size * factor)
        case Glyph(x, y, _, space):
            grown = replace(mark, x=x * factor, y=y * factor, space=space * factor)
        case Circle(x, y, radius, _, width):
            grown = replace(
                mark, x=x * factor, y=y * factor, radius=radius * factor, width=width * factor
            )
        case Rect(x, y, wide, high, _, width):
            grown = replace(
                mark, x=x * factor, y=y * factor, wide=wide * factor, high=high * factor,
                width=width * factor,
            )  # fmt: skip
    return moved(grown, right, down)


def inverted(mark: Mark) -> list[Mark]:
    """A mark with black and white exchanged, outlines too: for a light area on dark paper."""
    match mark:
        case Text() | Glyph() | Line():
            return [replace(mark, ink=1 - mark.ink)]
        case Circle(x, y, radius, float() as fill, width):
            outline = [Circle(x, y, radius + width / 2, 0.0, 0.0)] if width else []
            return [*outline, Circle(x, y, radius - width / 2, 1 - fill, 0.0)]
        case Circle(x, y, radius, fill, width):
            turns = [2 * pi * part / ROUND for part in range(ROUND)]
            corners = tuple((x + radius * cos(turn), y + radius * sin(turn)) for turn in turns)
        case Rect(x, y, wide, high, fill, width):
            corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
        case Polygon(corners, fill, width):
            pass
    shown: list[Mark] = [] if fill is None else [Polygon(corners, 1 - fill, 0.0)]
    for (x1, y1), (x2, y2) in pairwise([*corners, corners[0]] if width else []):
        more = width / 2 / max(hypot(x2 - x1, y2 - y1), width)
        across, down = (x2 - x1) * more, (y2 - y1) * more
        shown.append(Line(x1 - across, y1 - down, x2 + across, y2 + down, width, 0.0))
    return shown


@lru_cache(maxsize=16384)
def text_width(text: str, size: float, name: str = "regular") -> float:
    """The advance width of a text in mm at a size in points."""
    shown = face(name)
    return sum(shown.glyph(c).advance for c in text) * size * POINT / shown.em


def fitted(text: str, room: float, size: float, name: str = "regular") -> str:
    """A text cut to a width in mm, with dots where something is left out."""
    text = settable(text, name)
    if text_width(text, size, name) <= room:
        return text
    while text and text_width(f"{text}…", size, name) > room:
        text = text[:-1]
    return f"{text.rstrip()}…" if text else ""


def glyph_width(name: str, space: float) -> float:
    """The advance width of a sign in mm; space: mm between two staff lines."""
    return face("music").glyph(chr(SYMBOLS[name])).advance * 4 * space / face("music").em


def ascent(size: float, name: str = "regular") -> float:
    """The height of a face over the baseline in mm; size in points."""
    return face(name).ascent * size * POINT / face(name).em


def descent(size: float, name: str = "regular") -> float:
    """The depth of a face under the baseline in mm, as a positive number; size in points."""
    return -face(name).descent * size * POINT / face(name).em


@dataclass(frozen=True, slots=True)
class Setting:
    """A text or sign as set: its glyphs and where each begins. scale: mm in a font unit."""

    left: float
    scale: float
    face: str
    glyphs: tuple[tuple[float, str, GlyphShape], ...]


def setting(mark: Text | Glyph) -> Setting:
    """The glyphs of a text or sign and their places, its anchor taken into account."""
    if isinstance(mark, Text):
        name, text, em = mark.face, mark.text, mark.size * POINT
    else:
        name, text, em = "music", chr(SYMBOLS[mark.name]), 4 * mark.space
    shown = face(name)
    scale = em / shown.em
    glyphs, at = [], 0.0
    for character in text:
        shape = shown.glyph(character)
        glyphs.append((at * scale, character, shape))
        at += shape.advance
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
    left = mark.x - share * at * scale
    return Setting(left, scale, name, tuple((left + x, c, shape) for x, c, shape in glyphs))


def ink_box(mark: Mark) -> Box | None:
    """The smallest box round a mark's ink; None where it has none, as a space."""
    match mark:
        case Text() | Glyph():
            return _glyph_box(mark)
        case Line(x1, y1, x2, y2, width):
            half = width / 2
            return Box(
                min(x1, x2) - half, min(y1, y2) - half, max(x1, x2) + half, max(y1, y2) + half
            )
        case Rect(x, y, wide, high, _, width):
            return Box(x - width / 2, y - width / 2, x + wide + width / 2, y + high + width / 2)
        case Circle(x, y, radius, _, width):
            reach = radius + width / 2
            return Box(x - reach, y - reach, x + reach, y + reach)
        case Polygon(points):
            xs, ys = [x for x, _ in points], [y for _, y in points]
            return Box(min(xs), min(ys), max(xs), max(ys))


def _glyph_box(mark: Text | Glyph) -> Box | None:
    set_ = setting(mark)
    boxes = [(x, shape.box) for x, _, shape in set_.glyphs if shape.box]
    if not boxes:
        return None
    return Box(
        min(x + box[0] * set_.scale for x, box in boxes),
        mark.y - max(box[3] for _, box in boxes) * set_.scale,
        max(x + box[2] * set_.scale for x, box in boxes),
        mark.y - min(box[1] for _, box in boxes) * set_.scale,
    )
