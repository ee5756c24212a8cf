"""The count-in: the clicks before the first bar, as a band is counted in.

Fast bars before the last are counted by their groups, "1 - 2 - | 1 2 3 4"; slow beats of three
parts with their parts, "1 2 3 2 2 3". The tempi stand in ``patterns/count-in.toml``.
"""

from __future__ import annotations

from collections.abc import Sequence

from groove import library
from groove.band.part import GridNote, weight
from groove.form.chart import Chart
from groove.form.setting import Setting
from groove.rhythm.kit import KIT


def clicks(chart: Chart) -> list[GridNote]:
    """The clicks of a chart's count-in, the first of each bar an accent, parts of beats soft."""
    first = chart.bars[0]
    row, line = first.drums.click, first.drums.grid.line_ticks
    size = first.meter.bar_ticks
    found = []
    for number in range(chart.form.count_in):
        bar = chart.count_in + number * size
        for start in counted(first.setting, chart.form.count_in - number):
            mark = "x" if start in first.meter.beat_starts else "o"
            heavy = weight(mark, start == 0)
            found.append(GridNote(bar + start, line, KIT[row].note, heavy, row))
    return found


def counted(setting: Setting, left: int) -> Sequence[int]:
    """The ticks from its bar line at which a bar of the count-in is clicked; left: the bars of it
    that are left, itself among them."""
    meter, figures = setting.meter, library.table("count-in")
    if setting.tempo > figures["fast"] and left > 1:
        return meter.group_starts
    if meter.is_compound and setting.tempo < figures["slow"]:
        return range(0, meter.bar_ticks, meter.unit_ticks)
    return meter.beat_starts


def is_click(note: GridNote, chart: Chart) -> bool:
    """True if a note is a click of the count-in, not a stroke of the pickup."""
    first = chart.bars[0]
    if not chart.count_in <= note.start < chart.start or note.row != first.drums.click:
        return False
    bar, into = divmod(note.start - chart.count_in, first.meter.bar_ticks)
    return into in counted(first.setting, chart.form.count_in - bar)
