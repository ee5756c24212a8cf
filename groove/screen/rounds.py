"""The times round of a form and how busy the band plays in each, for the screen's heights."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from groove.form.chart import Chart
from groove.form.model import Form, Line, Own
from groove.handout.practice.takes import choruses_for

MOST_BARS = 400
"""Bars of a track that is played for listening from its first chorus to its last."""


def rounds_of(form: Form, chart: Chart) -> list[dict[str, Any]]:
    """For each time round a line: ``line`` and ``time`` from 0, ``times``, the line's ``name``;
    ``from`` and ``to``, the intensity of its first and its last bar; ``own``, whether the line has
    an intensity of its own. The choruses of a form without an order are one line."""
    lines = form.lines
    found = []
    for time in chart.rounds:
        line = lines[time.line]
        bars = chart.bars[time.first : time.last]
        found.append(
            {
                "line": time.line,
                "time": time.time,
                "times": line.times,
                "name": line.name or _sections(line),
                "from": round(bars[0].intensity, 3),
                "to": round(bars[-1].intensity, 3),
                "own": "intensity" in line.own,
            }
        )
    return found


def _sections(line: Line) -> str:
    """The sections of a line, each once."""
    return ", ".join(dict.fromkeys(play.section.name for play in line.plays if play.section.name))


def from_first_to_last(form: Form) -> Form | None:
    """A form whose intensity is set and differs in more choruses than go round on a page, as one
    line that is played as often; None where it goes round as it is."""
    is_flat = len(form.intensity) == 1 and form.intensity[0].first == form.intensity[0].last
    few = form.choruses <= choruses_for(form) or form.bars * form.choruses > MOST_BARS
    if form.order or not form.intensity or is_flat or few:
        return None
    own = Own((("key_cycle", form.key_cycle), ("tempo_step", form.tempo_step)))
    line = Line(form.all_sections, form.choruses, is_open=True, own=own)
    return replace(form, order=(line,), key_cycle="none", tempo_step=0.0)
