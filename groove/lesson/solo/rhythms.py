"""Rhythms of phrases: cells of the data, laid over the beats of some bars."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from random import Random
from typing import Any

from groove import library
from groove.form.lesson_fields import LEARNERS
from groove.lesson.solo.ground import SoloGround, pulses_of

WALTZ, TWO, FOUR = 3, 2, 4  # beats in a bar

Strokes = tuple[tuple[int, int], ...]
"""Starts and lengths in ticks from the first bar line of a phrase."""


@dataclass(frozen=True, slots=True)
class Pulse:
    """A beat of a phrase. start, length: in ticks from the phrase's first bar line. parts: in how
    many it divides at the least; bar: of the cell, 0 or 1."""

    start: int
    length: int
    parts: int
    bar: int


@dataclass(frozen=True, slots=True)
class Frame:
    """The beats of a phrase.

    first, last: its bars, the last not included. start, end: in ticks. table: of rhythms.toml
    whose cells fit, empty for none. fastest: ticks from a note to the next at the least. triplets:
    whether a beat in two may go in three.
    """

    first: int
    last: int
    start: int
    end: int
    pulses: tuple[Pulse, ...]
    table: str
    fastest: float
    triplets: bool

    @property
    def length(self) -> int:
        """Its ticks."""
        return self.end - self.start


def rules() -> dict[str, Any]:
    """The figures of taste."""
    return library.load("lesson/solo", "rules")


def idiom_of(ground: SoloGround, bar: int) -> str:
    """The table of rhythms for a bar's feel in common time."""
    setting = ground.played[bar].setting
    idioms = rules()["idioms"]
    own = idioms["drums"].get(setting.drums.name)
    if own is None:
        own = idioms["families"].get(setting.drums.family, "rock")
    if setting.feel != "straight" and own not in ("shuffle", "swing"):
        return "shuffle" if setting.feel == "shuffle" else "swing"
    return str(own)


def frame(ground: SoloGround, first: int, last: int, learner: str) -> Frame:
    """The beats of a phrase over some bars."""
    bars = ground.bars[first:last]
    meter = bars[0].meter
    start = bars[0].start
    fastest = 1 / rules()["learners"][learner]["fastest"] / ground.seconds(first)
    pulses: list[Pulse] = []
    for number, bar in enumerate(bars):
        offset = bar.start - start
        pulses += [Pulse(offset + at, size, n, number) for at, size, n in pulses_of(bar.meter)]
    table = ""
    if all(bar.meter == meter for bar in bars):
        table = table_of(ground, first)
        if len(bars) == 2 * TWO:
            pulses, table = _half_time(pulses, table)
    swung = not bars[0].straight and not meter.is_compound
    return Frame(
        first, last, start, bars[-1].end, tuple(pulses), table, fastest,
        swung and len(bars) <= TWO + 1,
    )  # fmt: skip


def half_time(ground: SoloGround, bar: int, learner: str) -> bool:
    """True if the beats of a bar go by so fast that phrases take four bars at half the pace."""
    meter = ground.bars[bar].meter
    pulses = pulses_of(meter)
    rate = 1 / (pulses[0][1] * ground.seconds(bar)) * 60
    most = rules()["learners"][learner]["half_time"]
    if meter.is_compound:
        most *= 2 / 3
    return bool(rate > most) and len(pulses) in (TWO, WALTZ, FOUR) and not meter.is_uneven


def table_of(ground: SoloGround, bar: int) -> str:
    """The table of rhythms for a bar: by its metre, in common time by its feel; empty for none."""
    meter = ground.bars[bar].meter
    count = len(pulses_of(meter))
    if meter.is_uneven:
        return ""
    if meter.is_compound:
        return {TWO: "two_compound", WALTZ: "three_compound", FOUR: "twelve"}.get(count, "")
    names = {
        TWO: "two",
        WALTZ: "three",
        FOUR: idiom_of(ground, bar),
        5: "five",
        6: "six",
        7: "seven",
    }
    return names.get(count, "")


