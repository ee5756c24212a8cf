"""Swing depends on tempo as it does with players; a shuffle is two to one."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove import library
from groove.band.part import grid_of
from groove.band.plan.planner import planned
from groove.band.take import play, record
from groove.band.touch.feel import BandFeel
from groove.form.model import FEELS
from groove.form.read import read_form
from groove.form.style import swing_ratio
from groove.form.unroll import unroll
from groove.rhythm.patterns import drum_pattern
from tests.band.band_material import form_of, some
from tests.cases import in_turn

TEMPI = st.floats(30, 320)
TABLE = library.load("touch", "feel")["swing"]


@given(TEMPI, TEMPI)
def test_the_ratio_never_rises_with_tempo(one: float, other: float) -> None:
    """Falls about linearly with tempo: Friberg & Sundström, Music Perception 19(3), 2002."""
    slow, fast = sorted((one, other))
    assert swing_ratio("swing", slow) >= swing_ratio("swing", fast)


@given(TEMPI)
def test_the_ratio_lies_between_even_and_what_drummers_play_at_most(tempo: float) -> None:
    """Up to 3.5 to 1, down to 1 to 1: Friberg & Sundström, 2002."""
    assert 1.0 <= swing_ratio("swing", tempo) <= 3.5


def test_the_fastest_tempo_is_even() -> None:
    """To 1 to 1 at fast tempi: Friberg & Sundström, 2002."""
    assert swing_ratio("swing", 320) == 1.0


@given(st.floats(150, 300))
def test_the_short_note_lasts_about_100_ms_from_medium_to_fast(tempo: float) -> None:
    """Friberg & Sundström, 2002; the short part of a beat at a ratio of r is beat / (1 + r)."""
    assert 60_000 / tempo / (1 + swing_ratio("swing", tempo)) == pytest.approx(100, abs=20)


@pytest.mark.parametrize(("tempo", "ratio"), TABLE)
def test_the_table_is_kept_at_its_entries(tempo: float, ratio: float) -> None:
    assert swing_ratio("swing", tempo) == pytest.approx(ratio)


@given(st.sampled_from(list(pairwise(TABLE))), st.floats(0, 1))
def test_between_two_entries_the_ratio_is_interpolated(
    pair: tuple[tuple[float, float], tuple[float, float]], part: float
) -> None:
    (low, before), (high, after) = pair
    expected = before + (after - before) * part
    assert swing_ratio("swing", low + (high - low) * part) == pytest.approx(expected)


@given(TEMPI)
def test_a_shuffle_is_two_to_one_at_any_tempo(tempo: float) -> None:
    """Long to short 2 to 1, the triplet (common practice)."""
    assert swing_ratio("shuffle", tempo) == 2.0


def test_a_form_takes_its_ratio_from_its_tempo() -> None:
    slow, fast = (form_of(feel="swing", tempo=tempo) for tempo in (120, 240))
    assert slow.swing_ratio > fast.swing_ratio


def test_a_ratio_that_was_asked_for_is_kept() -> None:
    assert form_of(feel="swing", swing_ratio=1.7, tempo=120).swing_ratio == 1.7


@in_turn("feel", FEELS)
@in_turn("name", some("drums"))
def test_a_pattern_brings_players_for_every_feel_that_it_takes(name: str, feel: str) -> None:
    if drum_pattern(name).grid.takes(feel):
        assert read_form("one-chord-vamp", drums=name, feel=feel).feel == feel


@pytest.mark.parametrize("name", some("drums"))
def test_the_whole_band_has_its_offbeats_at_one_place(name: str) -> None:
    """On the bare grid: an eighth written at the half or at two thirds of the beat."""
    form = read_form(
        "one-chord-vamp", drums=name, percussion="none", tightness=1, count_in=0, seed=3
    )
    chart = unroll(form)
    parts = play(planned(chart))
    feel = BandFeel(chart, 0.0, Random(1))
    beat = form.meter.beat_ticks
    places = set()
    for part, played in zip(parts, record(planned(chart), parts).parts, strict=True):
        grid = grid_of(part.name, chart, chart.start)
        offbeat = beat * 2 // 3 if grid.is_triplet or grid.meter.is_compound else beat // 2
        starts = [note.start for note in part.notes if note.start % beat == offbeat]
        swung = {round(feel.swung(start, grid)) % beat for start in starts}
        assert swung <= {note.start % beat for note in played.notes}
        places |= swung
    assert len(places) <= 1


def test_a_millisecond_is_as_many_ticks_as_each_chorus_s_tempo_makes_it() -> None:
    """960 ticks a beat: at 60 a millisecond is 0.96 ticks, at 120 twice as many."""
    chart = unroll(form_of("I:4", tempo=60, tempo_step=60, choruses=2))
    feel = BandFeel(chart, 0.0, Random(1))
    ticks = [feel.ticks_per_ms(chorus.start) for chorus in chart.rounds]
    assert ticks == pytest.approx([0.96, 1.92])


def test_offbeats_lie_where_each_chorus_s_swing_has_them() -> None:
    chart = unroll(form_of("I:4", tempo=120, tempo_step=60, choruses=3, feel="swing"))
    drums, feel = chart.form.drums, BandFeel(chart, 0.0, Random(1))
    offbeat = 640 if drums.grid.is_triplet else 480
    swung = [feel.swung(c.start + offbeat, drums.grid) - c.start for c in chart.rounds]
    ratios = [swing_ratio("swing", tempo) for tempo in (120, 180, 240)]
    assert swung == pytest.approx([960 * r / (1 + r) for r in ratios])
