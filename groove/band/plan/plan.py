"""The plan of a performance as data."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace
from functools import cached_property

from groove.band.part import BASS
from groove.form.chart import Chart
from groove.form.model import Form

CRASH, RIDE, BREAK, PLAIN = TOPS = ("crash", "ride", "break", "plain")


@dataclass(frozen=True, slots=True)
class PlannedBar:
    """The decisions for one bar.

    fill: beats of the fill at its end, None for none; 0 is a gesture over the groove. top: how its
    first beat is marked, one of TOPS, empty where nothing begins. leads: the player of figures in
    it, drums or comping, to whom the others leave room; empty for neither. breaks: whether the band
    breaks off in it, so that the next bar stands out.
    """

    fill: int | None = None
    top: str = ""
    leads: str = ""
    breaks: bool = False


USUAL = PlannedBar()


@dataclass(frozen=True)
class Plan:
    """The performance that a chart becomes.

    chart: as it is performed: the levels shaped, the changes that are pushed early, breaks among
    the figures. bars: the decisions, beside the chart's bars. bass_chart: the chart for the
    bassist, who walks on where the others push. written: the chart as it was arranged. pushes: the
    written ticks of the changes that this performance pushes. skips: those of them to which a
    walking bass skips.
    """

    chart: Chart
    bars: tuple[PlannedBar, ...]
    bass_chart: Chart
    written: Chart
    pushes: frozenset[int] = frozenset()
    skips: frozenset[int] = frozenset()

    def at(self, tick: int) -> PlannedBar:
        """The decisions for the bar that a time lies in."""
        place = bisect_right(self._starts, tick) - 1
        return self.bars[max(0, place)]

    def chart_for(self, player: str) -> Chart:
        """The chart that a player performs."""
        return self.bass_chart if player == BASS else self.chart

    def with_form(self, form: Form) -> Plan:
        """The same performance of a form that differs in touch alone."""
        return replace(
            self,
            chart=replace(self.chart, form=form),
            bass_chart=replace(self.bass_chart, form=form),
            written=replace(self.written, form=form),
        )

    @cached_property
    def _starts(self) -> list[int]:
        return [bar.start for bar in self.chart.bars]
