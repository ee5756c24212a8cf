"""Notes without swing and touch."""

from __future__ import annotations

from fractions import Fraction

import pytest

from groove.band.part import GridNote, Part
from groove.band.plan.planner import planned
from groove.band.straight import straightened
from groove.band.take import play, record
from groove.form.chart import Chart
from groove.rhythm.patterns import drum_pattern
from tests.band.band_material import played

EVEN = ["eighths-rock", "rumba", "slow-blues", "six-eight", "sixteenth-funk", "seven-eight"]
SWUNG = ["medium-swing", "shuffle", "jazz-waltz", "boogie", "five-swing"]


def chart_of(drums: str) -> Chart:
    return played("I7:4 IV7:4", drums=drums, choruses=2, count_in=1).chart


def places(notes: list[GridNote], chart: Chart) -> set[Fraction]:
    """The places in their beats at which notes begin, in beats."""
    meter = chart.form.meter
    return {Fraction(meter.beat_at(note.start)[1], meter.beat_ticks) for note in notes}


@pytest.mark.parametrize("drums", EVEN)
def test_what_is_written_even_stays_where_it_is_written(drums: str) -> None:
    chart = chart_of(drums)
    for part in play(planned(chart)):
        moved = straightened(part, chart)
        assert [struck.start for struck in moved] == [note.start for note in part.notes]


@pytest.mark.parametrize("drums", SWUNG)
def test_swung_eighths_are_even_and_real_triplets_stay(drums: str) -> None:
    chart = chart_of(drums)
    assert drum_pattern(drums).grid.is_triplet
    for part in play(planned(chart)):
        at = {note.start for note in part.notes}
        beat = chart.form.meter.beat_ticks
        for struck in straightened(part, chart):
            written = struck.note.start
            start = written - chart.form.meter.beat_at(written)[1]
            if written - start == 2 * beat // 3 and start + beat // 3 not in at:
                assert struck.start == start + beat // 2
            else:
                assert struck.start == written


def test_a_shuffled_beat_becomes_two_eighths_and_a_triplet_three() -> None:
    chart = chart_of("medium-swing")
    beat, start = 960, chart.start
    notes = (
        GridNote(start, 640, 38, 0.6, "snare"),
        GridNote(start + 640, 320, 38, 0.6, "snare"),
        GridNote(start + beat, 320, 38, 0.6, "snare"),
        GridNote(start + beat + 320, 320, 38, 0.6, "snare"),
        GridNote(start + beat + 640, 320, 38, 0.6, "snare"),
    )
    moved = straightened(Part("drums", notes), chart)
    assert [(s.start - start, s.length) for s in moved] == [
        (0, 480), (480, 480), (960, 320), (1280, 320), (1600, 320),
    ]  # fmt: skip


@pytest.mark.parametrize("drums", [*EVEN, *SWUNG])
def test_a_take_of_straight_notes_has_every_note_of_the_parts_on_the_grid(drums: str) -> None:
    chart = chart_of(drums)
    parts = play(planned(chart))
    take = record(planned(chart), parts, straight=True)
    for part, found in zip(parts, take.parts, strict=True):
        cues = sum(len(cue.notes) for cue in take.cues) if part.name == "drums" else 0
        assert len(found.notes) + cues == len(part.notes)
        assert all(1 <= note.velocity <= 127 for note in found.notes)
        assert all(note.start % 10 == 0 for note in found.notes)
