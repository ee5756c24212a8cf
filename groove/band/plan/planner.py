"""Makes the plan of a performance from a chart and the form's seed."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from random import Random
from typing import Any

from groove import library
from groove.band.plan.arc import intensities
from groove.band.plan.fills import planned_fills
from groove.band.plan.leads import planned_leads
from groove.band.plan.plan import Plan, PlannedBar
from groove.band.plan.pushes import planned_pushes, pushed_changes, walks
from groove.band.plan.tops import break_figure, planned_tops
from groove.form.chart import Chart, Figure


def planned(chart: Chart) -> Plan:
    """The plan of a performance of a chart.

    Chance comes from the form's seed. Figures of taste: ``patterns/plan.toml``.
    """
    figures: dict[str, Any] = library.table("plan")
    rng = {
        name: Random(f"{chart.form.seed} plan {name}")
        for name in ("arc", "tops", "fills", "pushes", "leads")
    }
    levels = intensities(chart, rng["arc"], figures["arc"])
    bars = [replace(bar, intensity=level) for bar, level in zip(chart.bars, levels, strict=True)]
    performed = replace(chart, bars=tuple(bars))
    tops, breaks = planned_tops(performed, rng["tops"], figures["tops"])
    broken = {index: break_figure(bars[index]) for index in breaks}
    for index, figure in broken.items():
        bars[index] = replace(bars[index], figure=figure)
    performed = replace(performed, bars=tuple(bars), figures=_in_order(chart, broken.values()))
    fills = planned_fills(performed, tops, rng["fills"], figures["fills"])
    pushes, skips = planned_pushes(performed, fills, rng["pushes"], figures["pushes"])
    leads = planned_leads(performed, rng["leads"], figures["leads"])
    early = pushed_changes(performed, pushes)
    at_bass = pushed_changes(performed, {tick for tick in pushes if not walks(chart, tick)})
    return Plan(
        chart=replace(performed, changes=early),
        bars=tuple(
            PlannedBar(fill, top, lead, index in broken)
            for index, (fill, top, lead) in enumerate(zip(fills, tops, leads, strict=True))
        ),
        bass_chart=replace(performed, changes=at_bass),
        written=chart,
        pushes=frozenset(pushes),
        skips=frozenset(skips),
    )


def _in_order(chart: Chart, more: Any) -> tuple[Figure, ...]:
    """The chart's figures and more, in order."""
    found = list(chart.figures)
    for figure in more:
        starts = [other.start for other in found]
        found.insert(bisect_left(starts, figure.start), figure)
    return tuple(found)
