"""The soft strokes before a flam's or a drag's own, placed as hands play them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import exp
from random import Random

from groove.band.touch.feel import BandFeel
from groove.band.touch.touch import SOFTEST, Struck


def with_graces(strokes: Iterable[Struck], feel: BandFeel, rng: Random) -> Iterator[Struck]:
    """The strokes of a drum part, before each that asks for them its grace strokes.

    They keep their distance in ms at any tempo, about; figures: ``patterns/touch/band.toml``. rng
    is the player's own.
    """
    figures = feel.figures["graces"]
    for struck in strokes:
        if struck.note.graces:
            wide = exp(figures["spread"] * max(-1.5, min(1.5, rng.gauss(0, 1))))
            ticks = wide * feel.ticks_per_ms(struck.note.start)
            loud = max(SOFTEST, round(figures["weight"] * struck.velocity))
            for before in figures["ms"][-struck.note.graces :]:
                start = max(0, struck.start - round(before * ticks))
                yield struck._replace(
                    start=start, length=max(1, struck.start - start), velocity=loud
                )
        yield struck
