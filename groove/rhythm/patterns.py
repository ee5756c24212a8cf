"""Drum, bass, comping and percussion patterns: read from their files, checked, and typed.

A pattern file is checked as a whole when it is read: an unknown key, a value of another type or
a value out of range is refused with the file and the key.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

from groove import library
from groove.errors import GrooveError
from groove.rhythm.box_notation import (
    STROKE,
    Cell,
    Grid,
    ReadMark,
    bass_mark,
    comping_mark,
    drum_mark,
)
from groove.rhythm.kit import INSTRUMENTS, KIT, KITS
from groove.rhythm.meter import SIGNATURES, Meter
from groove.rhythm.pattern_table import Table

FEELS = ("straight", "shuffle", "swing")
ENDS = ("hit", "ring")
SWINGS = (8, 16)
KEEP, THIN = "keep", "thin"
UNDER_FILLS = ("rest", "light", KEEP)
LEFT_HANDS = ("", "shell", "root", "tenth", "octave")
LEFT_REGISTER = (43, 58)  # MIDI notes
STRUMS = ("alternate", "down", "pluck")
USUAL_SHAPES = ["barres", "ninths", "drop-three", "drop-two", "top-sevenths", "top-triads"]
LEVELS = 3
ANY_TEMPO = 1000  # beats a minute
LARGEST = 127  # value of a MIDI controller, and MIDI note


class PatternError(GrooveError, ValueError):
    """A fault in a pattern file; its text names the file and the key."""


@dataclass(frozen=True, slots=True)
class Controllers:
    """A part's place in the mix: values of MIDI controllers 7, 10 and 91, 0 to 127 each."""

    volume: int
    pan: int
    reverb: int


@dataclass(frozen=True, slots=True)
class Lift:
    """The voice that marks the first beat of a chorus, of a section, and of a phrase after a fill.

    phrase: empty where none does. weight: of that stroke, 0 to 1.
    """

    chorus: str = "crash"
    section: str = "crash"
    phrase: str = ""
    weight: float = STROKE


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """The fields that all patterns share.

    title, about: for people. cells: bars and pairs of bars to vary between.
    """

    name: str
    title: str
    about: str
    grid: Grid
    cells: tuple[Cell, ...] = field(repr=False)

    def cells_at(self, level: int) -> tuple[Cell, ...]:
        """The cells for a level, or those of the nearest level that has any."""
        nearest = min({cell.level for cell in self.cells}, key=lambda n: (abs(n - level), n))
        return tuple(cell for cell in self.cells if cell.level == nearest)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrumPattern(Pattern):
    """A drum pattern.

    family: of styles, by which touch, mix and room are chosen. tempo: beats a minute between
    which it sits well. bass, comping: the patterns that go with it. fills: for the end of a bar.
    pickup: strokes for the last beat of the count-in. click: the voice of the count-in. keeps:
    voices that go on through fills and crashes. swings: which note values swing, 8 or 16. ends: how
    a track ends where the form does not say, ``hit`` or ``ring``. kit: in KITS. percussion: the
    instruments that play along where the form does not say.
    """

    mix: Controllers
    kit: str
    percussion: tuple[str, ...]
    family: str
    tempo: tuple[int, int]
    bass: str
    comping: str
    fills: tuple[Cell, ...] = field(repr=False)
    pickup: Cell = field(repr=False)
    ending: Cell = field(repr=False)
    click: str
    keeps: tuple[str, ...]
    lift: Lift
    swings: int
    ends: str
    clave: str
    timeline: str

    @property
    def swing_ticks(self) -> int:
        """The ticks in which a long and a short note share when the pattern swings: a beat where
        its eighths do, half a beat where its sixteenths do."""
        unit = self.grid.meter.beat_ticks // (2 if self.swings == 16 else 1)
        return unit if self.grid.rate == 1 else int(unit / self.grid.rate)


@dataclass(frozen=True, slots=True, kw_only=True)
class BassPattern(Pattern):
    """A bass pattern.

    range: lowest and highest MIDI note where roots lie. held: the part of its written length
    that a note sounds, None for the usual one. late: whether a root may come up to a beat after
    its chord, in idioms that leave the one free. ostinato: whether its file calls it one.
    """

    mix: Controllers
    instrument: str
    range: tuple[int, int]
    held: float | None
    late: bool = False
    ostinato: bool = False

    @property
    def is_tied(self) -> bool:
        """True if the idiom ties over the bar line, as a tumbao does: it has a place of its own
        against the beat, and keeps it under any chords."""
        return any(cell.held for cell in self.cells)

    @property
    def is_ostinato(self) -> bool:
        """True for a figure that comes round as it is written: tied over the bar line, or called
        an ostinato by its file."""
        return self.ostinato or self.is_tied


