"""Flams and drags: soft strokes before the stroke, at a distance that is the hand's."""

from __future__ import annotations

from dataclasses import replace

import pytest

from groove.band.part import Part
from groove.band.take import record
from tests.band.band_material import Played, played


def with_flams(graces: int, tempo: int) -> tuple[Played, list[tuple[int, int]]]:
    """A band whose snare has graces at its backbeats, and start and velocity of its snare."""
    band = played(drums="eighths-rock", tempo=tempo, choruses=1, intensity="1")
    notes = tuple(
        replace(note, graces=graces if note.row == "snare" else 0) for note in band.drums.notes
    )
    take = record(band.plan, (Part("drums", notes), *band.parts[1:]))
    snare = [
        n for n in take.parts[0].notes if n.pitch == 38 and n.start >= band.chart.bars[1].start
    ]
    return band, [(note.start, note.velocity) for note in snare[:6]]


@pytest.mark.parametrize("tempo", [60, 120, 190])
def test_a_flam_is_one_soft_stroke_20_to_40_ms_before(tempo: int) -> None:
    """20 to 40 ms: common practice."""
    band, struck = with_flams(1, tempo)
    for (grace, soft), (start, hard) in zip(struck[::2], struck[1::2], strict=True):
        ms = (start - grace) / band.chart.bars[0].setting.ticks_per_ms
        assert 20 <= ms <= 40
        assert soft < 0.7 * hard


def test_a_drag_is_two_soft_strokes() -> None:
    _, struck = with_flams(2, 100)
    first, second, main = struck[:3]
    assert first[0] < second[0] < main[0]
    assert max(first[1], second[1]) < 0.7 * main[1]


@pytest.mark.parametrize("tempo", [60, 190, 320])
def test_graces_never_overtake_the_stroke_before(tempo: int) -> None:
    _, struck = with_flams(2, tempo)
    starts = [start for start, _ in struck]
    assert starts == sorted(set(starts))


def test_no_two_flams_are_alike() -> None:
    _, struck = with_flams(1, 100)
    apart = {main - grace for (grace, _), (main, _) in zip(struck[::2], struck[1::2], strict=True)}
    assert len(apart) > 1
