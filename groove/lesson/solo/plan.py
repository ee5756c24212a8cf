"""The plan of a solo: which bars make a phrase, and what each phrase does.

Phrases have two bars, at fast tempi four: a call and an answer in turn, counted from the start of
each section. A motif belongs to each section, in a form of one section to its first pairs and its
last; the middle has another. About two thirds of the way stands the highest note; the last phrase
comes home.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from groove.lesson.solo.entries import PICK_UP, THROUGH
from groove.lesson.solo.ground import SoloGround
from groove.lesson.solo.rhythms import half_time, rules

CALL, TAIL, PEAK, END = "call", "tail", "peak", "end"


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of a solo. first, last: its bars, the last not included. role: CALL, TAIL, PEAK
    or END. motif: its number. height: from 0, low, to 1, where the peak is. entry: how it runs over
    a bar line, PICK_UP, THROUGH or empty."""

    first: int
    last: int
    role: str
    motif: int
    height: float
    entry: str = ""


def planned(ground: SoloGround, learner: str) -> tuple[Phrase, ...]:
    """The phrases of a whole round."""
    pieces = [piece for run in _runs(ground) for piece in _cut(ground, run, learner)]
    number = len(pieces)
    goal = len(ground.bars) * 2 / 3
    peak = min(
        range(max(number - 1, 1)),
        key=lambda n: (abs((pieces[n][0] + pieces[n][1]) / 2 - goal), -n),
    )
    found = []
    pairs = _pairs(pieces)
    motifs = _motifs(ground, pieces, pairs)
    for place, (first, last, beat) in enumerate(pieces):
        role = CALL if beat % 2 == 0 else TAIL
        if place == number - 1:
            role = END
        elif place == peak and number > 2:
            role = PEAK
        found.append(
            Phrase(
                first, last, role, motifs[place], _height(place, peak, number), _entry(place, role)
            )
        )
    return tuple(found)


def _entry(place: int, role: str) -> str:
    """The way a phrase runs over a bar line, by its place among the phrases."""
    entries = rules()["entries"]
    turn = place % entries["every"]
    if not place or role == END:
        return ""
    return {entries["pickup"]: PICK_UP, entries["through"]: THROUGH}.get(turn, "")


def _height(place: int, peak: int, number: int) -> float:
    """Up to the peak, then down."""
    figures: dict[str, float] = rules()["plan"]
    if place <= peak:
        low = figures["first"]
        return low + (1 - low) * place / max(peak, 1)
    return 1 - (1 - figures["last"]) * (place - peak) / max(number - 1 - peak, 1)


def _runs(ground: SoloGround) -> list[tuple[int, int]]:
    """Stretches of one section, one key and one metre."""
    bars, played = ground.bars, ground.played
    lines = [
        n
        for n in range(1, len(bars))
        if played[n].in_section == 1
        or bars[n].key != bars[n - 1].key
        or bars[n].meter != bars[n - 1].meter
        or played[n].setting.rate != played[n - 1].setting.rate
    ]
    edges = [0, *lines, len(bars)]
    return list(pairwise(edges))


def _cut(ground: SoloGround, run: tuple[int, int], learner: str) -> list[tuple[int, int, int]]:
    """The phrases of a run: first bar, last bar, and its number in the run."""
    start, end = run
    bars = rules()["plan"]["bars"]
    size = 2 * bars if half_time(ground, start, learner) else bars
    edges = list(range(start, end, size))
    if len(edges) > 1 and end - edges[-1] < bars:
        edges.pop()
    return [(a, b, n) for n, (a, b) in enumerate(zip(edges, [*edges[1:], end], strict=True))]


def _pairs(pieces: list[tuple[int, int, int]]) -> list[int]:
    """The number of the pair of call and answer that each phrase is in."""
    found: list[int] = []
    for _, _, beat in pieces:
        new = beat % 2 == 0
        found.append((found[-1] + 1 if new else found[-1]) if found else 0)
    return found


def _motifs(ground: SoloGround, pieces: list[tuple[int, int, int]], pairs: list[int]) -> list[int]:
    names = [ground.played[first].section for first, _, _ in pieces]
    if len(set(names)) > 1:
        order = list(dict.fromkeys(names))
        return [order.index(name) for name in names]
    last = pairs[-1]
    found = []
    figures = rules()["plan"]
    for pair in pairs:
        chapter, place = divmod(pair, figures["chapter"])
        middle = last + 1 >= figures["middle"] and place % figures["middle"] == 2
        found.append(0 if pair == last else 2 * chapter + middle)
    return found
