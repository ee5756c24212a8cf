"""Forms for the tests of the band, random and shipped ones, and the notes that sound in them at
a time."""

from __future__ import annotations

import os
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import product
from random import Random
from typing import Any

from hypothesis import strategies as st

import groove
from groove import library
from groove.band.bass.bassist import play_bass
from groove.band.comping.comper import play_comping
from groove.band.drummer import play_drums
from groove.band.part import GridNote, Part
from groove.band.plan.plan import Plan
from groove.band.plan.planner import planned
from groove.band.take import Take, play, record
from groove.form.build import Layer, build
from groove.form.chart import Bar, Chart, Slot
from groove.form.model import FEELS, Form
from groove.form.unroll import unroll
from groove.rhythm.patterns import READERS, Pattern

GOING_ON = ("hit", "ring", "loop")

DEGREES = ("I", "bII", "II", "bIII", "III", "IV", "#IV", "V", "bVI", "VI", "bVII", "VII")
QUALITIES = (
    "", "m", "7", "m7", "maj7", "m7b5", "dim7", "7alt", "sus4", "7sus4", "sus2", "6", "m6",
    "6/9", "9", "maj9", "m9", "13", "7b9", "7#9", "7#11", "+", "dim", "m(maj7)",
)  # fmt: skip
SLASHES = ("/3", "/5", "/b7", "/2")
KEYS = ("C", "G", "F#", "Bb", "Db", "Am", "Ebm", "C#m", "Fm")
SPLITS = (
    ("2",), ("1",), ("1",), ("1/2", "1/2"), ("3/4", "1/4"), ("1/4", "3/4"),
    ("1/2", "1/4", "1/4"), ("1/4",) * 4, ("3/2", "1/2"),
)  # fmt: skip


def _start(note: GridNote) -> int:
    return note.start


@dataclass(frozen=True)
class Played:
    """A form with everything that the band makes of it."""

    form: Form

    @cached_property
    def _longest(self) -> dict[str, int]:
        return {}

    @cached_property
    def plan(self) -> Plan:
        return planned(unroll(self.form))

    @property
    def chart(self) -> Chart:
        """As it is performed."""
        return self.plan.chart

    @property
    def parts(self) -> tuple[Part, ...]:
        return self.drums, self.bass, self.comping

    # Each player is played only where a test looks at them, as ``play`` would play all.

    @cached_property
    def drums(self) -> Part:
        return play_drums(self.plan, self._chance("drums"))

    @cached_property
    def bass(self) -> Part:
        return play_bass(self.plan, self.drums, self._chance("bass"))

    @cached_property
    def comping(self) -> Part:
        return play_comping(self.plan, self.drums, self._chance("comping"), self.bass)

    def _chance(self, player: str) -> Random:
        return Random(f"{self.form.seed} {player}")

    @cached_property
    def take(self) -> Take:
        return record(self.plan, self.parts)

    @property
    def beat(self) -> int:
        return self.form.meter.beat_ticks

    @property
    def bar(self) -> int:
        return self.form.meter.bar_ticks

    @property
    def in_form(self) -> list[Bar]:
        """The bars of all choruses, without the ending's."""
        return [bar for bar in self.chart.bars if bar.number]

    @cached_property
    def chorus_drums(self) -> list[list[GridNote]]:
        return [self.during(self.drums, *span) for span in self._choruses()]

    def _choruses(self) -> list[tuple[int, int]]:
        size = self.form.bars * self.bar
        starts = [self.chart.start + number * size for number in range(self.form.choruses)]
        return [(start, start + size) for start in starts]

    def during(self, part: Part, start: int, end: int) -> list[GridNote]:
        """The notes of a part that begin in a stretch of time."""
        low, high = (bisect_left(part.notes, at, key=_start) for at in (start, end))
        return list(part.notes[low:high])

    def sounding(self, part: Part, start: int, end: int) -> list[GridNote]:
        """The notes of a part that sound in a stretch of time."""
        if part.name not in self._longest:
            self._longest[part.name] = max((note.length for note in part.notes), default=0)
        low = bisect_right(part.notes, start - self._longest[part.name], key=_start)
        high = bisect_left(part.notes, end, key=_start)
        return [note for note in part.notes[low:high] if note.start + note.length > start]

    def place(self, tick: int) -> str:
        """Chorus, bar and beat of a time, as musicians count, for a failing test to say."""
        bars, inside = divmod(tick - self.chart.start, self.bar)
        chorus, bar = divmod(bars, self.form.bars)
        return f"chorus {chorus + 1} bar {bar + 1} beat {1 + inside / self.beat:.2f}"


def form_of(chords: str = "I7:4 IV7:2 I7:2 V7 IV7 I7:2", **fields: Any) -> Form:
    """The form of some fields; without percussion and with a short last stroke, unless they name
    others."""
    usual = {"chords": chords, "key": "C", "percussion": "none", "ending": "hit"}
    return build([Layer(usual | fields, lambda field: field)])


