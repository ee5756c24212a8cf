"""The times round of a form and how busy the band plays in each, for the screen's heights."""

from __future__ import annotations

from typing import Any

from groove.form.chart import Chart
from groove.form.model import Form, Line

LONGEST = 16
"""Characters of a line's sections that stand in a column."""
SHORT = 2
"""Characters of section names that can stand without commas between them."""


def rounds_of(form: Form, chart: Chart) -> list[dict[str, Any]]:
    """For each time round a line: ``line`` and ``time`` from 0, ``times``, the line's ``name``, or
    the sections that it plays; ``from`` and ``to``, the intensity of its first and its last bar;
    ``own``, whether the line has an intensity of its own. The choruses of a form without an order
    are one line."""
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
    """The plays of a line, section by section, or as much of its beginning as stands in a column:
    ``A A B A``, ``Verse, Chorus …``."""
    names = [play.section.name for play in line.plays if play.section.name]
    comma = " " if all(len(name) <= SHORT for name in names) else ", "
    told = names[:1]
    for name in names[1:]:
        if len(comma.join([*told, name])) > LONGEST:
            return f"{comma.join(told)} …"
        told.append(name)
    return comma.join(told)
