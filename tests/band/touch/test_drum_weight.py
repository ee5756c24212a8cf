"""The weight of drum strokes, beside human takes of the Groove MIDI Dataset (Gillick et al.,
Learning to Groove with Inverse Sequence Transformations, ICML 2019, CC BY 4.0), in windows of four
bars. ``python -m tests.bench.touch_windows`` prints the figures for every pattern."""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from random import Random
from statistics import fmean, median, pstdev

import pytest

from groove import library
from groove.band.touch.drum_weight import DrumWeight
from groove.band.touch.profile import profile_for
from groove.rhythm.box_notation import ACCENT, GHOST, STROKE
from groove.rhythm.patterns import drum_pattern
from tests.bench.touch import Hit, hits
from tests.bench.touch_windows import Window, windows

STRAIGHT, TRIPLET = ("eighths-rock", "sixteenth-funk"), ("medium-swing", "shuffle")
SEEDS = range(6)


@cache
def takes(drums: str, lines: int) -> list[list[Hit]]:
    slow, fast = drum_pattern(drums).tempo
    return [hits(drums, (slow + fast) / 2, seed, lines) for seed in SEEDS]


def heard(names: tuple[str, ...], lines: int) -> list[Window]:
    return [w for name in names for take in takes(name, lines) for w in windows(take, 4 * lines)]


@pytest.mark.parametrize(("names", "lines"), [(STRAIGHT, 4), (TRIPLET, 3)])
def test_velocities_spread_in_four_bars_as_peoples_do(names, lines):
    """People: SD 21 to 41."""
    assert fmean(21 <= w.spread <= 41 for w in heard(names, lines)) > 0.9


@pytest.mark.parametrize(("names", "lines", "people"), [(STRAIGHT, 4, 32), (TRIPLET, 3, 38)])
def test_the_hand_that_keeps_time_accents_as_deep_as_peoples(names, lines, people):
    """People: 32 between the loudest and the softest place on straight grids, 38 on triplets."""
    depths = [w.depth for w in heard(names, lines) if w.depth is not None]
    assert median(depths) == pytest.approx(people, rel=0.4)


@pytest.mark.parametrize(("names", "lines"), [(STRAIGHT, 4), (TRIPLET, 3)])
def test_a_heavy_stroke_of_that_hand_is_followed_by_a_light_one(names, lines):
    """People: neighbours correlate at -0.3."""
    order = median(w.order for w in heard(names, lines) if w.order is not None)
    assert -0.6 <= order <= -0.2


@pytest.mark.parametrize(("names", "lines"), [(STRAIGHT, 4), (TRIPLET, 3)])
def test_that_hand_is_smooth(names, lines):
    """People: 13 to 15 ms between neighbouring deviations, RMS."""
    jump = median(w.jump for w in heard(names, lines) if w.jump is not None)
    assert 12 <= jump <= 16


def test_ghosts_are_soft_and_accents_full():
    """People's snare: about 110 on the backbeat, ghost notes under 50."""
    snare = [h for take in takes("sixteenth-funk", 4) for h in take if h.voice == "snare"]
    backbeats = [h.velocity for h in snare if h.position in (4, 12)]
    others = [h.velocity for h in snare if h.position not in (4, 12)]
    assert fmean(backbeats) > 100
    assert median(others) < 50


def weights(seed: int) -> DrumWeight:
    profile = profile_for(drum_pattern("eighths-rock"))
    return DrumWeight(library.load("touch", "band")["drums"], profile, Random(seed))


def test_a_mark_grows_with_its_weight_from_soft_to_full():
    marks = [weights(1).mark("snare", weight / 50) for weight in range(51)]
    assert marks == sorted(marks)
    ghost, stroke, accent = (weights(1).mark("snare", w) for w in (GHOST, STROKE, ACCENT))
    assert ghost < 35 < stroke < 85 < accent


def test_takes_accent_by_other_depths():
    depths: dict[int, list[float]] = defaultdict(list)
    for seed in range(12):
        for w in windows(hits("eighths-rock", 110, seed, 4), 16):
            depths[seed].append(w.depth or 0)
    assert pstdev([fmean(each) for each in depths.values()]) > 3
