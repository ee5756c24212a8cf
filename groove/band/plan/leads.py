"""The leads of a performance: who plays figures in a phrase, and who leaves room."""

from __future__ import annotations

from random import Random
from typing import Any

from groove.band.part import COMPING, DRUMS
from groove.form.chart import Chart
from groove.form.road.phrasing import PHRASE

ANSWERS = {DRUMS: COMPING, COMPING: DRUMS, "": ""}


def planned_leads(chart: Chart, rng: Random, figures: dict[str, Any]) -> list[str]:
    """The player of figures in each bar, drums or comping, or neither.

    One leads in the first half of a phrase, the other answers in its second. figures: ``[leads]``
    of ``patterns/plan.toml``.
    """
    found: list[str] = []
    leader = ""
    chances = {DRUMS: figures["drums"], COMPING: figures["comping"]}
    chances[""] = 1 - sum(chances.values())
    for bar in chart.bars:
        place = (bar.in_section - 1) % PHRASE
        if not found or place == 0:
            leader = rng.choices(list(chances), list(chances.values()))[0]
        found.append(leader if place < PHRASE // 2 else ANSWERS[leader])
    return found
