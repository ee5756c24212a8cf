"""Box notation: strokes and cells read from the rows of a pattern file.

Box notation is the way percussion teachers write a groove, one character to a grid line:
``x`` a stroke, ``X`` an accent, ``o`` a ghost note, ``.`` nothing; on snare, toms and timbales
``f`` a flam and ``d`` a drag, ``F`` and ``D`` accented ones. Comping adds ``n`` and
``N``, a stroke that already sounds the chord to come, and ``m`` and ``M``, a palm-muted stroke
of a guitar; its rows are ``chord``, for all voices
of the voicing, and ``voice-1`` (the lowest) to ``voice-4`` and ``top``, for one of them. Its
row ``line`` is words in place of characters: degrees over the root, ``5`` alone or ``1+5``
together, ``!`` before an accent. Bass lines are words too: a degree of the chord, ``n`` the
root to come, ``v`` its fifth, ``a`` an approach by step, ``w`` a note of a walking line, ``x`` a
dead note, with ``,`` and ``'`` for the octave below and above, ``!`` before an accent and ``/``
before a note that is slid into from below. In both ``b3``, ``4`` or ``#4`` is that interval over
the root, whatever the chord has. ``-`` holds the note before it. Spaces between
characters and ``|`` are for the eye only.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from groove.rhythm.kit import DRUMHEADS, KIT
from groove.rhythm.meter import Meter
from groove.theory.pitch import Degree

HOLD, REST = "-", "."
GHOST, STROKE, ACCENT = 0.3, 0.62, 0.8  # weights, 0 to 1, of the marks o, x and X
GRACE_STROKES = {"f": 1, "d": 2}  # soft strokes just before those of the marks f and d
_EXACT = r"[24]|b[2-7]|#[1-5]"  # intervals over the root that are no degrees of a chord
_BASS_WORD = re.compile(
    rf"(?P<accent>!?)(?P<slide>/?)(?P<tone>[1356789navwx]|{_EXACT})(?P<octave>[,']?)"
)
_TONE = rf"(?:[1356789]|{_EXACT})"
_FIGURE_WORD = re.compile(rf"(?P<accent>!?)(?P<tones>{_TONE}(\+{_TONE})?)")
_OCTAVES = {"": 0, ",": -1, "'": 1}
_CHORD_ROWS = ("chord", "voice-1", "voice-2", "voice-3", "voice-4", "top")
_WORDS = "line"  # the row that is words in place of characters


@dataclass(frozen=True, slots=True)
class Stroke:
    """One mark in a cell: its place on the grid, its length in lines, its row and its mark.

    octave: octaves that the mark is moved by, and slide: whether it is slid into, for bass lines.
    mark: the character or word without its octave, accent and slide; an accent makes drum and
    comping marks capital.
    """

    line: int
    lines: int
    row: str
    mark: str
    accent: bool = False
    octave: int = 0
    slide: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """A stretch of box notation: a bar or two of a pattern, a fill, an ending, a pickup.

    level: how busy, 1 to 3. lines: its length in grid lines. held: whether it opens by
    holding the note before it. adds: whether a fill goes over the groove, not in its place.
    """

    level: int
    lines: int
    strokes: tuple[Stroke, ...]
    held: bool = False
    adds: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """The raster a pattern is written on and the feel it is written for.

    lines: grid lines in a bar. rate: 1/2 and 2 where the pattern goes at half or double rate.
    """

    meter: Meter
    lines: int
    feel: str
    rate: Fraction = Fraction(1)

    @property
    def line_ticks(self) -> int:
        """Ticks from one grid line to the next."""
        return self.meter.bar_ticks // self.lines

    @property
    def lines_per_beat(self) -> int:
        """Grid lines in a beat."""
        return self.meter.beat_ticks // self.line_ticks

    @property
    def push_ticks(self) -> int:
        """The ticks by which a pushed chord comes before its beat: half a beat, a third where beats
        have three parts."""
        parts = 3 if self.meter.is_compound or self.is_triplet else 2
        return self.meter.beat_ticks // parts

    @property
    def is_triplet(self) -> bool:
        """True if a simple beat is written in three: such a grid can't be straightened."""
        return not self.meter.is_compound and self.lines_per_beat % 3 == 0

    def takes(self, feel: str) -> bool:
        """True if the pattern can be played with a feel."""
        if self.meter.is_compound or self.meter.is_uneven:
            return feel == "straight"
        return not (self.is_triplet and feel == "straight")


