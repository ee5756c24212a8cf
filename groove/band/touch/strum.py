"""Strums: how the notes of a chord that is struck at one time lie apart, and how they are weighed.

On a guitar the hand goes down from the low strings or up from the high ones, as
``groove.band.guitar.strum_strings`` says; the slower the tempo, the slower it goes. An upstroke is
softer, and either way the first strings get more than the last. Thumb and fingers pluck almost
together, and on keys the fingers fall in any order. Figures: ``patterns/touch/band.toml``.
"""

from __future__ import annotations

from math import exp
from random import Random
from typing import Any

from groove.band.guitar.strum_strings import PLUCKED, UP, direction
from groove.band.part import GUITAR
from groove.band.touch.feel import BandFeel
from groove.rhythm.patterns import CompingPattern

FARTHEST = 0.25  # of the way to the nearest stroke
UNEVEN = 0.2  # by how much, as a power of e, strums differ in speed
STRINGS = 6
UNEVEN_WEIGHT = 1.5  # velocity


def strum(
    pattern: CompingPattern | None,
    feel: BandFeel,
    start: int,
    size: int,
    room: float,
    rng: Random,
) -> list[tuple[float, float]]:
    """For each note of a chord, from the lowest: its ms in the strum, and how much softer it is.

    pattern: None for players of single lines, who strum nothing. start: its time on the grid.
    size: its notes. room: ms to the nearest other stroke.
    """
    if size == 1 or pattern is None:
        return [(0.0, 0.0)] * size
    figures: dict[str, Any] = feel.figures["strum"]
    least, most = figures["least_ms"], figures["most_ms"]
    uneven = exp(UNEVEN * rng.gauss(0, 1))
    order = [step / (size - 1) for step in range(size)]
    fades, softer = 0.0, 0.0
    if pattern.voicing != GUITAR:
        spread = figures["keys_ms"] * uneven
        order = [rng.random() for _ in range(size)]
    elif (way := direction(pattern, feel.chart, start)) == PLUCKED:
        spread = figures["plucked_ms"] * uneven
    else:
        beat_ms = feel.chart.bar_at(start).meter.beat_ticks / feel.ticks_per_ms(start)
        width = 0.5 + 0.5 * (size - 1) / (STRINGS - 1)  # few strings take less time
        spread = max(least, min(most, figures["part_of_beat"] * beat_ms * width * uneven))
        fades = figures["fades"]
        if way == UP:
            order, softer = order[::-1], figures["up_softer"]
    spread = min(spread, FARTHEST * room)
    return [
        (
            spread * (at - figures["early"]),
            softer + fades * (at - 0.5) + UNEVEN_WEIGHT * rng.gauss(0, 1),
        )
        for at in order
    ]
