"""Slides: a grace note from a semitone below, just before a note of a chord (common practice)."""

from __future__ import annotations

from random import Random

from groove import library
from groove.band.keys.moments import Moment
from groove.band.part import GridNote, weight
from groove.form.chart import Bar, Chart
from groove.theory.pitch import Degree

THIRD = Degree(3)


def slide(moment: Moment, before: Moment | None, chart: Chart, rng: Random) -> GridNote | None:
    """The grace note before a whole chord, or None; rng: the player's own.

    It leads into the major third of a chord, as blues and gospel players slide from the minor one,
    else into the top note, and never rubs against another note of the chord.
    """
    chance = moment.pattern.slides
    bar = chart.bar_at(moment.start)
    if not chance or not moment.whole or moment.shifted or not _has_room(moment, before, bar):
        return None
    if rng.random() >= chance:
        return None
    chord = moment.chord
    third = (chord.root + THIRD).pitch_class
    major = chord.quality.third == THIRD
    targets = [pitch for pitch in moment.right if major and pitch % 12 == third]
    target = (targets or [moment.right[-1]])[-1]
    if target - 1 in moment.right or target - 1 < max(moment.floor, moment.ask.low):
        return None
    data = library.table("keys")["slides"]
    length = max(1, round(data["ms"] * bar.setting.ticks_per_ms))
    start = moment.start - length
    if start < chart.start or (before and start <= before.start):
        return None
    loud = weight(moment.hits[0].mark, moment.hits[0].accent)
    return GridNote(start, length, target - 1, data["softer"] * loud)


def _has_room(moment: Moment, before: Moment | None, bar: Bar) -> bool:
    """True where a hand has the time and the ear: half a beat before it, no figure of the band, no
    ending, no guitar beside it."""
    if not bar.number or bar.figure is not None or len(bar.comping) > 1:
        return False
    return before is None or moment.start - before.start >= bar.meter.beat_ticks // 2
