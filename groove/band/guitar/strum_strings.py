"""Which way a guitarist's hand goes at a time, and which strings of a grip it strikes.

The hand swings with the subdivision: down on the first half of what the pattern's grid divides a
beat into, up between; in groups of three down, up, down. A full downstroke sounds all strings, a
plain one leaves the lowest out, an upstroke catches the upper three or four. Common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from random import Random

from groove.band.comping.strokes import DEAD, MUTED
from groove.form.chart import Chart
from groove.rhythm.patterns import CompingPattern

DOWN, UP, PLUCKED = "down", "up", "plucked"
UPPER, WIDE = (3, 4), 0.6  # strings that an upstroke catches, and how often the more of them
FULL = 5  # strings of a grip from which on a plain downstroke leaves the lowest out
DEAD_STRINGS = 3
LOW_STRINGS = 3  # of a palm-muted stroke

Held = tuple[int, int, int]  # pitch, string and fret of a note


def direction(pattern: CompingPattern, chart: Chart, tick: int) -> str:
    """The way of a stroke at a time: DOWN, UP or PLUCKED."""
    if pattern.strum == "pluck":
        return PLUCKED
    if pattern.strum == "down":
        return DOWN
    bar = chart.bar_at(tick)
    into = bar.meter.beat_at(tick - bar.start)[1]
    line = pattern.grid.line_ticks
    place = round(into / line)
    if pattern.grid.is_triplet:  # a swinging or shuffling hand goes up on the short note
        return UP if place % 3 == 2 else DOWN
    return UP if place % 2 else DOWN


def struck(
    held: Sequence[Held],
    way: str,
    mark: str,
    full: bool,
    most: int,
    needed: frozenset[int],
    rng: Random,
) -> list[Held]:
    """The notes of a grip that a stroke sounds.

    held: the notes that may sound, from the lowest string. mark: of box notation. full: whether it
    is an accent, or the first of its bar or chord. most: strings at most. needed: pitch classes
    that are among them if any string has them.
    """
    if mark == DEAD:
        return list(held[-DEAD_STRINGS:])
    if mark in MUTED:
        return list(held[: min(LOW_STRINGS, max(1, len(held) - 1))])
    if way == PLUCKED:
        return plucked(held, most, needed)
    if way == UP:
        size = UPPER[full or rng.random() < WIDE]
    else:
        size = len(held) if full or len(held) < FULL else len(held) - 1
    size = min(size, most)
    needed &= {pitch % 12 for pitch, _, _ in held}
    while not needed <= {pitch % 12 for pitch, _, _ in held[-size:]}:
        size += 1
    return list(held[-size:])


def plucked(held: Sequence[Held], most: int, needed: frozenset[int]) -> list[Held]:
    """The strings under thumb and fingers: the lowest, and the highest that sound all that is
    needed."""
    if len(held) <= most:
        return list(held)
    needed &= {pitch % 12 for pitch, _, _ in held}
    choices = combinations(range(len(held) - 1, -1, -1), most)
    fits = [c for c in choices if needed <= {held[n][0] % 12 for n in c}]
    if not fits:
        return list(held[-most:])
    best = min(fits, key=lambda chosen: (chosen[-1] != 0, -sum(chosen)))
    return [held[n] for n in reversed(best)]