def _half_time(pulses: list[Pulse], table: str) -> tuple[list[Pulse], str]:
    """Four bars as two: pairs of beats as one, or the bar of a waltz as one in three."""
    count = sum(pulse.bar == 0 for pulse in pulses)
    size = WALTZ if count == WALTZ else TWO
    parts = WALTZ if count == WALTZ else TWO
    wide = [
        Pulse(pulse.start, pulse.length * size, parts, pulse.bar // TWO) for pulse in pulses[::size]
    ]
    if count == WALTZ:
        return wide, "two_compound"
    return wide, {"two_compound": "two", "twelve": "ballad"}.get(table, table)


def cells(table: str, part: str, learner: str) -> list[tuple[str, int]]:
    """The cells of a part (calls, tails, ends) for a learner, each with its weight."""
    found = library.load("lesson/solo", "rhythms").get(table, {}).get(part, {})
    often = rules()["often"]
    levels = [level for level in LEARNERS[: LEARNERS.index(learner) + 1] if level in found]
    return [
        (cell, often["own"] if level == levels[-1] else often["below"])
        for level in levels[-2:]
        for cell in found[level]
    ]


def laid(cell: str, frame: Frame) -> Strokes | None:
    """A cell over the beats of a phrase; None where it does not fit or is too fast."""
    bars = [bar.split() for bar in cell.split("|")]
    own = [[p for p in frame.pulses if p.bar == number] for number in (0, 1)]
    strokes: list[list[int]] = []
    for groups, pulses in zip(bars, own, strict=True):
        if len(groups) != len(pulses):
            return None
        for group, pulse in zip(groups, pulses, strict=True):
            if pulse.length % len(group):
                return None
            if len(group) == WALTZ and pulse.parts != WALTZ and not frame.triplets:
                return None
            if pulse.parts == WALTZ and len(group) % WALTZ:
                return None
            unit = pulse.length // len(group)
            for number, sign in enumerate(group):
                if sign == "x":
                    strokes.append([pulse.start + number * unit, unit])
                elif sign == "-" and strokes:
                    strokes[-1][1] = pulse.start + (number + 1) * unit - strokes[-1][0]
    if any(b[0] - a[0] < frame.fastest for a, b in pairwise(strokes)):
        return None
    return tuple((start, length) for start, length in strokes)


def choose(frame: Frame, part: str, learner: str, rng: Random, notes: range) -> Strokes:
    """A rhythm for a phrase, with so many notes if there is one."""
    fitting = [
        (strokes, weight)
        for cell, weight in cells(frame.table, part, learner)
        if (strokes := laid(cell, frame)) is not None
    ]
    preferred = [each for each in fitting if len(each[0]) in notes] or fitting
    if not preferred:
        return made(frame, rng, short=part == "tails")
    return rng.choices([s for s, _ in preferred], [weight for _, weight in preferred])[0]


def ends(frame: Frame, learner: str) -> list[Strokes]:
    """All rhythms of last phrases that fit."""
    found = (laid(cell, frame) for cell, _ in cells(frame.table, "ends", learner))
    return [strokes for strokes in found if strokes]


def made(frame: Frame, rng: Random, *, short: bool = False, goal: int | None = None) -> Strokes:
    """A rhythm put together beat by beat, for metres without cells of their own.

    goal: where its last note begins; where left out, on the beat after half of the phrase.
    """
    table = library.load("lesson/solo", "rhythms")["beats"]
    half = frame.length // 2
    later = [p.start for p in frame.pulses if p.start >= half]
    if goal is None:
        goal = later[0] if later else frame.pulses[len(frame.pulses) // 2].start
    before = [pulse for pulse in frame.pulses if pulse.start < goal]
    count = rng.choice((2, 3)) if short else rng.choice((3, 4))
    strokes: list[tuple[int, int]] = []
    for pulse in before[-count:]:
        whole = ((pulse.start, pulse.length),)
        group = rng.choice(table.get(str(pulse.parts), ["x-"]))
        unit = pulse.length // len(group)
        starts = [pulse.start + n * unit for n, sign in enumerate(group) if sign == "x"]
        if unit < frame.fastest or pulse.length % len(group):
            strokes += whole
            continue
        stops = [*starts[1:], pulse.start + pulse.length]
        strokes += [(a, b - a) for a, b in zip(starts, stops, strict=True)]
    last = next((p for p in frame.pulses if p.start == goal), frame.pulses[-1])
    strokes.append((last.start, min(last.length * 2, frame.length - last.start)))
    slow = [strokes[-1]]
    for stroke in reversed(strokes[:-1]):
        if slow[0][0] - stroke[0] >= frame.fastest:
            slow.insert(0, stroke)
    return tuple(slow)
