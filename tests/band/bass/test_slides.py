"""Slides are short notes from just below, and the note itself keeps its time."""

from __future__ import annotations

from groove.band.bass.slides import slides
from groove.band.part import GridNote
from tests.band.band_material import played

CHART = played(key="C").chart
BEAT = CHART.bars[0].meter.beat_ticks
FIRST = CHART.start


def note(beat: int, pitch: int, string: int, fret: int) -> GridNote:
    return GridNote(FIRST + beat * BEAT, BEAT, pitch, 0.6, "", string, fret)


def test_a_slide_comes_from_a_step_below_on_the_same_string() -> None:
    first, grace, second = slides([note(0, 36, 3, 3), note(1, 48, 1, 5)], [False, True], CHART)
    assert second == note(1, 48, 1, 5)
    assert (grace.pitch, grace.string, grace.fret) == (
        47,
        1,
        4,
    )  # B before C: the key has no B flat
    assert grace.start + grace.length == second.start
    assert grace.length <= BEAT // 8
    assert grace.weight < second.weight
    assert first.start + first.length == grace.start


def test_a_slide_takes_the_tone_of_the_key() -> None:
    assert slides([note(0, 36, 3, 3), note(1, 43, 2, 5)], [False, True], CHART)[1].pitch == 41


def test_nothing_slides_into_an_open_string_or_the_first_note() -> None:
    line = [note(0, 33, 3, 0), note(1, 33, 3, 0)]
    assert slides(line, [True, True], CHART) == line
