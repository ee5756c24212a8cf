"""The feel that all players share: the swing of the grid and the drift of the band.

The band drifts together, slowly: people who play together follow each other, and their
deviations are correlated over many beats, about as 1/f, not white (Hennig et al., The Nature
and Perception of Fluctuations in Human Musical Rhythms, PLoS ONE 6(10): e26457, 2011).
"""

from __future__ import annotations

from itertools import pairwise
from math import exp, sqrt
from random import Random
from typing import Any

from groove import library
from groove.band.figures import struck_together
from groove.form.chart import Bar, Chart
from groove.rhythm.box_notation import Grid


class BandFeel:
    """The swing of the form and the drift of the band.

    drift_sd_ms: how far the band drifts. rng: the band's own. together: the ticks at which the band
    strikes a figure. last: that of its last stroke in an ending, else -1.
    """

    def __init__(self, chart: Chart, drift_sd_ms: float, rng: Random) -> None:
        self.chart, self._start = chart, chart.start
        self.together = struck_together(chart)
        self.last = max(self.together, default=-1) if chart.ending else -1
        self.figures: dict[str, Any] = library.load("touch", "band")
        self.beat = chart.bars[0].meter.beat_ticks
        self._units: dict[int, tuple[int, int]] = {}  # by the identity of a setting of the chart
        beats = (chart.end - chart.start) // self.beat + 3
        memories = [exp(-1 / long) for long in self.figures["drift"]["beats"]]
        self._drift = _walk(beats, drift_sd_ms, memories, rng)
        self._loudness = _walk(beats, self.figures["drift"]["weight_sd"], memories, rng)
        if chart.loops:
            last = (chart.end - chart.start) // self.beat
            self._drift = _closed(self._drift, last)
            self._loudness = _closed(self._loudness, last)

    def ticks_per_ms(self, tick: int) -> float:
        """Ticks of a millisecond at the tempo of a time's bar; in an ending, as slow as it is."""
        bar = self.chart.bar_at(tick)
        return bar.setting.ticks_per_ms if bar.number else self.chart.tempi.rate(tick) / 60_000

    def ratio(self, tick: int) -> float:
        """The swing ratio of a time's bar."""
        return self.chart.bar_at(tick).setting.swing_ratio

    def drift_at(self, tick: int) -> float:
        """The band's drift in ms at a time after the count-in."""
        return self._between(self._drift, tick)

    def loudness_at(self, tick: int) -> float:
        """The velocity added by the band's drift in loudness at a time after the count-in."""
        return self._between(self._loudness, tick)

    def _between(self, walk: list[float], tick: int) -> float:
        """The value of a walk at a time, between two beats interpolated."""
        beat, part = divmod(tick - self._start, self.beat)
        return walk[beat] + (walk[beat + 1] - walk[beat]) * part / self.beat

    def intensity_at(self, tick: int) -> float:
        """The intensity, how busy the band is, at a time, 1 to 3."""
        return self.chart.bar_at(tick).intensity

    def level(self, tick: int, rise: float) -> float:
        """The velocity by which the band's loudness at a time differs from its middle.

        rise: velocity gained with each level of intensity, where that says how loud.
        """
        bar = self.chart.bar_at(tick)
        if bar.loudness is None:
            return rise * (bar.intensity - 2)
        return float(self.figures["dynamics"]["step"]) * bar.loudness

    def beat_part(self, tick: int) -> float:
        """The place of a time in its beat, in beats: 0 on the beat, 1/2 on the off-beat."""
        bar = self.chart.bar_at(tick)
        return bar.meter.beat_at(tick - bar.start)[1] / bar.meter.beat_ticks

    def _units_of(self, bar: Bar) -> tuple[int, int]:
        """The ticks of the unit that swings in a bar, and of a beat as the drummer counts it."""
        kept = self._units.get(id(bar.setting))
        if kept is None:
            drums = bar.drums
            kept = drums.swing_ticks, int(bar.meter.beat_ticks / drums.grid.rate)
            self._units[id(bar.setting)] = kept
        return kept

    def swung(self, tick: int, grid: Grid) -> float:
        """A time on the grid as the bar's swing ratio moves it, in ticks.

        On a grid of triplets the short part of a beat is written at two thirds, else at the
        half of the unit that swings. Where the drummer's sixteenths swing, triplets follow them.
        """
        if grid.meter.is_compound:
            return tick
        bar = self.chart.bar_at(tick)
        ratio, (unit, beat) = bar.setting.swing_ratio, self._units_of(bar)
        long = unit * ratio / (1 + ratio)
        if not grid.is_triplet:
            places = [(0, 0.0), (unit // 2, long), (unit, float(unit))]
        elif unit == beat:
            places = [(0, 0.0), (unit * 2 // 3, long), (unit, float(unit))]
        else:
            unit = beat
            third = unit // 3
            places = [(0, 0.0), (third, long), (2 * third, unit / 2), (unit, float(unit))]
        whole, part = divmod(tick - bar.start, unit)
        for (before, from_), (after, to) in pairwise(places):
            if part <= after:
                return (
                    bar.start
                    + whole * unit
                    + from_
                    + (part - before) * (to - from_) / (after - before)
                )
        raise AssertionError("a part of a unit lies within it")


def _closed(walk: list[float], last: int) -> list[float]:
    """The walk, bent so that it is back at 0 at its last beat, where a loop begins again."""
    return [value - walk[last] * beat / last for beat, value in enumerate(walk)]


def _walk(beats: int, spread: float, memories: list[float], rng: Random) -> list[float]:
    """A slow wandering about 0, one value a beat, that starts at 0 as the count-in ends.

    spread: its SD. Each of the memories (0 to 1, from a beat to the next) wanders by itself.
    """
    spread /= sqrt(len(memories))
    steps = [(memory, spread * sqrt(1 - memory**2)) for memory in memories]
    parts = [0.0] * len(steps)
    walk = []
    for _ in range(beats):
        walk.append(sum(parts))
        parts = [
            memory * part + step * rng.gauss(0, 1)
            for part, (memory, step) in zip(parts, steps, strict=True)
        ]
    return walk
