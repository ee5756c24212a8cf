"""The bars and chords that a solo goes over, in ticks from the first bar line."""

from __future__ import annotations

from dataclasses import dataclass

from groove.form.chart import Bar
from groove.form.harmony import timed_slots
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.lesson.line import LineBar
from groove.theory.chords import Chord
from groove.theory.functions import Harmony, read_harmony


@dataclass(frozen=True, slots=True)
class Ground:
    """A round of the chart, as a soloist needs it.

    bars: of the round. silent: of each bar, the ticks between which no chord is played. families:
    of each bar's drum pattern. harmony: of the round.
    """

    bars: tuple[LineBar, ...]
    silent: tuple[tuple[int, int], ...]
    played: tuple[Bar, ...]
    harmony: Harmony


def ground_of(form: Form, number: int) -> Ground:
    """The ground of one round of a form's chart, counted from 0."""
    chart = unroll(form)
    time = chart.rounds[min(number, len(chart.rounds) - 1)]
    played = chart.bars[time.first : time.last]
    begin = played[0].start
    slots = [slot for bar in played for slot in bar.slots]
    return Ground(
        tuple(_line_bar(bar, begin) for bar in played),
        tuple((slot.start - begin, slot.end - begin) for slot in slots if slot.silent),
        played,
        read_harmony(timed_slots(played, slots), time.key),
    )


def _line_bar(bar: Bar, begin: int) -> LineBar:
    chords: list[tuple[int, Chord]] = []
    for slot in bar.slots:
        if not chords or chords[-1][1] != slot.chord:
            chords.append((max(slot.start - bar.start, 0), slot.chord))
    straight = bar.setting.feel == "straight"
    return LineBar(bar.start - begin, bar.length, bar.meter, bar.key, tuple(chords), straight)
