"""Strums go through the strings as a hand does: down or up, slower at slow tempi, softer up."""

from __future__ import annotations

from random import Random
from statistics import fmean

import pytest

from groove.band.guitar.strum_strings import DOWN, PLUCKED, UP, direction
from groove.band.touch.feel import BandFeel
from groove.band.touch.strum import strum
from groove.form.chart import Chart
from groove.form.unroll import unroll
from groove.rhythm.patterns import comping_pattern
from tests.band.band_material import form_of

FAR = 1000.0  # ms to the next stroke
EIGHTH, TRIPLET, SIXTEENTH = 480, 320, 240


def chart_of(tempo: int = 120, drums: str = "eighths-rock", feel: str = "straight") -> Chart:
    return unroll(form_of("I:8", drums=drums, tempo=tempo, feel=feel, count_in=0))


def strums(name: str, tempo: int, tick: int, size: int) -> list[list[tuple[float, float]]]:
    """Many strums of a pattern at a time: ms and softness of each string, the lowest first."""
    feel, rng = BandFeel(chart_of(tempo), 0.0, Random(1)), Random(2)
    return [strum(comping_pattern(name), feel, tick, size, FAR, rng) for _ in range(200)]


def length(strummed: list[tuple[float, float]]) -> float:
    times = [ms for ms, _ in strummed]
    return max(times) - min(times)


@pytest.mark.parametrize("tempo", [40, 60, 90, 120, 160, 200, 300])
@pytest.mark.parametrize("size", [2, 3, 6])
def test_a_strum_lasts_8_to_35_ms(tempo: int, size: int) -> None:
    for strummed in strums("waltz-guitar", tempo, 0, size):
        assert 7.999 <= length(strummed) <= 35.001


def test_the_slower_the_tempo_the_slower_the_strum() -> None:
    means = [fmean(map(length, strums("waltz-guitar", t, 0, 6))) for t in (60, 100, 150, 220)]
    assert means == sorted(means, reverse=True)
    assert means[0] > 2 * means[-1]


def test_down_goes_from_the_low_strings_and_up_from_the_high_ones() -> None:
    for strummed in strums("waltz-guitar", 120, 0, 5):
        assert [ms for ms, _ in strummed] == sorted(ms for ms, _ in strummed)
    for strummed in strums("waltz-guitar", 120, EIGHTH, 4):
        assert [ms for ms, _ in strummed] == sorted((ms for ms, _ in strummed), reverse=True)


def test_an_upstroke_is_softer_and_the_first_strings_get_more() -> None:
    down, up = strums("waltz-guitar", 120, 0, 4), strums("waltz-guitar", 120, EIGHTH, 4)
    soft = [fmean(softer for s in each for _, softer in s) for each in (down, up)]
    assert soft[1] > soft[0] + 3
    assert fmean(s[0][1] for s in down) < fmean(s[-1][1] for s in down)
    assert fmean(s[0][1] for s in up) > fmean(s[-1][1] for s in up)


def test_thumb_and_fingers_pluck_almost_together() -> None:
    assert fmean(map(length, strums("bossa-guitar", 80, 0, 4))) < 8


def test_strokes_close_together_are_strummed_faster() -> None:
    feel = BandFeel(chart_of(60), 0.0, Random(1))
    pattern = comping_pattern("waltz-guitar")
    assert length(strum(pattern, feel, 0, 6, 60.0, Random(2))) <= 15


def test_one_string_and_players_of_lines_have_no_strum() -> None:
    feel = BandFeel(chart_of(), 0.0, Random(1))
    assert strum(comping_pattern("waltz-guitar"), feel, 0, 1, FAR, Random(1)) == [(0.0, 0.0)]
    assert strum(None, feel, 0, 2, FAR, Random(1)) == [(0.0, 0.0)] * 2


@pytest.mark.parametrize(
    ("name", "drums", "feel", "ways"),
    [
        ("waltz-guitar", "waltz", "straight", {0: DOWN, EIGHTH: UP, 960: DOWN}),
        (
            "funk-sixteenths", "sixteenth-funk", "straight",
            {0: DOWN, SIXTEENTH: UP, EIGHTH: DOWN, EIGHTH + SIXTEENTH: UP},
        ),
        ("one-drop-guitar", "one-drop", "straight", {EIGHTH: DOWN}),
        ("shuffle-chops", "shuffle", "shuffle", {0: DOWN, TRIPLET: DOWN, 2 * TRIPLET: UP}),
        ("six-eight-guitar", "six-eight", "straight", {0: DOWN, 480: UP, 960: DOWN, 1440: DOWN}),
        ("quarter-chops", "medium-swing", "swing", {0: DOWN, 2 * TRIPLET: DOWN}),
        ("samba-guitar", "samba", "straight", {0: PLUCKED, SIXTEENTH: PLUCKED}),
    ],
)  # fmt: skip
def test_the_hand_swings_with_the_grid(
    name: str, drums: str, feel: str, ways: dict[int, str]
) -> None:
    """Down on the halves that the subdivision gives, up between (common practice)."""
    chart = chart_of(drums=drums, feel=feel)
    pattern = comping_pattern(name)
    assert {tick: direction(pattern, chart, tick) for tick in ways} == ways
