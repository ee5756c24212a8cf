"""The plan in words, a line a phrase."""

from __future__ import annotations

from collections.abc import Iterator

from groove.band.part import DRUMS
from groove.band.plan.plan import BREAK, PLAIN, Plan
from groove.form.chart import Bar, Figure
from groove.form.road.phrasing import PHRASE

TOPS = {PLAIN: "an unmarked top", BREAK: "a crash after the break"}


def plan_lines(plan: Plan) -> list[str]:
    """The plan, a line for each phrase: its bars, level and what the band does.

    Bars are counted through the whole track, beats in their bar, both from 1.
    """
    return list(_lines(plan))


def _lines(plan: Plan) -> Iterator[str]:
    bars = plan.chart.bars
    first = 0
    for index, bar in enumerate(bars):
        if index + 1 < len(bars) and _goes_on(bar, bars[index + 1]):
            continue
        low, high = (f"{bars[at].intensity:.1f}" for at in (first, index))
        level = low if low == high else f"{low} to {high}"
        span = f"bars {first + 1} to {index + 1}" if index > first else f"bar {first + 1}"
        words = ", ".join(_words(plan, first, index)) or "as before"
        yield f"{span} ({_name(bar)}), level {level}: {words}"
        first = index + 1


def _goes_on(bar: Bar, after: Bar) -> bool:
    """True if a bar and the next one are of one phrase."""
    if not bar.number or not after.number:
        return bar.number == after.number
    return (after.in_section - 1) % PHRASE != 0


def _name(bar: Bar) -> str:
    if not bar.number:
        return "ending"
    return bar.section or f"chorus {bar.round + 1}"


def _words(plan: Plan, first: int, last: int) -> Iterator[str]:
    """The decisions for the bars from one place to another, in words."""
    decisions = plan.bars[first]
    if decisions.top and plan.chart.bars[first].start not in plan.pushes:
        yield TOPS.get(decisions.top, f"a {decisions.top} on the one")
    if decisions.leads:
        yield "the drums lead" if decisions.leads == DRUMS else "the comping leads"
    for index in range(first, last + 1):
        bar, planned = plan.chart.bars[index], plan.bars[index]
        if bar.start in plan.pushes:
            yield f"bar {index + 1} pushed"
        if planned.breaks:
            yield f"a break in bar {index + 1}"
        elif bar.figure:
            yield _figure(bar, bar.figure, index)
        if planned.fill == 0:
            yield f"a gesture at the end of bar {index + 1}"
        elif planned.fill:
            beats = "a beat" if planned.fill == 1 else f"{planned.fill} beats"
            yield f"a fill of {beats} in bar {index + 1}"


def _figure(bar: Bar, figure: Figure, index: int) -> str:
    if not figure.strokes:
        return f"silence in bar {index + 1}"
    beat = bar.meter.beat_ticks
    beats = " ".join(f"{1 + (stroke.start - bar.start) / beat:g}" for stroke in figure.strokes)
    return f"{'stops' if figure.alone else 'kicks'} on {beats} in bar {index + 1}"