@dataclass(frozen=True, slots=True, kw_only=True)
class CompingPattern(Pattern):
    """A comping pattern.

    voicing: ``guitar`` or ``keys``. voices: notes of a chord at most. register: its lowest and
    highest MIDI note. colours: whether chords may get a ninth. octave: whether the lowest voice
    sounds again at the top, on keys. pushes: whether a stroke just before a change sounds the
    chord to come. held, ostinato: as in a bass pattern. fills: what it does under the drummer's
    fills, ``keep`` where the style lives on it, or ``thin``: strokes off the beat rest. families:
    of styles, by which a pattern is found that no drum pattern brings.

    On keys, left: what the left hand plays, ``shell``, ``root``, ``tenth``, ``octave`` or nothing,
    in left_register, while register is the right hand's. slides: the share of strokes with a grace
    note from a semitone below. approaches: of changes that are come at through a chord a semitone
    away, where a stroke stands before them. sustain: the pedal; swell and rotary: an organ's.

    On a guitar, shapes: the groups of the library of shapes that it plays, the first the most.
    strum: how the right hand strikes: ``alternate``, down and up as it swings with the grid,
    ``down`` or ``pluck``. capo: whether a capo brings its open chords to the key.
    """

    mix: Controllers
    instrument: str
    voicing: str
    voices: int
    register: tuple[int, int]
    colours: bool
    octave: bool
    pushes: bool
    held: float | None
    fills: str
    clave: str
    left: str = ""
    left_register: tuple[int, int] = LEFT_REGISTER
    slides: float = 0.0
    approaches: float = 0.0
    sustain: bool = False
    swell: bool = False
    rotary: bool = False
    shapes: tuple[str, ...] = ()
    strum: str = "alternate"
    capo: bool = False
    ostinato: bool = False
    families: tuple[str, ...] = ()

    @property
    def is_ostinato(self) -> bool:
        """True for a figure that comes round as it is written: in degrees, along a clave, or
        called an ostinato by its file."""
        figured = any(stroke.row == "line" for cell in self.cells for stroke in cell.strokes)
        return self.ostinato or bool(self.clave) or figured

    @property
    def usual_length(self) -> int:
        """The ticks that a stroke lasts, the median of all cells."""
        lines = sorted(stroke.lines for cell in self.cells for stroke in cell.strokes)
        return lines[len(lines) // 2] * self.grid.line_ticks


@dataclass(frozen=True, slots=True, kw_only=True)
class PercussionPattern(Pattern):
    """A percussion instrument's pattern: its first rhythm, and those for other metres and feels.

    fills: what it does under the drummer's fills, ``rest``, ``light`` (without its ghost notes) or
    ``keep``. ending: the voice of the last stroke. weight: of its strokes, as a share of the
    drummer's. also: metres that are cut from this rhythm's. fastest: beats a minute up to which
    it is played. clave: the one that it keeps. turns: what may end a phrase in place of its own
    strokes, on the grid as it is written. others: the rhythms but the first.
    """

    fills: str
    ending: str
    weight: float
    also: tuple[str, ...]
    fastest: int
    clave: str
    turns: tuple[Cell, ...] = field(default=(), repr=False)
    others: tuple[PercussionPattern, ...] = field(default=(), repr=False)

    @property
    def rhythms(self) -> tuple[PercussionPattern, ...]:
        """All its rhythms."""
        return (self, *self.others)


@cache
def drum_pattern(name: str) -> DrumPattern:
    """A shipped drum pattern. Raises PatternError for a faulty file."""
    with _file("drums", name) as table:
        grid = _grid(table)
        return DrumPattern(
            **_common(name, table, grid, drum_mark),
            kit=table.choice("kit", KITS, "standard"),
            percussion=table.names("percussion", library.names("percussion")),
            family=table.choice("family", library.table("mix")["balance"]["families"]),
            tempo=table.span("tempo"),
            bass=table.choice("bass", library.names("bass")),
            comping=table.choice("comping", library.names("comping")),
            fills=tuple(_fill(fill, grid) for fill in table.tables("fills")),
            pickup=table.table("pickup").cell(drum_mark, {grid.lines_per_beat}),
            ending=table.table("ending").cell(drum_mark, {grid.lines}),
            click=table.choice("click", KIT, "side-stick"),
            keeps=table.voices("keeps"),
            lift=_lift(table.table("lift", {})),
            swings=table.choice("swings", SWINGS, 16 if grid.lines_per_beat == 4 else 8),
            ends=table.choice("ends", ENDS, "hit"),
            clave=table.take("clave", str, ""),
            timeline=table.take("timeline", str, ""),
        )


@cache
def bass_pattern(name: str) -> BassPattern:
    """A shipped bass pattern. Raises PatternError for a faulty file."""
    with _file("bass", name) as table:
        return BassPattern(
            **_common(name, table, _grid(table), bass_mark),
            instrument=table.choice("instrument", INSTRUMENTS),
            range=table.span("range"),
            held=table.part("held"),
            late=table.take("late", bool, False),
            ostinato=table.take("ostinato", bool, False),
        )


@cache
def comping_pattern(name: str) -> CompingPattern:
    """A shipped comping pattern. Raises PatternError for a faulty file."""
    with _file("comping", name) as table:
        return CompingPattern(
            **_common(name, table, _grid(table), comping_mark),
            instrument=table.choice("instrument", INSTRUMENTS),
            voicing=table.choice("voicing", ("guitar", "keys")),
            voices=table.whole("voices", 1, 6),
            register=table.span("register"),
            colours=table.take("colours", bool),
            octave=table.take("octave", bool, False),
            pushes=table.take("pushes", bool, False),
            held=table.part("held"),
            fills=table.choice("fills", (KEEP, THIN), THIN),
            clave=table.take("clave", str, ""),
            left=table.choice("left", LEFT_HANDS, ""),
            left_register=table.span("left_register", LEFT_REGISTER),
            slides=table.number("slides", 0, 1, 0.0),
            approaches=table.number("approaches", 0, 1, 0.0),
            sustain=table.take("sustain", bool, False),
            swell=table.take("swell", bool, False),
            rotary=table.take("rotary", bool, False),
            shapes=_shapes(table),
            strum=table.choice("strum", STRUMS, "alternate"),
            capo=table.take("capo", bool, False),
            ostinato=table.take("ostinato", bool, False),
            families=table.names("families", library.table("mix")["balance"]["families"]),
        )


@cache
def percussion_pattern(name: str) -> PercussionPattern:
    """A shipped percussion pattern. Raises PatternError for a faulty file."""
    with _file("percussion", name) as table:
        shared = {
            "name": name,
            "title": table.take("title", str),
            "about": table.take("about", str),
            "fills": table.choice("fills", UNDER_FILLS),
            "ending": table.choice("ending", KIT),
            "weight": table.number("weight", 0.1, 1.2),
        }
        first, *others = (_rhythm(rhythm, shared) for rhythm in table.tables("rhythms"))
        return replace(first, others=tuple(others))


READERS: dict[str, Callable[[str], Pattern]] = {
    "drums": drum_pattern,
    "bass": bass_pattern,
    "comping": comping_pattern,
    "percussion": percussion_pattern,
}


@contextmanager
def _file(kind: str, name: str) -> Iterator[Table]:
    """The table of a pattern file, of which no key may be left over; errors name the file."""
    try:
        table = Table(library.load(kind, name))
        yield table
        table.end()
    except ValueError as error:
        raise PatternError(f"patterns/{kind}/{name}.toml: {error}") from None


def _grid(table: Table) -> Grid:
    try:
        meter = Meter.parse(table.take("meter", str, "4/4"))
    except ValueError as error:
        raise table.error("meter", str(error)) from None
    grid = Grid(meter, table.take("grid", int), table.choice("feel", FEELS))
    if grid.lines < 1 or meter.bar_ticks % grid.lines or meter.beat_ticks % grid.line_ticks:
        raise table.error("grid", f"{grid.lines} lines do not divide a bar of {meter}")
    return grid


def _common(name: str, table: Table, grid: Grid, read_mark: ReadMark) -> dict[str, Any]:
    """The fields of Pattern, and the mix."""
    mix = table.table("mix")
    common = {
        "name": name,
        "title": table.take("title", str),
        "about": table.take("about", str),
        "grid": grid,
        "cells": _cells(table, grid, read_mark),
        "mix": Controllers(*(mix.whole(key, 0, LARGEST) for key in ("volume", "pan", "reverb"))),
    }
    mix.end()
    return common


def _cells(table: Table, grid: Grid, read_mark: ReadMark) -> tuple[Cell, ...]:
    one_or_two_bars = {grid.lines, 2 * grid.lines}
    return tuple(
        bars.cell(read_mark, one_or_two_bars, bars.whole("level", 1, LEVELS))
        for bars in table.tables("bars")
    )


def _rhythm(table: Table, shared: dict[str, Any]) -> PercussionPattern:
    grid = _grid(table)
    also = table.take("also", list, [])
    if any(meter not in SIGNATURES for meter in also):
        raise table.error("also", f"found {also}; there are: {', '.join(SIGNATURES)}")
    rhythm = PercussionPattern(
        **shared,
        grid=grid,
        cells=_cells(table, grid, drum_mark),
        also=tuple(also),
        fastest=table.whole("fastest", 1, ANY_TEMPO, ANY_TEMPO),
        clave=table.take("clave", str, ""),
        turns=tuple(_fill(turn, grid) for turn in table.tables("turns", may_lack=True)),
    )
    table.end()
    return rhythm


def _shapes(table: Table) -> tuple[str, ...]:
    groups: list[str] = table.take("shapes", list, USUAL_SHAPES)
    allowed = library.names("guitar")
    if not groups or any(name not in allowed for name in groups):
        raise table.error("shapes", f"found {groups}; {', '.join(allowed)} are allowed")
    return tuple(groups)


def _fill(table: Table, grid: Grid) -> Cell:
    beats = table.number("beats", 0.5, grid.meter.bar_ticks / grid.meter.beat_ticks)
    adds = table.take("adds", bool, False)
    return replace(table.cell(drum_mark, {round(beats * grid.lines_per_beat)}), adds=adds)


def _lift(table: Table) -> Lift:
    usual = Lift()
    lift = Lift(
        table.choice("chorus", KIT, usual.chorus),
        table.choice("section", KIT, usual.section),
        table.choice("phrase", ("", *KIT), usual.phrase),
        table.number("weight", 0, 1, usual.weight),
    )
    table.end()
    return lift
