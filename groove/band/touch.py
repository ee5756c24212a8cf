"""Touch: how each player strikes the notes of the grid, a little early or late, hard or soft.

A stroke's deviation is the sum of the band's slow drift (``feel.py``), the place of its voice
around the beat, this take's own habits, and jitter; neighbouring strokes are alike, and those
struck together share a part of theirs. Jitter shrinks as strokes get close. Weight begins with
the mark in box notation and follows the metre, the voice, the hand and the level of the band.
Figures: ``patterns/touch/``, which names its sources. The form's ``tightness`` scales all of
it: at 0 the band plays as people were measured, at 1 the bare grid. The count-in is strict.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby
from math import exp, sqrt
from random import Random
from typing import Any, NamedTuple

from groove.band.feel import Timeline
from groove.band.part import GridNote, Part

SOFTEST = 6  # velocity
FULL_ARM, LOUDEST = 108.0, 127.0  # velocity above which more effort gives less, and the most
LIGHT_HAND = 20.0  # velocity below which less effort takes away less
ROOM_FOR_JITTER = 150.0  # ms to the nearest stroke of a voice, under which its jitter shrinks
FARTHEST = 0.35  # of the way to the nearest stroke of a voice
FARTHEST_MS = 50.0  # though people stray further at times: a band to practise with need not
FARTHEST_STRUM = 0.25


class Struck(NamedTuple):
    """A note of the grid as played: start and length in ticks, velocity 1 to 127."""

    note: GridNote
    start: int
    length: int
    velocity: int


class Wander:
    """Values of SD 1 that remember: each the more like the one before, the greater memory.

    As people's, they lie far out a little more often than normal ones, and later more often
    than earlier. memory: 0 to 1, the correlation of neighbours.
    """

    def __init__(self, memory: float, rng: Random) -> None:
        self._memory, self._news, self._gauss = memory, sqrt(1 - memory**2), rng.gauss
        self._value = rng.gauss(0, 1)

    def next(self) -> float:
        g = self._gauss(0, 1)
        if not -3 < g < 3:
            g = 3.0 if g > 0 else -3.0
        uneven = g * (0.8 + 0.06 * g * g) + 0.1 * (g * g - 1)
        self._value = self._memory * self._value + self._news * uneven
        return self._value


class Placed:
    """A part's notes in time: where feel puts them, and the room around them.

    looseness: what is left of touch at the form's tightness, 1 to 0.
    """

    def __init__(self, part: Part, timeline: Timeline) -> None:
        self.timeline, self.notes = timeline, part.notes
        self.looseness = 1 - timeline.chart.form.tightness
        grid = part.pattern.grid
        ticks = {n.start for n in part.notes} | {n.start + n.length for n in part.notes}
        self._swung = {tick: timeline.swung(tick, grid) for tick in ticks}
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
                apart = swung / timeline.ticks_per_ms(note.start)
                self._room[here] = apart
                self._room[note.row, before] = min(apart, self._room[note.row, before])
            last[note.row] = note.start
        self._drift = -1, 0.0  # the band's, at the time last asked for

    def groups(self) -> Iterator[tuple[int, list[GridNote]]]:
        """The notes that are struck together, with their time on the grid."""
        for start, notes in groupby(self.notes, lambda note: note.start):
            yield start, list(notes)

    def strict(self, note: GridNote) -> bool:
        """Whether a note lies in the count-in."""
        return note.start < self.timeline.chart.start

    def room(self, note: GridNote) -> float:
        """Ms from a note to the nearest other of its voice."""
        return self._room[note.row, note.start]

    def start(self, note: GridNote, late: float, sweep: float = 0.0) -> int:
        """The time of a note that comes ``late`` ms late, the band's drift and a strum's sweep
        not counted.

        Voices keep their order: a note never goes far into the room of its neighbours.
        """
        farthest = min(FARTHEST_MS, FARTHEST * self._room[note.row, note.start])
        if late > farthest:
            late = farthest
        elif late < -farthest:
            late = -farthest
        if note.start != self._drift[0]:
            self._drift = note.start, self.timeline.drift_at(note.start)
        ticks = self.looseness * self.timeline.ticks_per_ms(note.start)
        at = self._swung[note.start] + ticks * (late + sweep + self._drift[1])
        return max(0, round(at))

    def length(self, note: GridNote) -> float:
        """The written length of a note in ticks, swung."""
        return self._swung[note.start + note.length] - self._swung[note.start]

    def strictly(self, note: GridNote) -> Struck:
        """A note of the count-in, where and as it is written."""
        start, weight = round(self._swung[note.start]), round(LOUDEST * note.weight)
        return Struck(note, start, max(1, round(self.length(note))), weight)


def touched(part: Part, timeline: Timeline, rng: Random, kick: dict[int, float]) -> list[Struck]:
    """The notes of bass or comping as played, in the order of the part; rng is the player's.

    kick: the kick's deviations in ms by time on the grid, without the band's drift.
    """
    placed = Placed(part, timeline)
    figures = timeline.figures[part.name]
    jitter = Wander(figures["memory"], rng)
    weight = Wander(figures["weight_memory"], rng)
    habit = figures["place_ms"] + figures["habit_ms"] * rng.gauss(0, 1)
    strum = _strum(part, figures, timeline.beat, rng)
    share = float(part.pattern.options.get("held", figures["held"]))
    played: list[Struck] = []
    for start, group in placed.groups():
        if placed.strict(group[0]):
            played += map(placed.strictly, group)
            continue
        room = placed.room(group[0])
        own = figures["jitter_ms"] * jitter.next() * shrunk(room, ROOM_FOR_JITTER)
        if start in kick:
            own *= 1 - figures["kick_settles"] * figures["with_kick"]
        late = habit + own + figures["with_kick"] * kick.get(start, 0.0)
        push = timeline.loudness_at(start) + figures["weight_sd"] * weight.next()
        push += 0.0 if start % timeline.beat == 0 else figures["off_beat"]
        level = figures["level"] * (timeline.intensity_at(start) - 2)
        held = 1 - share + figures["held_sd"] * rng.gauss(0, 1) * placed.looseness
        for note, (sweep, softer) in zip(group, strum(start, len(group), room), strict=True):
            written = placed.length(note)
            length = written - max(0.0, held) * min(written, timeline.beat)
            played.append(
                Struck(
                    note,
                    placed.start(note, late, sweep),
                    max(1, round(length)),
                    velocity(LOUDEST * note.weight + level + placed.looseness * (push - softer)),
                )
            )
    return _apart(played)


def shrunk(room: float, enough: float) -> float:
    """How much of its size a deviation keeps, 0 to 1, where there is less room than enough."""
    return sqrt(min(1.0, room / enough))


def velocity(effort: float) -> int:
    """The velocity of a stroke; near both ends a change of effort does less."""
    if effort > FULL_ARM:
        most = LOUDEST - FULL_ARM
        effort = FULL_ARM + most * (1 - exp((FULL_ARM - effort) / most))
    elif effort < LIGHT_HAND:
        effort = LIGHT_HAND * exp((effort - LIGHT_HAND) / LIGHT_HAND)
    return max(SOFTEST, round(effort))


_Strum = Callable[[int, int, float], list[tuple[float, float]]]


def _strum(part: Part, figures: dict[str, Any], beat: int, rng: Random) -> _Strum:
    """For a chord's time, size and room: each note's ms in its strum, and how much softer it is.

    On a guitar the hand goes down through the strings on the beat and up on the half of it, as
    it swings in time; on keys the fingers fall in any order.
    """
    voicing = part.pattern.options.get("voicing")
    whole = figures.get("strum_ms", {}).get(voicing, 0.0)

    def sweep(start: int, size: int, room: float) -> list[tuple[float, float]]:
        if size == 1 or not whole:
            return [(0.0, 0.0)] * size
        spread = min(whole * exp(0.3 * rng.gauss(0, 1)), FARTHEST_STRUM * room)
        if voicing == "guitar":
            down = start % beat != beat // 2
            softer = 0.0 if down else figures["up_stroke_softer"]
            steps = [step / (size - 1) for step in range(size)]
            order = steps if down else steps[::-1]
        else:
            softer, order = 0.0, [rng.random() for _ in range(size)]
        return [
            (spread * (at - figures["strum_early"]), softer + rng.gauss(0, 1.5)) for at in order
        ]

    return sweep


def _apart(played: list[Struck]) -> list[Struck]:
    """The notes, each ended where the next is struck that was written to follow it."""
    groups = [list(group) for _, group in groupby(played, lambda struck: struck.note.start)]
    cut: list[Struck] = []
    for group, later in zip(groups, [*groups[1:], []], strict=True):
        following = later[0].note.start if later else 0
        first = min((struck.start for struck in later), default=0)
        for note, start, length, loud in group:
            if note.start + note.length <= following:
                length = max(1, min(length, first - start))
            cut.append(Struck(note, start, length, loud))
    return cut
