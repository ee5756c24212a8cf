"""Pattern files: box notation read into cells.

Box notation is the way percussion teachers write a groove, one character to a grid line:
``x`` a stroke, ``X`` an accent, ``o`` a ghost note, ``.`` nothing. Comping adds ``n`` and
``N``, a stroke that already sounds the chord to come; its rows are ``chord``, for all voices
of the voicing, and ``voice-1`` (the lowest) to ``voice-4`` and ``top``, for one of them. Its
row ``line`` is words in place of characters: degrees over the root, ``5`` alone or ``1+5``
together, ``!`` before an accent. Bass lines are words too: a degree of the chord, ``n`` the
root to come, ``a`` an approach to it, ``w`` a note of a walking line, with ``,`` and ``'`` for
the octave below and above. ``-`` holds what sounds before it. Spaces between characters and
``|`` are for the eye only.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from groove import library
from groove.rhythm.kit import KIT
from groove.rhythm.meter import METERS, Meter

HOLD, REST = "-", "."
_BASS_WORD = re.compile(r"(?P<accent>!?)(?P<tone>[1356789nawx])(?P<octave>[,']?)")
_CHORD_MARKS = "xXonN"
_CHORD_ROWS = ("chord", "voice-1", "voice-2", "voice-3", "voice-4", "top")
_FIGURE_WORD = re.compile(r"(?P<accent>!?)(?P<tones>[1356789](\+[356789])?)")
_NOT_ROWS = {"level", "beats"}


@dataclass(frozen=True, slots=True)
class Stroke:
    """One mark in a cell: where on the grid, how many lines it lasts, whose row, which mark.

    octave: octaves that the mark is moved by, for bass lines. mark: the character or word
    without its octave and accent; an accent makes drum and comping marks capital.
    """

    line: int
    lines: int
    row: str
    mark: str
    accent: bool = False
    octave: int = 0


@dataclass(frozen=True, slots=True)
class Cell:
    """A stretch of box notation: a bar or two of a pattern, a fill, an ending, a pickup.

    level: how busy, 1 to 3. lines: its length in grid lines. held: whether it opens by
    holding the note before it.
    """

    level: int
    lines: int
    strokes: tuple[Stroke, ...]
    held: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """The raster a pattern is written on and the feel it is written for."""

    meter: Meter
    lines: int
    feel: str

    @property
    def line_ticks(self) -> int:
        return self.meter.bar_ticks // self.lines

    @property
    def lines_per_beat(self) -> int:
        return self.lines // self.meter.beats

    @property
    def is_triplet(self) -> bool:
        """Whether a simple beat is written in three: such a grid can't be straightened."""
        return not self.meter.is_compound and self.lines_per_beat % 3 == 0

    def takes(self, feel: str) -> bool:
        """Whether the pattern can be played with a feel."""
        if self.meter.is_compound:
            return feel == "straight"
        return not (self.is_triplet and feel == "straight")


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern file of the drums, the bass or the comping.

    pickup: strokes for the last beat of the count-in. options: what the file says beyond the
    fields here, for the player whose file it is.
    """

    kind: str
    name: str
    title: str
    about: str
    grid: Grid
    cells: tuple[Cell, ...]
    fills: tuple[Cell, ...]
    ending: Cell | None
    pickup: Cell | None
    options: dict[str, Any]

    @property
    def tempo(self) -> tuple[int, int]:
        """The tempi between which a drum pattern sits well."""
        low, high = self.options["tempo"]
        return low, high

    @property
    def swing_ticks(self) -> int:
        """The ticks in which a long and a short note share when a drum pattern swings: a beat
        where its eighths do, half a beat where its sixteenths do."""
        swings = self.options.get("swings", 16 if self.grid.lines_per_beat == 4 else 8)
        return self.grid.meter.beat_ticks // (2 if swings == 16 else 1)

    def cells_at(self, level: int) -> tuple[Cell, ...]:
        """The cells for a level, or those of the nearest level that has any."""
        nearest = min({cell.level for cell in self.cells}, key=lambda n: (abs(n - level), n))
        return tuple(cell for cell in self.cells if cell.level == nearest)


@cache
def pattern(kind: str, name: str) -> Pattern:
    """Read a shipped pattern; kind is ``drums``, ``bass`` or ``comping``.

    Raises ValueError, naming the file and the row, where the notation is faulty.
    """
    content = library.load(kind, name)
    try:
        return _read(kind, name, content)
    except (ValueError, KeyError) as error:
        raise ValueError(f"patterns/{kind}/{name}.toml: {error}") from None


def _read(kind: str, name: str, content: dict[str, Any]) -> Pattern:
    known = {"title", "about", "feel", "meter", "grid", "bars", "fills", "ending", "pickup"}
    meter = METERS[content.get("meter", "4/4")]
    grid = Grid(meter, content["grid"], content["feel"])
    if meter.bar_ticks % grid.lines or grid.lines % meter.beats:
        raise ValueError(f"a grid of {grid.lines} lines does not divide a bar of {meter}")
    cells = tuple(_cell(kind, table) for table in content["bars"])
    for cell in cells:
        if cell.lines not in (grid.lines, 2 * grid.lines):
            raise ValueError(f"a cell has {cell.lines} lines; one or two bars of {grid.lines}")
    fills = []
    for table in content.get("fills", ()):
        fill = _cell(kind, table)
        if fill.lines != table["beats"] * grid.lines_per_beat:
            raise ValueError(f"a fill of {table['beats']} beats has {fill.lines} lines")
        fills.append(fill)
    ending = _cell(kind, content["ending"]) if "ending" in content else None
    pickup = _cell(kind, content["pickup"]) if "pickup" in content else None
    if pickup and pickup.lines != grid.lines_per_beat:
        raise ValueError(f"a pickup has {pickup.lines} lines; one beat of {grid.lines_per_beat}")
    options = {key: value for key, value in content.items() if key not in known}
    return Pattern(
        kind,
        name,
        content["title"],
        content["about"],
        grid,
        cells,
        tuple(fills),
        ending,
        pickup,
        options,
    )


def _cell(kind: str, table: dict[str, Any]) -> Cell:
    rows = {row: _marks(row, text) for row, text in table.items() if row not in _NOT_ROWS}
    lengths = {len(marks) for marks in rows.values()}
    if len(lengths) != 1:
        raise ValueError(f"rows of one cell have different lengths: {sorted(lengths)}")
    strokes = [stroke for row, marks in rows.items() for stroke in _strokes(kind, row, marks)]
    strokes.sort(key=lambda stroke: (stroke.line, stroke.row))
    held = any(marks[0] == HOLD for marks in rows.values())
    return Cell(table.get("level", 1), lengths.pop(), tuple(strokes), held)


def _marks(row: str, text: str) -> list[str]:
    text = text.replace("|", " ")
    return text.split() if row == "line" else list(text.replace(" ", ""))


def _strokes(kind: str, row: str, marks: list[str]) -> list[Stroke]:
    strokes = []
    for line, mark in enumerate(marks):
        if mark in (HOLD, REST):
            continue
        lines = 1
        while line + lines < len(marks) and marks[line + lines] == HOLD:
            lines += 1
        strokes.append(_stroke(kind, row, mark, line, lines))
    return strokes


def _stroke(kind: str, row: str, mark: str, line: int, lines: int) -> Stroke:
    if kind == "bass":
        match = _BASS_WORD.fullmatch(mark)
        if row != "line" or not match:
            raise ValueError(f"row {row!r}, grid line {line + 1}: {mark!r} is no bass mark")
        octave = {"": 0, ",": -1, "'": 1}[match["octave"]]
        return Stroke(line, lines, row, match["tone"], bool(match["accent"]), octave)
    if kind == "drums" and (row not in KIT or mark not in "xXo"):
        raise ValueError(f"row {row!r}, grid line {line + 1}: {mark!r} is no drum stroke")
    if kind == "comping" and row == "line":
        match = _FIGURE_WORD.fullmatch(mark)
        if not match:
            raise ValueError(f"row {row!r}, grid line {line + 1}: {mark!r} is no figure")
        return Stroke(line, lines, row, match["tones"], bool(match["accent"]))
    if kind == "comping" and (row not in _CHORD_ROWS or mark not in _CHORD_MARKS):
        raise ValueError(f"row {row!r}, grid line {line + 1}: {mark!r} is no comping mark")
    return Stroke(line, lines, row, mark, mark.isupper())
