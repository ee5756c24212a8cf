"""Feel and touch: where the grid's notes fall in time, and how hard they are struck.

Feel moves the offbeats to the swing ratio. Touch moves every note a little: the band drifts
together, slowly; each voice has its place around the beat; what is left is each stroke's
own. Figures: ``patterns/touch/band.toml``. Deviations of human timing are correlated over
time and not white: Hennig et al., PLoS ONE 6(10): e26457, 2011.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from groove import library
from groove.band.part import GridNote, Part
from groove.band.patterns import Grid, Pattern
from groove.form.chart import Chart
from groove.form.meter import seconds_to_ticks

TRIPLET_OFFBEAT, EVEN_OFFBEAT = (2, 3), (1, 2)
LEAST_VELOCITY, MOST_VELOCITY = 8, 127


class Timeline:
    """What all players share: the swing of the form and the drift of the band."""

    def __init__(self, chart: Chart, drums: Pattern, rng: Random) -> None:
        form = chart.form
        self._unit = swing_unit(drums)
        self.chart = chart
        self.figures: dict[str, Any] = library.load("touch", "band")
        self.ticks_per_ms = seconds_to_ticks(0.001, form.tempo, form.meter)
        self._beat = form.meter.beat_ticks
        self._ratio = form.swing_ratio
        self._levels = [bar.intensity for bar in chart.bars]
        self._drift = self._walk(chart.end // self._beat + 2, rng)

    def _walk(self, beats: int, rng: Random) -> list[float]:
        """The band's drift in ms, one value a beat: each beat remembers the one before."""
        memory, spread = self.figures["drift_memory"], self.figures["drift_sd_ms"]
        step = spread * (1 - memory**2) ** 0.5
        drift = [0.0]
        for _ in range(beats):
            drift.append(memory * drift[-1] + step * rng.gauss(0, 1))
        return drift

    def drift_at(self, tick: int) -> float:
        """The band's drift in ms at a time, between two beats interpolated."""
        beat, part = divmod(tick, self._beat)
        here, there = self._drift[beat], self._drift[beat + 1]
        return here + (there - here) * part / self._beat

    def intensity_at(self, tick: int) -> float:
        """How busy the band is at a time, 1 to 3."""
        bar = (tick - self.chart.start) // self.chart.form.meter.bar_ticks
        return self._levels[max(0, min(bar, len(self._levels) - 1))]

    def swung(self, tick: int, grid: Grid) -> float:
        """A time on the grid moved to where the form's swing ratio has it, in ticks.

        On a grid of triplets the short part of a beat is written at two thirds, else at the
        half of what swings.
        """
        if grid.meter.is_compound:
            return tick
        unit = self._beat if grid.is_triplet else self._unit
        over, of = TRIPLET_OFFBEAT if grid.is_triplet else EVEN_OFFBEAT
        written = unit * over / of
        target = unit * self._ratio / (1 + self._ratio)
        whole, part = divmod(tick, unit)
        if part <= written:
            return whole * unit + part * target / written
        return whole * unit + target + (part - written) * (unit - target) / (unit - written)


def swing_unit(drums: Pattern) -> int:
    """The ticks in which a long and a short note share, for the whole band: a beat where the
    drum pattern's eighths swing, half a beat where its sixteenths do."""
    grid = drums.grid
    swings = drums.options.get("swings", 16 if grid.lines_per_beat == 4 else 8)
    return grid.meter.beat_ticks // (2 if swings == 16 else 1)


def touched(
    part: Part, timeline: Timeline, rng: Random
) -> Iterator[tuple[GridNote, int, int, int]]:
    """Each note of a part with its start and length in ticks and its velocity, as played."""
    figures = timeline.figures[part.name]
    grid = part.pattern.grid
    places: dict[str, float] = figures.get("voices", {})
    for group in _struck_together(part.notes):
        together = rng.gauss(0, figures["jitter_sd_ms"])
        push = rng.gauss(0, figures["weight_sd"])
        for order, note in enumerate(group):
            late = timeline.drift_at(note.start) + together + figures["place_ms"]
            late += places.get(note.row, 0.0) + rng.gauss(0, figures["spread_sd_ms"])
            late += figures.get("strum_ms", 0.0) * order
            at = timeline.swung(note.start, grid) + late * timeline.ticks_per_ms
            end = timeline.swung(note.start + note.length, grid)
            held = (end - timeline.swung(note.start, grid)) * figures["held"]
            start = max(0, round(at))
            if note.start < timeline.chart.start:
                start = round(timeline.swung(note.start, grid))  # the count-in is strict
            yield note, start, max(1, round(held)), _velocity(note, timeline, push, figures)


def _struck_together(notes: tuple[GridNote, ...]) -> Iterator[list[GridNote]]:
    group: list[GridNote] = []
    for note in notes:
        if group and note.start != group[0].start:
            yield group
            group = []
        group.append(note)
    if group:
        yield group


def _velocity(note: GridNote, timeline: Timeline, push: float, figures: dict[str, Any]) -> int:
    """Weight as velocity: the mark, the metre, the level of the band, the stroke's own."""
    beat = timeline.chart.form.meter.beat_ticks
    metre = 0.0 if note.start % beat == 0 else figures["off_beat"]
    level = 0.04 * (timeline.intensity_at(note.start) - 2)
    value = 127 * (note.weight + metre + level + push)
    return max(LEAST_VELOCITY, min(MOST_VELOCITY, round(value)))
