"""The plan in words, a line a phrase."""

from __future__ import annotations

from collections.abc import Iterator

from groove.band.plan.plan import BREAK, PLAIN, Plan
from groove.form.road.phrasing import PHRASE

GESTURE = "gesture"


def plan_lines(plan: Plan) -> list[str]:
    """The lines of a plan: a heading, one for each phrase, and the ending.

    Bars are counted through the whole track, beats in their bar, both from 1.
    """
    rows = [("bars", "part", "level", "what the band does"), *_rows(plan)]
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    return [
        "  ".join((*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[3]))
        for row in rows
    ]


def _rows(plan: Plan) -> Iterator[tuple[str, str, str, str]]:
    bars = plan.chart.bars
    first = 0
    for index, bar in enumerate(bars):
        after = bars[index + 1] if index + 1 < len(bars) else None
        if after and after.number and (after.in_section - 1) % PHRASE and after.in_section > 1:
            continue
        levels = [f"{bars[at].intensity:.1f}" for at in (first, index)]
        part = bar.section or f"chorus {bar.round + 1}"
        if not bar.number:
            part = "ending"
        yield (
            f"{first + 1}-{index + 1}" if index > first else str(first + 1),
            part,
            levels[0] if levels[0] == levels[1] else "-".join(levels),
            ", ".join(_words(plan, first, index)) or "on as before",
        )
        first = index + 1


def _words(plan: Plan, first: int, last: int) -> Iterator[str]:
    """What the band does in the bars from one place to another, in words."""
    decisions = plan.bars[first]
    if decisions.top:
        words = {PLAIN: "goes on without a mark", BREAK: "comes in after a break"}
        yield words.get(decisions.top, f"begins with the {decisions.top}")
    if decisions.leads:
        yield f"{decisions.leads} leads"
    for index in range(first, last + 1):
        bar, planned = plan.chart.bars[index], plan.bars[index]
        if bar.start in plan.pushes:
            yield f"pushes into {index + 1}"
        if planned.breaks:
            yield f"breaks off in {index + 1}"
        elif bar.figure:
            beats = " ".join(
                f"{1 + (stroke.start - bar.start) / bar.meter.beat_ticks:g}"
                for stroke in bar.figure.strokes
            )
            yield f"{'stops' if bar.figure.alone else 'kicks'} in {index + 1} on {beats}"
        if planned.fill == 0:
            yield f"{GESTURE} into {index + 2}"
        elif planned.fill:
            unit = "beat" if planned.fill == 1 else "beats"
            yield f"fill of {planned.fill} {unit} into {index + 2}"
