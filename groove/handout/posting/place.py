"""Chooses the most telling place of a track: by the plan of the performance, and who plays.

Every bar where something begins is tried. A place gets points for what is heard from there on, bar
by bar and by how long it lasts in the place; ``patterns/posting.toml`` has the points.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from groove import library
from groove.band.part import MELODY, RIFF, SOLO
from groove.band.plan.plan import Plan
from groove.form.intensity import HIGHEST, LOWEST
from groove.form.road.phrasing import PHRASE
from groove.handout.posting.chapters import clock, place_name
from groove.lesson.solo.part import rounds_played
from groove.theory.symbols import listed
from groove.wording import said

MOST_REASONS = 3
LITTLE, MUCH = 0.05, 0.7
"""Shares that differ by less are equal; a place is called loud from so far between the softest and
the loudest of all."""
ROUND, SECTION, PHRASED = BEGINNINGS = ("round", "section", "phrase")


@dataclass(frozen=True, slots=True)
class Place:
    """A place of a track, in seconds from the start of the audio.

    start: of the bar with which it begins. whole: whether it is the whole track. ends: whether it
    goes through to the track's own end. words: why it was chosen, in a line.
    """

    start: float
    end: float
    words: str
    whole: bool = False
    ends: bool = False


def telling_place(
    plan: Plan, players: Collection[str], length: float, seconds: float | None = None
) -> Place:
    """The most telling place of a performance.

    players: the parts that are heard. length: of the audio, in seconds. seconds: of the place, as
    the data has them if left out; a track that is no longer is taken whole, and one whose music is
    no longer from its first bar on.
    """
    seconds = library.table("posting")["preview"]["seconds"] if seconds is None else seconds
    chart = plan.chart
    first = chart.seconds(chart.start)
    if length <= seconds:
        return Place(0.0, length, said("posting", "preview.whole"), whole=True, ends=True)
    if length - first <= seconds:
        return Place(first, length, said("posting", "preview.from_the_top"), ends=True)
    tried = list(_tried(_Performance(plan, frozenset(players)), length, seconds))
    best = max(tried, key=lambda each: (each.points, -each.index))
    return _place(best, tried, seconds)


@dataclass(frozen=True)
class _Performance:
    """A performance, and what is heard in each of its bars."""

    plan: Plan
    players: frozenset[str]

    @cached_property
    def points(self) -> dict[str, float]:
        found: dict[str, float] = library.table("posting")["preview"]["points"]
        return found

    @cached_property
    def edges(self) -> list[float]:
        """Where bars begin, in seconds, and where the last one ends."""
        chart = self.plan.chart
        return [chart.seconds(tick) for tick in (*(b.start for b in chart.bars), chart.end)]

    @cached_property
    def heard(self) -> list[dict[str, float]]:
        """The share of each kind of points that a bar has, 0 to 1."""
        chart, players = self.plan.chart, self.players
        lines = self.lines
        home = chart.rounds[0]
        homely = {n for n, time in enumerate(chart.rounds)
                  if (time.key, time.tempo) == (home.key, home.tempo)}  # fmt: skip
        forms_lines = chart.form.lines
        open_ones = {n for n, time in enumerate(chart.rounds) if forms_lines[time.line].is_open}
        rounds = self._rounds()
        band = players - {SOLO, MELODY, RIFF} or players
        return [
            {
                "intensity": (bar.intensity - LOWEST) / (HIGHEST - LOWEST),
                "players": 1 - len(bar.out & band) / len(band),
                "solo": float(index in lines),
                "home": float(rounds[index] in homely),
                "open": float(rounds[index] in open_ones),
                "ending": float(not bar.number),
                "alone": float(bar.drums_alone),
            }
            for index, bar in enumerate(chart.bars)
        ]

    def _rounds(self) -> list[int]:
        """The number of the time round that each bar lies in; an ending is in the last."""
        chart = self.plan.chart
        found = [n for n, time in enumerate(chart.rounds) for _ in range(time.first, time.last)]
        return found + found[-1:] * (len(chart.bars) - len(found))

    @cached_property
    def lines(self) -> dict[int, str]:
        """The single line that is heard in each bar that has one: solo, melody or riff."""
        chart = self.plan.chart
        found: dict[int, str] = {}
        for played in chart.passes:
            for name, line in ((RIFF, played.riff), (MELODY, played.melody)):
                if line and name in self.players:
                    found |= dict.fromkeys(range(played.first, played.last), name)
        if SOLO in self.players:
            for number in rounds_played(chart, chart.form.lesson.solo):
                time = chart.rounds[number]
                found |= dict.fromkeys(range(time.first, time.last), SOLO)
        return found

    def begins(self, index: int) -> str:
        """The kind of beginning at a bar, one of BEGINNINGS; empty for none."""
        chart = self.plan.chart
        bar = chart.bars[index]
        if index in {time.first for time in chart.rounds}:
            return ROUND
        if not bar.number:
            return ""
        if bar.in_section == 1:
            return SECTION
        return PHRASED if (bar.in_section - 1) % PHRASE == 0 else ""


@dataclass(frozen=True, slots=True)
class _Tried:
    """A place that was tried: its first bar, its points, and what is heard in it."""

    performance: _Performance
    index: int
    begins: str
    shares: dict[str, float]
    points: float

    @property
    def line(self) -> str:
        """The first single line that is heard from its first bar on."""
        lines = self.performance.lines
        return lines[min(at for at in lines if at >= self.index)]


def _tried(performance: _Performance, length: float, seconds: float) -> Iterator[_Tried]:
    """The places at which something begins; if there is none with room, all bars with room."""
    edges, bars = performance.edges, performance.plan.chart.bars
    room = [index for index, at in enumerate(edges[:-1]) if at + seconds <= length]
    places = [index for index in room if performance.begins(index)] or room
    for index in places:
        shares = _shares(performance.heard, edges, edges[index], edges[index] + seconds)
        points = performance.points
        begins = performance.begins(index)
        total = sum(points[name] * share for name, share in shares.items())
        total += points[begins] if begins else 0.0
        total += points["pushed"] if bars[index].start in performance.plan.pushes else 0.0
        total += points["early"] * (1 - edges[index] / length)
        yield _Tried(performance, index, begins, shares, total)


def _shares(
    heard: Sequence[dict[str, float]], edges: Sequence[float], start: float, end: float
) -> dict[str, float]:
    """The share of each kind of sound from one time to another."""
    found = dict.fromkeys(heard[0], 0.0)
    for bar, begin, close in zip(heard, edges, edges[1:], strict=False):
        inside = min(close, end) - max(begin, start)
        if inside > 0:
            for name, share in bar.items():
                found[name] += share * inside / (end - start)
    return found


def _place(best: _Tried, tried: Sequence[_Tried], seconds: float) -> Place:
    chart = best.performance.plan.chart
    bar = chart.bars[best.index]
    start = chart.seconds(bar.start)
    reasons = [said("posting", f"preview.reasons.{name}") for name in _reasons(best, tried)]
    words = said(
        "posting", "preview.place", at=clock(start), end=clock(start + seconds),
        name=place_name(chart, bar.start), reasons=listed(reasons[:MOST_REASONS]),
    )  # fmt: skip
    return Place(start, start + seconds, words)


def _reasons(best: _Tried, tried: Sequence[_Tried]) -> Iterator[str]:
    """The reasons for a place: its difference from others and its beginning, best first."""

    def is_more(name: str, enough: float) -> bool:
        share, others = best.shares[name], [each.shares[name] for each in tried]
        return share >= enough and share >= max(others) - LITTLE and share > min(others) + LITTLE

    levels = [each.shares["intensity"] for each in tried]
    rise = max(levels) - min(levels)
    if best.shares["solo"] > 0.5:
        yield best.line
    if rise > LITTLE and best.shares["intensity"] >= min(levels) + MUCH * rise:
        yield "loud"
    if is_more("players", 0.99):
        yield "players"
    if is_more("open", 0.99):
        yield "open"
    if best.begins:
        order = best.performance.plan.chart.form.order
        yield "chorus" if best.begins == ROUND and not order else best.begins
    if is_more("home", 0.99):
        yield "home"
