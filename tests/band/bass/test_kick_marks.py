"""The bass marks the figures that kick and cymbals mark."""

from __future__ import annotations

from dataclasses import replace

import pytest

from groove.band.bass.kick_marks import marked_kicks, with_kick_marks
from groove.band.bass.line_note import BassNote
from groove.band.part import GridNote, Part
from groove.rhythm.kit import KIT
from tests.band.band_material import Played, played


def stab(band: Played, tick: int) -> Part:
    rows = ("kick", "crash")
    notes = (GridNote(tick, 240, KIT[row].note, 0.8, row) for row in rows)
    return Part("drums", tuple(notes))


@pytest.fixture(scope="module")
def band() -> Played:
    return played(drums="eighths-rock", choruses=1, seed=2)


def test_a_kick_with_a_crash_between_the_beats_is_a_figure(band: Played) -> None:
    start = band.plan.chart.bars[1].start
    assert marked_kicks(band.plan, stab(band, start + band.beat * 3 // 2)) == [
        start + band.beat * 3 // 2
    ]
    assert not marked_kicks(band.plan, stab(band, start + band.beat))


def test_the_bass_strikes_along_and_cuts_what_it_held(band: Played) -> None:
    start = band.plan.chart.bars[1].start
    tick = start + band.beat * 3 // 2
    line = with_kick_marks([BassNote(start, band.bar, "1")], band.plan, stab(band, tick))
    assert [(note.start, note.end, note.accent) for note in line] == [
        (start, tick, False), (tick, start + band.bar, True),
    ]  # fmt: skip


def test_a_note_that_is_there_already_is_accented(band: Played) -> None:
    start = band.plan.chart.bars[1].start
    tick = start + band.beat * 3 // 2
    held = BassNote(tick, band.beat, "5")
    line = with_kick_marks([held], band.plan, stab(band, tick))
    assert line == [replace(held, accent=True)]