ReadMark = Callable[[str, str], Stroke | None]
"""Reads a mark in a row as a stroke on line 0; None if the row or the mark is unknown."""


def drum_mark(row: str, mark: str) -> Stroke | None:
    """The stroke of a drum mark; its row is a voice of the kit."""
    known = (row in KIT and mark in "xXo") or (row in DRUMHEADS and mark in "fFdD")
    return Stroke(0, 1, row, mark, mark.isupper()) if known else None


def exact_interval(word: str) -> int | None:
    """The semitones over the root of a word that is an interval; None for a degree of the chord.

    >>> [exact_interval(word) for word in ("b3", "4", "#4", "3")]
    [3, 5, 6, None]
    """
    return Degree.parse(word).semitones if re.fullmatch(_EXACT, word) else None


def grace_strokes(mark: str) -> int:
    """The soft strokes just before a drum mark's own: one of a flam, two of a drag.

    >>> [grace_strokes(mark) for mark in "xfD"]
    [0, 1, 2]
    """
    return GRACE_STROKES.get(mark.lower(), 0)


def bass_mark(row: str, mark: str) -> Stroke | None:
    """The note of a word of a bass line."""
    match = _BASS_WORD.fullmatch(mark) if row == _WORDS else None
    if not match:
        return None
    accent, slide, octave = bool(match["accent"]), bool(match["slide"]), _OCTAVES[match["octave"]]
    return Stroke(0, 1, row, match["tone"], accent, octave, slide)


def comping_mark(row: str, mark: str) -> Stroke | None:
    """The stroke of a comping mark, or the figure of a word of its line."""
    if row == _WORDS:
        match = _FIGURE_WORD.fullmatch(mark)
        return Stroke(0, 1, row, match["tones"], bool(match["accent"])) if match else None
    known = row in _CHORD_ROWS and mark in "xXonNmM"
    return Stroke(0, 1, row, mark, mark.isupper()) if known else None


def read_cell(level: int, rows: Mapping[str, str], read_mark: ReadMark) -> Cell:
    """The cell that some rows of box notation make.

    Raises ValueError, naming the row and the grid line, for an unknown row or mark.
    """
    marks = {row: _marks(row, text) for row, text in rows.items()}
    lengths = sorted({len(line) for line in marks.values()})
    if len(lengths) != 1:
        raise ValueError(f"rows of one cell have different lengths: {lengths}")
    strokes = [stroke for row, line in marks.items() for stroke in _strokes(row, line, read_mark)]
    strokes.sort(key=lambda stroke: (stroke.line, stroke.row))
    held = any(line[0] == HOLD for line in marks.values())
    return Cell(level, lengths[0], tuple(strokes), held)


def _marks(row: str, text: str) -> list[str]:
    text = text.replace("|", " ")
    return text.split() if row == _WORDS else list(text.replace(" ", ""))


def _strokes(row: str, marks: list[str], read_mark: ReadMark) -> list[Stroke]:
    strokes = []
    for line, mark in enumerate(marks):
        if mark in (HOLD, REST):
            continue
        lines = 1
        while line + lines < len(marks) and marks[line + lines] == HOLD:
            lines += 1
        stroke = read_mark(row, mark)
        if stroke is None:
            raise ValueError(f"row {row!r}, grid line {line + 1}: unknown mark {mark!r}")
        strokes.append(replace(stroke, line=line, lines=lines))
    return strokes
