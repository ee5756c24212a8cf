"""Touch: how each player strikes the notes of the grid, a little early or late, hard or soft.

A stroke's deviation is the sum of the band's slow drift (``feel.py``), the place of its voice
around the beat, this take's own habits, and jitter; neighbouring strokes are alike, and those
struck together share a part of theirs. Jitter shrinks as strokes get close. Weight begins with
the mark in box notation and follows the metre, the voice, the hand and the level of the band.
Figures: ``patterns/touch/``, which names its sources. The form's ``tightness`` scales all of
it: at 0 the band plays as people were measured, at 1 the bare grid. The count-in is strict.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from math import exp, sqrt
from random import Random
from typing import NamedTuple

from groove.band.part import CHORDAL, COMPING, DRUMS, GridNote, Part, grid_of, pattern_of
from groove.band.touch.feel import BandFeel
from groove.band.touch.line_weight import LineWeight
from groove.band.touch.strum import strum
from groove.rhythm.patterns import CompingPattern

SOFTEST = 6  # velocity
FULL_ARM, LOUDEST = 108.0, 127.0  # velocity above which more effort gives less, and the most
LIGHT_HAND = 20.0  # velocity below which less effort takes away less
ROOM_FOR_JITTER = 150.0  # ms to the nearest stroke of a voice, under which its jitter shrinks
FARTHEST = 0.35  # of the way to the nearest stroke of a voice
KNEE = 0.5  # of the farthest deviation, from where larger ones are drawn in
TOGETHER_MS = 7.0  # where the whole band strikes a figure
LAST_MS = 4.0  # where it strikes the last stroke of a track, for which all look up


class Struck(NamedTuple):
    """A note of the grid as played: start and length in ticks, velocity 1 to 127; and its tick on
    the grid as the form swings it, from which touch has moved it."""

    note: GridNote
    start: int
    length: int
    velocity: int
    grid: int


class Wander:
    """Values of SD 1 that remember: each the more like the one before, the greater memory.

    As people's, they lie far out more often than normal ones, and later more often than earlier.
    memory: 0 to 1, the correlation of neighbours. far: 0 to 0.15, how much more often they lie far
    out: at 0.15 one in ten is twice as far from the middle one as it would be.
    """

    def __init__(self, memory: float, rng: Random, far: float = 0.06) -> None:
        self._memory, self._news, self._gauss = memory, sqrt(1 - memory**2), rng.gauss
        near = sqrt(max(0.0, 1 - 6 * far**2)) - 3 * far  # so that the SD is 1
        self._near, self._far = near, far
        self._value = rng.gauss(0, 1)

    def next(self) -> float:
        """The next value."""
        g = self._gauss(0, 1)
        if not -3 < g < 3:
            g = 3.0 if g > 0 else -3.0
        uneven = g * (self._near + self._far * g * g) + 0.1 * (g * g - 1)
        self._value = self._memory * self._value + self._news * uneven
        return self._value


class PartTiming:
    """The times of a part's notes: swung, and apart from their neighbours of the same voice.

    looseness: the share of touch that the form's tightness leaves, 1 to 0.
    """

    def __init__(self, part: Part, feel: BandFeel) -> None:
        self.feel, self.notes = feel, part.notes
        self.looseness = 1 - feel.chart.form.tightness
        ticks = {n.start for n in part.notes} | {n.start + n.length for n in part.notes}
        self._swung = {
            tick: feel.swung(
                tick,
                grid_of(DRUMS if tick in feel.together else part.name, feel.chart, tick),
            )
            for tick in ticks
        }
        self._room: dict[tuple[str, int], float] = {}
        last: dict[str, int] = {}
        for note in part.notes:
            before = last.get(note.row)
            if before == note.start:
                continue
            here = (note.row, note.start)
            self._room[here] = 1e6
            if before is not None:
                swung = self._swung[note.start] - self._swung[before]
                apart = swung / feel.ticks_per_ms(note.start)
                self._room[here] = apart
                self._room[note.row, before] = min(apart, self._room[note.row, before])
            last[note.row] = note.start
        self._farthest: dict[str, float] = feel.figures["farthest_ms"]
        self._drift = -1, 0.0  # the band's, at the time last asked for

    def groups(self) -> Iterator[tuple[int, list[GridNote]]]:
        """The notes that are struck together, with their time on the grid."""
        for start, notes in groupby(self.notes, lambda note: note.start):
            yield start, list(notes)

    def strict(self, note: GridNote) -> bool:
        """True if a note lies in the count-in."""
        return note.start < self.feel.chart.start

    def room(self, note: GridNote) -> float:
        """Ms from a note to the nearest other of its voice."""
        return self._room[note.row, note.start]

    def start(self, note: GridNote, late: float, sweep: float = 0.0) -> int:
        """The time of a note that comes ``late`` ms late, the band's drift and a strum's sweep
        not counted.

        Voices keep their order: a note never goes far into the room of its neighbours. None strays
        farther from the grid than the figures allow: people do at times, but a band to practise
        with need not.
        """
        farthest = FARTHEST * self._room[note.row, note.start]
        if note.start in self.feel.together:
            apart = LAST_MS if note.start == self.feel.last else TOGETHER_MS
            farthest = min(farthest, apart)
            sweep = max(-apart, min(apart, sweep))
        if late > farthest:
            late = farthest
        elif late < -farthest:
            late = -farthest
        if note.start != self._drift[0]:
            self._drift = note.start, self.feel.drift_at(note.start)
        most = self._farthest.get(note.row) or self._farthest["any"]
        ticks = self.looseness * self.feel.ticks_per_ms(note.start)
        at = self._swung[note.start] + ticks * (drawn_in(late + self._drift[1], most) + sweep)
        return max(0, round(at))

    def grid(self, note: GridNote) -> int:
        """The time of a note on the grid, swung."""
        return max(0, round(self._swung[note.start]))

    def length(self, note: GridNote) -> float:
        """The written length of a note in ticks, swung."""
        return self._swung[note.start + note.length] - self._swung[note.start]

    def strictly(self, note: GridNote) -> Struck:
        """A note of the count-in, where and as it is written."""
        start, weight = round(self._swung[note.start]), round(LOUDEST * note.weight)
        return Struck(note, start, max(1, round(self.length(note))), weight, start)


def touched(part: Part, feel: BandFeel, rng: Random, kick: dict[int, float]) -> list[Struck]:
    """The notes of a part other than the drums as played, in its order; rng is the player's.

    kick: the kick's deviations in ms by time on the grid, without the band's drift.
    """

    timing = PartTiming(part, feel)
    figures = feel.figures[COMPING if part.name in CHORDAL else part.name]
    jitter = Wander(figures["memory"], rng)
    weight = Wander(figures["weight_memory"], rng)
    groups = list(timing.groups())
    line = LineWeight(groups, feel, figures, Random(rng.random()))
    habit = figures["habit_ms"] * rng.gauss(0, 1)
    places: dict[str, float] = figures["place_ms"]
    played: list[Struck] = []
    for index, (start, group) in enumerate(groups):
        if timing.strict(group[0]):
            played += map(timing.strictly, group)
            continue
        room = timing.room(group[0])
        own = figures["jitter_ms"] * jitter.next() * shrunk(room, ROOM_FOR_JITTER)
        if start in kick:
            own *= 1 - figures["kick_settles"] * figures["with_kick"]
        late = habit + own + figures["with_kick"] * kick.get(start, 0.0)
        place = places.get(feel.chart.bar_at(start).drums.family, places["any"])
        late += place * (figures.get("between", 1.0) if feel.beat_part(start) else 1.0)
        push = feel.loudness_at(start) + figures["weight_sd"] * weight.next() + line.at(index)
        push = drawn_in(push, figures["farthest_weight"])
        pattern = pattern_of(part.name, feel.chart.bar_at(start))
        share = figures["held"] if pattern is None or pattern.held is None else pattern.held
        level = feel.level(start, figures["level"])
        held = 1 - share + figures["held_sd"] * rng.gauss(0, 1) * timing.looseness
        strummed = pattern if isinstance(pattern, CompingPattern) else None
        sweeps = strum(strummed, feel, start, len(group), room, rng)
        for note, (sweep, softer) in zip(group, sweeps, strict=True):
            written, hard = timing.length(note), marked(note.weight, figures["marks"])
            length = written - max(0.0, held) * min(written, feel.beat)
            played.append(
                Struck(
                    note,
                    timing.start(note, late, sweep),
                    max(1, round(length)),
                    velocity(hard + level + timing.looseness * (push - softer)),
                    timing.grid(note),
                )
            )
    return _joined(_apart(played))


def drawn_in(deviation: float, most: float) -> float:
    """A deviation that stays within ``most`` either way: small ones as they are, the larger the
    more drawn in."""
    size, knee = abs(deviation), KNEE * most
    if size <= knee:
        return deviation
    room = most - knee
    near = knee + room * (1 - exp((knee - size) / room))
    return near if deviation > 0 else -near


def shrunk(room: float, enough: float) -> float:
    """The share of its size that a deviation keeps, 0 to 1, where there is little room."""
    return sqrt(min(1.0, room / enough))


def velocity(effort: float) -> int:
    """The velocity of a stroke; near both ends a change of effort does less."""
    if effort > FULL_ARM:
        most = LOUDEST - FULL_ARM
        effort = FULL_ARM + most * (1 - exp((FULL_ARM - effort) / most))
    elif effort < LIGHT_HAND:
        effort = LIGHT_HAND * exp((effort - LIGHT_HAND) / LIGHT_HAND)
    return max(SOFTEST, round(effort))


def marked(weight: float, marks: list[list[float]]) -> float:
    """The velocity that the weight of a mark stands for: of marks, each (weight, velocity), the two
    around it are interpolated."""
    low, loud = 0.0, 0.0
    for high, louder in marks:
        if weight <= high:
            return loud + (louder - loud) * (weight - low) / (high - low)
        low, loud = high, louder
    return loud


def _apart(played: list[Struck]) -> list[Struck]:
    """The notes, each ended where the next is struck that was written to follow it."""
    groups = [list(group) for _, group in groupby(played, lambda struck: struck.note.start)]
    cut: list[Struck] = []
    for group, later in zip(groups, [*groups[1:], []], strict=True):
        following = later[0].note.start if later else 0
        first = min((struck.start for struck in later), default=0)
        for struck in group:
            if struck.note.start + struck.note.length <= following:
                struck = struck._replace(length=max(1, min(struck.length, first - struck.start)))
            cut.append(struck)
    return cut


def _joined(played: list[Struck]) -> list[Struck]:
    """The notes, each held until the next one where that follows it without a new stroke."""
    if not any(struck.note.gesture.joined for struck in played):
        return played
    held: list[Struck] = []
    for struck, after in zip(played, [*played[1:], None], strict=True):
        if after and after.note.gesture.joined and struck.note.start < after.note.start:
            struck = struck._replace(length=max(1, after.start - struck.start))
        held.append(struck)
    return held
