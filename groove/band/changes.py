"""The chords of a track, looked up by time."""

from __future__ import annotations

from bisect import bisect_right

from groove.form.chart import Chart, Slot
from groove.theory.chords import Chord


class Changes:
    """The chords of a chart by time.

    After the end of the track the first chord sounds again, as a listener expects.
    slots: the chords in order, each as long as it lasts.
    """

    def __init__(self, chart: Chart) -> None:
        self.slots = chart.changes
        self._starts = [slot.start for slot in chart.changes]
        self._end = chart.changes[-1].end
        self._chart = chart
        self._first = next(slot for slot in self.slots if slot.end > chart.start)

    def slot_at(self, tick: int) -> Slot:
        """The chord that sounds at a time."""
        if tick >= self._end:
            return self._first
        return self.slots[max(0, bisect_right(self._starts, tick) - 1)]

    def chord_to_come(self, tick: int) -> Chord:
        """The chord at the next strong place, where a group of beats or a bar begins."""
        return self.slot_to_come(tick).chord

    def slot_to_come(self, tick: int) -> Slot:
        """The same with its place."""
        bar = self._chart.bar_at(tick)
        strong = (bar.start + start for start in bar.meter.group_starts)
        return self.slot_at(next((at for at in strong if at > tick), bar.end))

    def next_change(self, tick: int) -> Slot:
        """The next chord that begins after a time."""
        index = bisect_right(self._starts, tick)
        return self.slots[index] if index < len(self.slots) else self._first
