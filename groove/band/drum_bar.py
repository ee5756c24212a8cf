"""Bars of the drum part: strokes with a lift, a fill or a gesture, thinned, for two hands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from random import Random

from groove.band.part import COMPING, DRUMS, GridNote, weight
from groove.form.chart import Bar
from groove.rhythm.box_notation import Cell, Stroke
from groove.rhythm.kit import FOOT, HAND, KIT, TIMEKEEPERS
from groove.rhythm.patterns import DrumPattern

HANDS = 2
GHOST_KEPT = {DRUMS: 1.0, "": 0.8, COMPING: 0.4}  # of the snare's ghost notes, by who leads
MOST_THINNED = 5  # one stroke in so many may be left out

Look = frozenset[tuple[int, str]]  # line and voice of each stroke of a bar


@dataclass(frozen=True)
class DrumBar:
    """A bar of the drum part.

    index: counts bars for cells of two bars. base: the strokes of its cell. fill: the fill that its
    last lines are, or the gesture over them. lift: the voice that marks its first beat.
    """

    bar: Bar
    index: int
    base: tuple[Stroke, ...]
    strokes: tuple[Stroke, ...]
    fill: Cell | None = None
    lift: str = ""

    @cached_property
    def look(self) -> Look:
        """Line and voice of each stroke: bars that share them count as the same."""
        return frozenset((s.line, s.row) for s in self.strokes)

    @property
    def firm(self) -> Look:
        """The same without ghost notes."""
        return firm(self.strokes)


def first_fill(bars: Sequence[DrumBar]) -> Cell | None:
    """The first fill of some bars."""
    return next((bar.fill for bar in bars if bar.fill), None)


def with_fill(bar: Bar, strokes: tuple[Stroke, ...], lift: str, fill: Cell) -> DrumBar:
    """The bar with a fill at its end: in place of all voices but those that are kept, or over them
    where it adds to the groove."""
    start = bar.drums.grid.lines - fill.lines
    moved = tuple(replace(s, line=s.line + start) for s in fill.strokes)
    if fill.adds:
        kept = beside(moved, strokes, bar.drums.keeps)
    else:
        kept = tuple(s for s in strokes if s.line < start or s.row in bar.drums.keeps)
    return DrumBar(bar, bar.pair, strokes, kept + moved, fill, lift)


def beside(
    added: tuple[Stroke, ...], strokes: tuple[Stroke, ...], keeps: tuple[str, ...]
) -> tuple[Stroke, ...]:
    """The strokes of a groove that go on beside those added to it: where they take a hand, it
    leaves what it plays, what is kept and the heaviest strokes last."""
    struck = {(s.line, piece(s.row)) for s in added}
    hands = Counter(s.line for s in added if KIT[s.row].limb == HAND)
    kept = []
    for stroke in sorted(strokes, key=lambda s: (s.row not in keeps, -weight(s.mark, s.accent))):
        if (stroke.line, piece(stroke.row)) in struck:
            continue
        if stroke.line in hands and KIT[stroke.row].limb == HAND:
            if hands[stroke.line] >= HANDS:
                continue
            hands[stroke.line] += 1
        kept.append(stroke)
    return tuple(sorted(kept, key=lambda s: (s.line, s.row)))


@lru_cache(maxsize=64)
def grooves(drums: DrumPattern) -> frozenset[Look]:
    """The bars of a pattern's cells without their ghost notes."""
    size = drums.grid.lines
    return frozenset(
        firm(replace(s, line=s.line - first) for s in cell.strokes if 0 <= s.line - first < size)
        for cell in drums.cells
        for first in range(0, cell.lines, size)
    )


def firm(strokes: Iterable[Stroke]) -> Look:
    return frozenset((s.line, s.row) for s in strokes if s.mark != "o")


def piece(row: str) -> str:
    """The piece of the kit that a voice is struck on."""
    return "hat" if row == "hat-open" else row


def thinned(
    strokes: tuple[Stroke, ...], rng: Random, kept_ghosts: float = GHOST_KEPT[""]
) -> tuple[Stroke, ...]:
    """The strokes of a bar, a few of the snare's ghost notes left out by chance.

    kept_ghosts: how likely one is kept, 0 to 1.
    """
    most = len(strokes) // MOST_THINNED
    kept = []
    for stroke in strokes:
        ghost = stroke.mark == "o" and stroke.row == "snare"
        if ghost and most and rng.random() >= kept_ghosts:
            most -= 1
        else:
            kept.append(stroke)
    return tuple(kept)


def lifted(
    strokes: tuple[Stroke, ...], voice: str, keeps: tuple[str, ...] = ()
) -> tuple[Stroke, ...]:
    """A bar that begins with a lift: the timekeeping hand leaves its voice for that stroke.

    The other hand keeps one stroke, of a voice in ``keeps`` if there is one; the kick joins in.
    """
    first = [s for s in strokes if s.line == 0]
    gives_way = set(TIMEKEEPERS) - set(keeps)
    others = [s for s in first if KIT[s.row].limb == HAND and s.row not in gives_way]
    others.sort(key=lambda s: (s.row not in keeps, -weight(s.mark, s.accent)))
    feet = [s for s in first if KIT[s.row].limb == FOOT]
    if all(s.row != "kick" for s in feet):
        feet.append(Stroke(0, 1, "kick", "x"))
    rest = [s for s in strokes if s.line]
    return (Stroke(0, 1, voice, "x"), *others[: HANDS - 1], *feet, *rest)


def with_two_hands(notes: list[GridNote], keeps: tuple[str, ...] = ()) -> list[GridNote]:
    """The notes that two hands and two feet can strike, the weightiest kept.

    One foot each for kick and hi-hat pedal; one stroke a voice at a time; a flam or a drag is a
    plain stroke where the other hand is busy. keeps: rows that are played before all others, so
    that a clave never breaks.
    """
    by_time: dict[int, list[GridNote]] = {}
    for note in notes:
        by_time.setdefault(note.start, []).append(note)
    playable = []
    for start in sorted(by_time):
        struck: dict[str, GridNote] = {}
        hands = 0
        for note in sorted(by_time[start], key=lambda n: (n.row not in keeps, -n.weight, n.pitch)):
            if note.row in struck or (KIT[note.row].limb == HAND and hands == HANDS):
                continue
            hands += KIT[note.row].limb != FOOT
            struck[note.row] = note
        if hands == HANDS:
            struck = {row: replace(n, graces=0) if n.graces else n for row, n in struck.items()}
        playable += sorted(struck.values(), key=lambda note: note.pitch)
    return playable
