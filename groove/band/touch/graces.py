"""The soft strokes before a flam's or a drag's own, placed as hands play them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import exp
from random import Random

from groove.band.part import DRUMS
from groove.band.touch.feel import BandFeel
from groove.band.touch.touch import SOFTEST, Struck

ROOM = 0.6  # of the way to the stroke before of the same voice, that graces take up at most
LEAST = 10.0  # ms of it, under which a hand leaves them out


def with_graces(strokes: Iterable[Struck], feel: BandFeel, rng: Random) -> Iterator[Struck]:
    """The strokes of a drum part, before each that asks for them its grace strokes.

    They keep their distance in ms at any tempo, about, and move together where the voice was struck
    just before; figures: ``patterns/touch/band.toml``. rng is the player's own.
    """
    figures = feel.figures["graces"]
    last: dict[str, int] = {}
    for struck in strokes:
        row = struck.note.row
        if struck.note.graces and not feel.chart.form.is_plain(DRUMS):
            wide = exp(figures["spread"] * max(-1.5, min(1.5, rng.gauss(0, 1))))
            per_ms = feel.ticks_per_ms(struck.note.start)
            ms = [wide * before for before in figures["ms"][-struck.note.graces :]]
            room = ROOM * (struck.start - last.get(row, 0)) / per_ms
            if room >= LEAST:
                loud = max(SOFTEST, round(figures["weight"] * struck.velocity))
                for before in ms:
                    early = max(1, round(min(1.0, room / max(ms)) * before * per_ms))
                    start, grid = struck.start - early, struck.grid - early
                    yield struck._replace(start=start, length=early, velocity=loud, grid=grid)
        last[row] = struck.start
        yield struck
