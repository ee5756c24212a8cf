"""Derives bars of a drum or percussion pattern by crossing its written cells.

A detail of one cell comes or goes in another: a kick, a ghost note, an open hat, a skip of the
timekeeping hand, a figure of a tom or a conga as a whole. Every detail is one that is written for
that pattern; what all its cells share, backbeat, clave and timeline, is never touched.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from groove.rhythm.box_notation import Cell, Stroke
from groove.rhythm.kit import HAND, KIT
from groove.rhythm.patterns import DrumPattern, Pattern

HANDS = 2
LOOSE = ("kick", "snare", "side-stick", "hat", "ride", "bell", "cowbell", "hat-foot")
"""Voices whose strokes come and go one by one; those of the others only as a whole."""
MOST_PAIRS = 60  # of details
COMES_AND_GOES = ("snare",)  # a voice that a cell may have here and there, or not at all
LEAST = 6  # strokes of a bar for each that comes or goes
BACKBEATS = 2  # firm strokes of the snare in a bar
HATS = ("hat", "hat-open", "hat-foot")  # of which one sounds at a time


@dataclass(frozen=True, slots=True)
class Detail:
    """Strokes that come, and those that go for them.

    whole: the voice of which the bar takes another row as a whole, else empty.
    """

    comes: tuple[Stroke, ...]
    goes: tuple[Stroke, ...]
    bar: int
    whole: str = ""

    @property
    def size(self) -> int:
        """The number of strokes that come or go."""
        return len(self.comes) + len(self.goes)


def crossed(cell: Cell, pattern: Pattern) -> Iterator[Cell]:
    """The cells with one detail of another cell of the pattern, then those with two."""
    lines = pattern.grid.lines
    bars = Counter(stroke.line // lines for stroke in cell.strokes)
    details = [
        detail
        for detail in _details(cell, pattern)
        if detail.size * LEAST <= bars[detail.bar] and _applied(cell, (detail,))
    ]
    pairs = (
        (here, there)
        for apart in range(1, len(details))
        for here, there in zip(details, details[apart:], strict=False)
        if here.bar != there.bar or (here.size + there.size) * LEAST <= bars[here.bar]
    )
    seen = {cell.strokes}
    for chosen in (*((detail,) for detail in details), *islice(pairs, MOST_PAIRS)):
        strokes = _applied(cell, chosen)
        if strokes and strokes not in seen:
            seen.add(strokes)
            yield replace(cell, strokes=strokes)


def _details(cell: Cell, pattern: Pattern) -> Iterator[Detail]:
    lines = pattern.grid.lines
    others = [other for other in pattern.cells if other != cell]
    voices = set(_by_voice(cell.strokes))
    keeps = pattern.keeps if isinstance(pattern, DrumPattern) else ()
    seen: set[tuple[object, ...]] = set()
    for bar in range(cell.lines // lines):
        own = _bar(cell, bar, lines)
        for other in sorted(others, key=lambda other: abs(other.level - cell.level)):
            if abs(other.level - cell.level) > 1:
                continue
            theirs = _bar(other, bar % (other.lines // lines), lines)
            for comes, goes in _differences(own, theirs, voices, keeps):
                first = bar * lines
                voice = (*comes, *goes)[0].row
                whole = voice if voice in keeps or voice not in (*LOOSE, *HATS) else ""
                detail = Detail(_moved(comes, first), _moved(goes, first), bar, whole)
                key = (_looks(detail.comes), _looks(detail.goes))
                if key not in seen:
                    seen.add(key)
                    yield detail


def _differences(
    own: tuple[Stroke, ...], theirs: tuple[Stroke, ...], voices: set[str], keeps: Sequence[str]
) -> Iterator[tuple[tuple[Stroke, ...], tuple[Stroke, ...]]]:
    """The details that one bar has and another lacks: those that come and those that go.

    The hat is one voice, open or closed. keeps: voices that are played as they are written, bar by
    bar.
    """
    mine, other = _by_voice(own), _by_voice(theirs)
    for voice in sorted(mine.keys() | other.keys()):
        here, there = mine.get(voice, {}), other.get(voice, {})
        if voice in keeps:
            if here and there and here.keys() != there.keys():
                yield _beside(there, here), _beside(here, there)
            continue
        if voice not in LOOSE:
            if bool(here) != bool(there):
                yield tuple(there.values()), tuple(here.values())
            continue
        if voice not in COMES_AND_GOES and (voice not in voices or not there):
            continue  # another timekeeper, or another hand on the snare
        if voice == "snare" and _is_backbeat(here) and not any(map(_is_firm, there.values())):
            continue  # the rim has the other's backbeat
        for line in sorted(here.keys() | there.keys()):
            comes, goes = there.get(line), here.get(line)
            if comes and goes and comes.row == goes.row:
                continue
            if any(stroke and stroke.accent for stroke in (comes, goes)) or (goes and not line):
                continue
            if comes and voice not in voices and comes.mark != "o":
                continue
            yield (comes,) if comes else (), (goes,) if goes else ()


def _is_backbeat(strokes: dict[int, Stroke]) -> bool:
    """True if a bar's strokes of the snare are more than a figure in passing."""
    return sum(map(_is_firm, strokes.values())) >= BACKBEATS


def _is_firm(stroke: Stroke) -> bool:
    return stroke.mark != "o"


def _beside(one: dict[int, Stroke], other: dict[int, Stroke]) -> tuple[Stroke, ...]:
    """The strokes of one bar on lines that another leaves free."""
    return tuple(stroke for line, stroke in one.items() if line not in other)


def _by_voice(strokes: tuple[Stroke, ...]) -> dict[str, dict[int, Stroke]]:
    found: dict[str, dict[int, Stroke]] = {}
    for stroke in strokes:
        voice = "hat" if stroke.row == "hat-open" else stroke.row
        found.setdefault(voice, {})[stroke.line] = stroke
    return found


def _applied(cell: Cell, chosen: tuple[Detail, ...]) -> tuple[Stroke, ...] | None:
    """The strokes with some details; None where hands or feet would not do."""
    rows = [(detail.bar, detail.whole) for detail in chosen if detail.whole]
    if len(set(rows)) < len(rows):
        return None
    gone = {(stroke.line, stroke.row) for detail in chosen for stroke in detail.goes}
    strokes = [stroke for stroke in cell.strokes if (stroke.line, stroke.row) not in gone]
    there = {(stroke.line, stroke.row) for stroke in strokes}
    for detail in chosen:
        for stroke in detail.comes:
            if (stroke.line, stroke.row) in there:
                return None
            there.add((stroke.line, stroke.row))
            strokes.append(stroke)
    for line in {stroke.line for detail in chosen for stroke in detail.comes}:
        struck = [row for at, row in there if at == line]
        hands = sum(KIT[row].limb == HAND for row in struck)
        if hands > HANDS or len(set(struck) & set(HATS)) > 1:
            return None
    return tuple(sorted(strokes, key=lambda stroke: (stroke.line, stroke.row)))


def _bar(cell: Cell, bar: int, lines: int) -> tuple[Stroke, ...]:
    first = bar * lines
    return tuple(
        replace(stroke, line=stroke.line - first)
        for stroke in cell.strokes
        if first <= stroke.line < first + lines
    )


def _moved(strokes: tuple[Stroke, ...], first: int) -> tuple[Stroke, ...]:
    return tuple(replace(stroke, line=stroke.line + first) for stroke in strokes)


def _looks(strokes: tuple[Stroke, ...]) -> tuple[tuple[int, str], ...]:
    return tuple((stroke.line, stroke.row) for stroke in strokes)
