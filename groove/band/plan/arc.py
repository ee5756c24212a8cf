"""The arc of a performance: how busy the band is, chorus by chorus and phrase by phrase."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any

from groove.form.chart import Bar, Chart
from groove.form.intensity import HIGHEST, LOWEST
from groove.form.road.phrasing import PHRASE

Shape = Sequence[float]


def intensities(chart: Chart, rng: Random, figures: dict[str, Any]) -> list[float]:
    """The intensity of each bar of a chart, 1 to 3, as the band shapes it.

    Choruses differ, the first is spare and the one before the last a shout; bars with dynamics of
    their own stay. figures: ``[arc]`` of ``patterns/plan.toml``.
    """
    shapes = _shapes(chart, rng, figures)
    levels = [bar.intensity for bar in chart.bars]
    for number, (time, shape) in enumerate(zip(chart.rounds, shapes, strict=True)):
        size = time.last - time.first
        phrases = max(1, -(-size // PHRASE))
        waver = [rng.uniform(-1, 1) for _ in range(phrases)]
        share = _share(chart, number, figures)
        for index in range(time.first, time.last):
            bar = chart.bars[index]
            if bar.loudness is not None or bar.drums_alone:
                continue
            place = index - time.first
            phrase = place // PHRASE
            rise = (phrase / max(1, phrases - 1) - 0.5 + waver[phrase] / 2) * figures["phrase"]
            half = shape[0] if place < size / 2 else shape[1]
            shaped = bar.intensity + share * (half + rise)
            levels[index] = max(LOWEST, min(HIGHEST, shaped))
    for index in range(chart.rounds[-1].last, len(levels)):
        levels[index] = levels[chart.rounds[-1].last - 1]
    return levels


def _shapes(chart: Chart, rng: Random, figures: dict[str, Any]) -> list[Shape]:
    """The shape of each time round: what its halves add; no two neighbours have the same."""
    count = len(chart.rounds)
    even: Shape = figures["shapes"][0]
    if count == 1:
        return [even]
    found: list[Shape] = []
    for number in range(count):
        if chart.loops:
            others = [shape for shape in figures["shapes"] if not found or shape != found[-1]]
            found.append(rng.choice(others))
        elif number == 0:
            found.append(figures["spare"])
        elif number == count - 2 and count > 3:
            found.append(figures["shout"])
        elif number == count - 1 and count > 3:
            found.append(figures["last"])
        else:
            others = [shape for shape in figures["shapes"] if shape != found[-1]]
            found.append(rng.choice(others))
    return found


def _share(chart: Chart, number: int, figures: dict[str, Any]) -> float:
    """The share of its shape that a time round gets: a part of it where the form says a course."""
    level = _even(chart, number)
    if level is None:
        return float(figures["as_asked"])
    first = last = number
    while first and _even(chart, first - 1) == level:
        first -= 1
    while last + 1 < len(chart.rounds) and _even(chart, last + 1) == level:
        last += 1
    even = last - first + 1 >= figures["even_choruses"]
    return 1.0 if even else float(figures["as_asked"])


def _even(chart: Chart, number: int) -> float | None:
    """The level of a time round if its bars have one, else None."""
    time = chart.rounds[number]
    bars: tuple[Bar, ...] = chart.bars[time.first : time.last]
    level = bars[0].intensity
    return level if all(bar.intensity == level for bar in bars) else None
