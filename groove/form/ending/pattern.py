"""Endings, read from ``patterns/endings/NAME.toml``, checked, and typed.

An ending is some bars that follow the last chorus. It is written once for each metre and division
of the beat that it fits, its chords once for each kind of home chord: ``major``, ``minor``,
``dominant`` (as in a blues) or ``any``. ``I`` and ``i`` alone are the home chord as the form has
it.

A bar has rows of box notation: ``all`` for what the whole band strikes together, and rows for the
drums, the bass and the players of chords. A player without a row plays what all play, else goes on
as before. A row of one beat goes on through its bar. ``once = true`` is one stroke of all on the
first beat that lasts the bar. A bar without any row is played in time, the last bar of the ending
as one stroke.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from groove import library
from groove.errors import GrooveError
from groove.form.chordline import Span, parse_chords
from groove.form.model import bars_of
from groove.rhythm.box_notation import (
    Cell,
    Grid,
    Stroke,
    bass_mark,
    comping_mark,
    drum_mark,
    read_cell,
)
from groove.rhythm.meter import METERS, Meter
from groove.rhythm.pattern_table import Table
from groove.rhythm.patterns import ENDS

ANY = "any"
HOMES = ("major", "minor", "dominant", ANY)
MOST_SLOWED = 40  # percent
EVERY_TEMPO = 0, 10**6  # beats a minute
MARKS = {"drums": drum_mark, "bass": bass_mark, "comping": comping_mark}


class EndingError(GrooveError, ValueError):
    """A fault in the file of an ending; its text names the file and the key."""


@dataclass(frozen=True, slots=True)
class EndingBar:
    """The rows of one bar, each as a cell; players whose row is left out are not in `own`.

    together: what all play who have no row of their own, None if they go on as before. once:
    whether that is one stroke that lasts the bar, and the drummer's row sounds under it. hold:
    whether its last stroke is held under a fermata.
    """

    together: Cell | None = None
    once: bool = False
    own: tuple[tuple[str, Cell], ...] = ()
    hold: bool = False

    @property
    def is_plain(self) -> bool:
        """Whether it has no row at all."""
        return self.together is None and not self.own and not self.once


@dataclass(frozen=True, slots=True)
class Version:
    """An ending in some metres.

    meters: their names, none if it fits any. tempo: beats a minute between which it fits. beat:
    grid lines in a beat. only_with: grid lines in a beat of the drum patterns that it fits, none if
    it fits all. chords: the line of chords by the kind of home chord.
    """

    meters: tuple[str, ...]
    tempo: tuple[int, int]
    beat: int
    only_with: tuple[int, ...]
    chords: tuple[tuple[str, tuple[Span, ...]], ...]
    bars: tuple[EndingBar, ...]

    def fits(self, meter: Meter, tempo: float, drums: Grid) -> bool:
        """True if it can be played in a metre, at a tempo, with drums that have a grid."""
        if self.meters and str(meter) not in self.meters:
            return False
        if not self.tempo[0] <= tempo < self.tempo[1]:
            return False
        in_threes = meter.is_compound or drums.is_triplet
        if self.beat > 1 and (self.beat % 3 == 0) != in_threes:
            return False
        return not self.only_with or drums.lines_per_beat in self.only_with

    def spans(self, home: str) -> tuple[Span, ...] | None:
        """The chords where the home chord is of a kind; a blues takes those of a major key where it
        has none of its own. None if there are none."""
        lines = dict(self.chords)
        kinds = (home, "major", ANY) if home == "dominant" else (home, ANY)
        return next((lines[kind] for kind in kinds if kind in lines), None)


@dataclass(frozen=True, slots=True)
class Ending:
    """An ending.

    title, about: for people. styles: families of drum patterns, and names of drum patterns, that
    the band chooses it for, or ``any``; without: names of those that it doesn't. tempo: beats a
    minute between which it does. ritardando: percent by which the tempo has fallen at the last
    stroke, 0 for none. last: whether the last chord is a short stroke, ``hit``, or rings.
    """

    name: str
    title: str
    about: str
    styles: tuple[str, ...]
    without: tuple[str, ...]
    tempo: tuple[int, int]
    ritardando: int
    last: str
    versions: tuple[Version, ...]


@cache
def ending(name: str) -> Ending:
    """A shipped ending. Raises EndingError for a faulty file."""
    try:
        table = Table(library.load("endings", name))
        drums = library.names("drums")
        families = library.table("mix")["balance"]["families"]
        chords, hold = table.take("chords", dict, {}), table.take("hold", bool, False)
        found = Ending(
            name=name,
            title=table.take("title", str),
            about=table.take("about", str),
            styles=_names(table, "styles", {*families, *drums, ANY}),
            without=_names(table, "without", {*drums}),
            tempo=_tempo(table),
            ritardando=table.whole("ritardando", 0, MOST_SLOWED, 0),
            last=table.choice("last", ENDS),
            versions=tuple(
                _version(version, chords, hold)
                for version in (table.tables("versions") if "versions" in table else [Table({})])
            ),
        )
        table.end()
        return found
    except ValueError as error:
        raise EndingError(f"patterns/endings/{name}.toml: {error}") from None


def _names(table: Table, key: str, allowed: set[str]) -> tuple[str, ...]:
    found = table.take(key, list, [])
    for name in found:
        if name not in allowed:
            raise table.error(key, f"found {name!r}; {', '.join(sorted(allowed))} are allowed")
    return tuple(found)


def _tempo(table: Table) -> tuple[int, int]:
    return table.span("tempo") if "tempo" in table else EVERY_TEMPO


def _version(table: Table, usual: Mapping[str, Any], hold: bool) -> Version:
    """usual: chords, and hold: of the whole ending, where the version has none of its own."""
    meters = tuple(table.take("meters", list, []))
    if any(meter not in METERS for meter in meters):
        raise table.error("meters", f"found {list(meters)}; {', '.join(METERS)} are allowed")
    beat = table.whole("beat", 1, 12, 1)
    only_with = tuple(table.take("only_with", list, []))
    if any(type(lines) is not int for lines in only_with):
        raise table.error("only_with", f"found {list(only_with)}; whole numbers are needed")
    chords = {**usual, **table.take("chords", dict, {})}
    lines: dict[str, tuple[Span, ...]] = {}
    for home, text in chords.items():
        if home not in HOMES:
            raise table.error("chords", f"found {home!r}; {', '.join(HOMES)} are allowed")
        try:
            lines[home] = parse_chords(text)
        except ValueError as error:
            raise table.error("chords", f"{home}: {error}") from None
    if not lines:
        raise table.error("chords", "missing")
    sizes = {bars_of(spans) for spans in lines.values()}
    bars = (EndingBar(),) * (max(sizes) - 1) + (EndingBar(hold=hold),)
    if "bars" in table:
        sizes_of_row = _row_sizes(meters, beat)
        bars = tuple(_bar(bar, sizes_of_row) for bar in table.tables("bars"))
        bars = (*bars[:-1], replace(bars[-1], hold=bars[-1].hold or hold))
    if sizes != {len(bars)}:
        raise table.error("chords", f"fill {sorted(sizes)} bars, and there are {len(bars)}")
    tempo = _tempo(table)
    table.end()
    return Version(meters, tempo, beat, only_with, tuple(lines.items()), bars)


def _row_sizes(meters: tuple[str, ...], beat: int) -> set[int]:
    """The lengths that a row may have: a beat, or a bar of one of the metres."""
    return {beat} | {beat * METERS[m].bar_ticks // METERS[m].beat_ticks for m in meters}


def _bar(table: Table, sizes: set[int]) -> EndingBar:
    together = None
    if "all" in table:
        together = _cell(table, {"all": table.take("all", str)}, _together_mark, sizes)
    own = []
    for player, mark in MARKS.items():
        if player in table:
            rows = {"line": table.take(player, str)} if player == "bass" else (
                table.take(player, dict)
            )  # fmt: skip
            own.append((player, _cell(table, rows, mark, sizes)))
    once, hold = table.take("once", bool, False), table.take("hold", bool, False)
    table.end()
    return EndingBar(together, once, tuple(own), hold)


def _cell(table: Table, rows: dict[str, str], mark: Any, sizes: set[int]) -> Cell:
    try:
        cell = read_cell(1, rows, mark)
    except ValueError as error:
        raise table.error(next(iter(rows)), str(error)) from None
    if cell.lines not in sizes:
        allowed = " or ".join(map(str, sorted(sizes)))
        raise table.error(next(iter(rows)), f"{cell.lines} lines in a row, {allowed} are needed")
    return cell


def _together_mark(row: str, mark: str) -> Stroke | None:
    return Stroke(0, 1, row, mark, mark.isupper()) if mark in "xX" else None
