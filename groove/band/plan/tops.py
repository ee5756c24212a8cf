"""The tops of choruses: which are marked by a crash, by the ride, by a break, or not at all."""

from __future__ import annotations

from random import Random
from typing import Any

from groove.band.plan.plan import BREAK, CRASH, PLAIN
from groove.form.chart import Bar, Chart, Figure, FigureStroke

LEAST_CHORUSES = 3  # for a break, which a short track has no room for


def planned_tops(chart: Chart, rng: Random, figures: dict[str, Any]) -> tuple[list[str], list[int]]:
    """For each bar how its first beat is marked, and the places of the bars that break off.

    The first bar of a track follows the count-in unmarked, unless it is repeated; a section begins
    as a top does, but for breaks. figures: ``[tops]`` of ``patterns/plan.toml``.
    """
    kinds = {kind: float(figures[kind]) for kind in ("crash", "ride", "break", "plain")}
    tops: list[str] = []
    breaks: list[int] = []
    before = ""
    for index, bar in enumerate(chart.bars):
        begins = bar.in_section == 1 and bar.number and not bar.turn
        if not (bar.top or begins) or not bar.number or (not index and not chart.loops):
            tops.append("")
            continue
        last = chart.bars[index - 1]
        left = {kind: chance for kind, chance in kinds.items() if kind != before}
        if not bar.top:
            left.pop(PLAIN, None)
        if not _may_break(chart, last, bar, breaks, index, figures):
            left.pop(BREAK, None)
        kind = rng.choices(list(left), list(left.values()))[0] if len(left) > 1 else CRASH
        if kind == BREAK:
            breaks.append(index - 1)
        tops.append(kind)
        before = kind
    return tops, breaks


def _may_break(
    chart: Chart, last: Bar, bar: Bar, breaks: list[int], index: int, figures: dict[str, Any]
) -> bool:
    """True if the band may break off in the last bar before a top."""
    since = index - 1 - breaks[-1] if breaks else index
    return (
        bar.top
        and index > 0
        and not chart.form.order
        and len(chart.rounds) >= LEAST_CHORUSES
        and bar.drums.family in figures["breaks"]
        and not last.drums.clave
        and last.intensity >= figures["break_level"]
        and len(last.slots) == 1
        and not last.slots[0].silent
        and not last.slots[0].early
        and last.figure is None
        and last.held is None
        and since > 2 * chart.form.bars
    )


def break_figure(bar: Bar) -> Figure:
    """A break: the bar's first beat, and silence up to the drummer's pickup on its last."""
    beat = bar.meter.beat_ticks
    stroke = FigureStroke(bar.start, beat // 2, True)
    return Figure(bar.start, bar.end - beat, (stroke,), alone=True)