def played(chords: str = "I7:4 IV7:2 I7:2 V7 IV7 I7:2", **fields: Any) -> Played:
    return Played(form_of(chords, **fields))


@cache
def all_patterns(kind: str) -> tuple[Pattern, ...]:
    return tuple(READERS[kind](name) for name in library.names(kind))


EVERY = "GROOVE_EVERY_PATTERN" in os.environ
"""Whether laws of the players are tried with every pattern, which takes long."""


@cache
def some(kind: str) -> tuple[str, ...]:
    """The names of patterns of a kind: one of each metre, feel, grid and family or voicing; all of
    them where every pattern is to be tried."""
    if EVERY:
        return library.names(kind)
    found: dict[object, str] = {}
    for pattern in all_patterns(kind):
        of = getattr(pattern, "family", getattr(pattern, "voicing", ""))
        grid = pattern.grid
        found.setdefault((str(grid.meter), grid.feel, grid.lines_per_beat, of), pattern.name)
    return tuple(found.values())


Player = Callable[[Pattern], bool]
"""A condition that a test sets for the pattern that a player plays."""


@cache
def fitting(kind: str, drums: str, feel: str, such: Player) -> tuple[str, ...]:
    """The patterns of a kind that can go with a drum pattern and a feel."""
    meter = READERS["drums"](drums).grid.meter
    return tuple(
        player.name
        for player in all_patterns(kind)
        if player.grid.meter == meter and player.grid.takes(feel) and such(player)
    )


@cache
def shipped_band() -> tuple[Played, ...]:
    """Every drum pattern with shipped forms in its metre and the pattern's own feel: one of the
    forms in turn, or each of them where every pattern is to be tried."""
    forms: dict[str, list[str]] = {}
    for name in library.names("forms"):
        forms.setdefault(library.load("forms", name).get("meter", "4/4"), []).append(name)
    pairs = [
        (name, drums.name)
        for number, drums in enumerate(all_patterns("drums"))
        if (fit := forms.get(str(drums.grid.meter)))
        for name in (fit if EVERY else [fit[number % len(fit)]])
    ]
    return tuple(
        Played(groove.read_form(name, drums=drums, choruses=2, seed=seed, ending="hit"))
        for seed, (name, drums) in enumerate(pairs)
    )


@st.composite
def chord_lines(draw: st.DrawFn, bars: int = 12) -> str:
    """A line of numerals that fills whole bars, about so many at most."""
    words = []
    for _ in range(draw(st.integers(1, max(1, bars // 2)))):
        for length in draw(st.sampled_from(SPLITS)):
            slash = draw(st.sampled_from(("", "", "", "", *SLASHES)))
            quality = draw(st.sampled_from(QUALITIES))
            if quality == "6" and slash in ("/3", "/5"):
                quality = "maj6"  # 6/3 and 6/5 are figured bass
            words.append(f"{draw(st.sampled_from(DEGREES))}{quality}{slash}:{length}")
    return " ".join(words)


def any_player(player: Pattern) -> bool:
    return True


@cache
def grooves_for(bass: Player, comping: Player) -> tuple[tuple[str, str], ...]:
    """Names of drum patterns and feels for which there are such a bassist and such a comper.

    Names, for what examples are drawn from is hashed, and a pattern's hash is that of every stroke.
    """
    return tuple(
        (drums.name, feel)
        for drums, feel in product(all_patterns("drums"), FEELS)
        if drums.grid.takes(feel)
        and fitting("bass", drums.name, feel, bass)
        and fitting("comping", drums.name, feel, comping)
    )


@st.composite
def bands(
    draw: st.DrawFn,
    bars: int = 12,
    choruses: int = 6,
    bass: Player = any_player,
    comping: Player = any_player,
    endings: Sequence[str] = GOING_ON,
) -> Played:
    """A form at random with its band: chords, key, tempo, patterns, feel, ending and seed.

    A law's conditions for its players are set here, so that no example is drawn in vain.
    """
    drums, feel = draw(st.sampled_from(grooves_for(bass, comping)))
    return played(
        draw(chord_lines(bars)),
        key=draw(st.sampled_from(KEYS)),
        tempo=draw(st.integers(40, 300)),
        feel=feel,
        drums=drums,
        bass=draw(st.sampled_from(fitting("bass", drums, feel, bass))),
        comping=draw(st.sampled_from(fitting("comping", drums, feel, comping))),
        choruses=draw(st.integers(1, choruses)),
        count_in=draw(st.integers(0, 2)),
        ending=draw(st.sampled_from(endings)),
        seed=draw(st.integers(0, 9999)),
    )


def take_of(chart: Chart) -> Take:
    """The take of a performance of a chart."""
    plan = planned(chart)
    return record(plan, play(plan))


def pitch_classes(slot: Slot) -> set[int]:
    return {note.pitch_class for note in slot.chord.notes}
