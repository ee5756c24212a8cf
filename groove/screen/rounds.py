"""The times round of a form and how busy the band plays in each, for the screen's heights."""

from __future__ import annotations

from typing import Any

from groove.form.chart import Chart
from groove.form.model import Form, Line


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
