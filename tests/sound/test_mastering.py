"""Parts give way to one another where all of them together are too loud, and only there."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from groove.sound.limiter import CEILING, SLICE, Plan
from groove.sound.mastering import LEFT_DB, Master, giving_way
from groove.sound.recording import Passage, Recording

LEFT = 10 ** (LEFT_DB / 20)
FRAMES = 64 * SLICE

some_samples = arrays(np.float64, (4, 8), elements=st.floats(-3, 3))


def lowered(samples: np.ndarray) -> np.ndarray:
    return samples * 10 ** (-giving_way(samples) / 20)


@given(some_samples)
def test_what_is_left_of_all_parts_is_as_much_as_may_be(samples: np.ndarray) -> None:
    before = np.abs(samples.sum(axis=0))
    after = np.abs(lowered(samples).sum(axis=0))
    assert after[before > LEFT] == pytest.approx(LEFT, rel=1e-6)


@given(some_samples)
def test_the_loudest_gives_most(samples: np.ndarray) -> None:
    towards = samples * np.sign(samples.sum(axis=0))
    gives = np.take_along_axis(giving_way(samples), np.argsort(towards, axis=0), axis=0)
    assert (np.diff(gives, axis=0) >= 0).all()


def test_only_the_loudest_gives_where_that_is_enough() -> None:
    gives = giving_way(np.array([[1.0], [0.2], [-0.1], [0.3]]) * LEFT)
    assert gives[:, 0] == pytest.approx([20 * np.log10(1.0 / 0.6), 0, 0, 0])


def planned(at: int, decibels: float) -> Plan:
    gains = np.ones(65, dtype=np.float32)
    gains[at] = 10 ** (-decibels / 20)
    return Plan(gains)


@pytest.mark.parametrize(("of_bass", "of_mix", "most"), [(10, 10, 8), (10, 30, 6), (40, 20, 7)])
def test_the_most_is_that_of_one_part_at_one_moment(of_bass: int, of_mix: int, most: int) -> None:
    """Drums are lowered by 5 dB at slice 20, bass by 6 and the mix by 2, each somewhere."""
    plans = {"drums": planned(20, 5), "bass": planned(of_bass, 6)}
    passage = Passage(Recording({}, FRAMES, plans), tuple(plans))
    master = Master(passage, 1.0, CEILING, planned(of_mix, 2))
    assert master.most_db == pytest.approx(most, abs=1e-4)
