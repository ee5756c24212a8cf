"""Slides: the short note that the left hand comes from, a step below the note it slides into.

A grace note on the same string just before the beat (common practice); the note itself keeps its
time, so that the root still sounds where the chord changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from groove.band.degrees import key_tones
from groove.band.part import GridNote
from groove.form.chart import Chart
from groove.rhythm.kit import BASS_RANGE

GRACES = 8  # a grace note lasts one of so many parts of a beat
SOFTER = 0.7  # its weight, as a share of the note's


def slides(notes: Sequence[GridNote], slid: Sequence[bool], chart: Chart) -> list[GridNote]:
    """The notes of a line in order, with a grace note before each one that is slid into.

    slid: for each note, whether it is. The note before it makes room; where it leaves none, or the
    instrument has nothing below, there is no slide.
    """
    line: list[GridNote] = []
    for note, is_slid in zip(notes, slid, strict=True):
        grace = _grace(note, chart) if is_slid and line else None
        if grace and grace.start > line[-1].start:
            length = min(line[-1].length, grace.start - line[-1].start)
            line[-1] = replace(line[-1], length=length)
            line.append(grace)
        line.append(note)
    return line


def _grace(note: GridNote, chart: Chart) -> GridNote | None:
    """The note slid from: a tone below where the key has it, else a semitone."""
    length = chart.bar_at(note.start).meter.beat_ticks // GRACES
    step = 2 if (note.pitch - 2) % 12 in key_tones(chart.key_at(note.start)) else 1
    fret = note.fret - step
    if fret < 0 or note.pitch - step < BASS_RANGE[0]:
        return None
    return GridNote(
        note.start - length, length, note.pitch - step, SOFTER * note.weight,
        string=note.string, fret=fret,
    )  # fmt: skip
