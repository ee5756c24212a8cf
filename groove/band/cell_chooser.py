"""Chooses the cells that a player plays, bar by bar, so that a track breathes.

A phrase has a home cell and an answer to it, at the level that the band has reached; when the band
comes near the next level, the answer is already from that level. After the first bars, in which
the groove is stated, home and answer are more and more often derived from the written cells, those
first that were not heard yet; a form, and a section, begins with a cell as it is written. A cell of
two bars keeps to pairs of bars counted from the start, so that a clave never flips.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from random import Random

from groove.band.variation.variations import Heard, variations_of
from groove.form.chart import Bar
from groove.form.road.phrasing import PHRASE
from groove.rhythm.box_notation import Cell, Stroke
from groove.rhythm.kit import TIMEKEEPERS
from groove.rhythm.patterns import Pattern

HOME, ANSWER = "H", "A"
COURSES = ("HHHA", "HAHA", "HHAH", "HAHH")  # the four bars of a phrase
STEP_SPREAD = 0.15  # how far from half-way between two levels a player may change
REACH = 0.25  # how far ahead of the band's intensity an answer may be
JUMP = 0.5  # a change of intensity that is followed within a phrase
BACKBEAT = (SNARE, RIM) = ("snare", "side-stick")
STAYS = 0.5  # how likely a home cell is kept for the next phrase at its level
STATED = 8  # bars that are played as they are written
# How likely a cell is derived, by its place in the phrase: on drums, and with chords.
DRUMS_VARIED = {HOME: 0.4, ANSWER: 0.6}
CHORDS_VARIED = {HOME: 0.6, ANSWER: 0.95}
BUSY = 12  # strokes of a drum cell, of which a fill leaves enough to know it by
MORE_VARIED = 1.6  # times as likely where bars have few strokes, or one cell is two bars


@dataclass(frozen=True, slots=True)
class PlayedBar:
    """A bar with the strokes chosen for it, lines counted from its start."""

    bar: Bar
    strokes: tuple[Stroke, ...]
    held: bool


class Levels:
    """The level that a player plays at, by the band's intensity.

    The intensities at which the level changes are drawn once, so that a rising band does not
    waver.
    """

    def __init__(self, rng: Random) -> None:
        self._steps = [level + 0.5 + rng.uniform(-STEP_SPREAD, STEP_SPREAD) for level in (1, 2)]

    def at(self, intensity: float) -> int:
        """The level, 1 to 3, for an intensity from 1 to 3."""
        return 1 + sum(intensity >= step for step in self._steps)


class CellChooser:
    """Chooses the cells for one bar after another, from the pattern of each."""

    def __init__(self, first: Pattern, rng: Random) -> None:
        self._rng, self._levels = rng, Levels(rng)
        self._opened_at = 0.0
        self._place = self._bars = 0
        self._heard: dict[str, set[Heard]] = {}  # everywhere, and under which chord
        self._under = ""
        self._course = COURSES[0]
        self._begin(first)

    def _begin(self, pattern: Pattern) -> None:
        self._pattern = pattern
        self._variations = variations_of(pattern)
        self._opens = True
        self._home = self._written = self._answer = self._answered = pattern.cells[0]
        self._pair: Cell | None = None

    def next(self, bar: Bar, pattern: Pattern, index: int) -> PlayedBar:
        """The strokes for a bar; index counts the bars from the first chorus on."""
        if pattern != self._pattern:
            self._begin(pattern)
        self._under = str(bar.slots[0].chord)
        jumps = abs(bar.intensity - self._opened_at) > JUMP
        if self._opens or jumps:
            self._open_phrase(bar.intensity, bar.top or bar.in_section == 1)
        if jumps:
            self._pair, self._home = None, self._written
        second = index % 2 == 1 and self._pair is not None
        cell = self._pair if second and self._pair else self._due(bar)
        self._pair = None if second or not self._is_pair(cell) else cell
        look = self._variations.look(cell)
        for under in ("", str(bar.slots[0].chord)):
            self._heard.setdefault(under, set()).add(look)
        self._place += 1
        self._bars += 1
        self._opens = bool(bar.turn)
        return _bar_of(cell, bar, index, pattern.grid.lines)

    def others(self, bar: Bar, pattern: Pattern, index: int) -> list[PlayedBar]:
        """A bar with each of the cells at its level."""
        cells = pattern.cells_at(self._levels.at(bar.intensity))
        return [_bar_of(cell, bar, index, pattern.grid.lines) for cell in cells]

    def _open_phrase(self, intensity: float, begins: bool) -> None:
        """Choose home and answer; at one level the voices that keep time change only where a chorus
        or a section begins."""
        rng = self._rng
        cells = self._pattern.cells_at(self._levels.at(intensity))
        if self._written not in cells or rng.random() >= STAYS:
            goes_on = not begins and self._written in cells
            same = [cell for cell in cells if timekeeper(cell) == timekeeper(self._written)]
            self._written = rng.choice(same if goes_on else cells)
            self._home = self._varied(self._written, HOME)
        ahead = self._pattern.cells_at(self._levels.at(intensity + REACH))
        look = self._variations.look(self._written)
        answers = [
            cell
            for cell in (ahead if rng.random() < STAYS else cells)
            if timekeeper(cell) == timekeeper(self._written) and self._variations.look(cell) != look
        ]
        self._answered = rng.choice(answers) if answers else self._written
        varied = self._varied(self._answered, ANSWER)
        self._answer = varied if answers else self._derived(self._written)
        self._course = rng.choice(COURSES)
        self._place = 0
        self._opened_at = intensity

    def _varied(self, cell: Cell, place: str) -> Cell:
        """A cell as it is written, or one derived from it, one not heard before if there is any."""
        more = self._variations.is_sparse or self._is_pair(cell)
        varied = CHORDS_VARIED if self._variations.is_pitched else DRUMS_VARIED
        likely = varied[place] * (MORE_VARIED if more else 1)
        if self._bars < STATED or self._rng.random() >= likely:
            return cell
        return self._derived(cell)

    def _derived(self, cell: Cell) -> Cell:
        """A cell derived from one; the cell itself where there is none."""
        others = [
            other
            for other in self._pattern.cells
            if (other.level, other.lines) == (cell.level, cell.lines)
            and timekeeper(other) == timekeeper(cell)
        ]
        derived = self._variations.fresh(
            cell, others, *(self._heard.get(under, set()) for under in ("", self._under))
        )
        return self._rng.choice(derived) if derived else cell

    def _due(self, bar: Bar) -> Cell:
        """The next cell of the phrase; a two-bar cell answers where its second bar would lie."""
        place = self._place + self._is_pair(self._home)
        on_drums = not self._variations.is_pitched
        if on_drums and bar.turn and len(self._written.strokes) < BUSY:
            return self._written  # what a fill leaves of the bar is the groove
        if self._course[place % PHRASE] == ANSWER:
            again = ANSWER in self._course[: place % PHRASE]
            if again and self._variations.is_sparse and self._variations.is_pitched:
                return self._varied(self._answered, ANSWER)
            return self._answer
        states = bar.top or bar.in_section == 1 or (on_drums and not self._place)
        return self._written if states else self._home

    def _is_pair(self, cell: Cell) -> bool:
        return cell.lines > self._pattern.grid.lines


def _bar_of(cell: Cell, bar: Bar, index: int, lines: int) -> PlayedBar:
    """A bar of so many lines with a cell, or with its half where the cell has two bars."""
    if cell.lines == lines:
        return PlayedBar(bar, cell.strokes, cell.held)
    offset = lines if index % 2 else 0
    strokes = tuple(
        replace(s, line=s.line - offset) for s in cell.strokes if offset <= s.line < offset + lines
    )
    held = cell.held if not offset else any(s.line < lines < s.line + s.lines for s in cell.strokes)
    return PlayedBar(bar, strokes, held)


def timekeeper(cell: Cell) -> str:
    """The voices by which a drum cell keeps time, which do not change from bar to bar: that of the
    hand that keeps it, the hat open or closed, and the rim where the rim has the backbeat."""
    strokes = Counter(
        "hat" if s.row == "hat-open" else s.row for s in cell.strokes if s.row in TIMEKEEPERS
    )
    hand = max(strokes, key=lambda row: (strokes[row], row), default="")
    backbeat = Counter(s.row for s in cell.strokes if s.row in BACKBEAT and s.mark != "o")
    return f"{hand} {RIM}" if backbeat[RIM] > backbeat[SNARE] else hand
