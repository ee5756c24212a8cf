"""Players set apart are each on one side only, and as loud as before."""

from __future__ import annotations

import numpy as np
import pytest

from groove.sound.mix.hard_panned import hard_panned

PARTS = ("drums", "bass", "comping", "click")


def sounds() -> tuple[np.ndarray, ...]:
    dice = np.random.default_rng(1)
    return tuple(dice.standard_normal((500, 2)).astype(np.float32) for _ in PARTS)


@pytest.mark.parametrize(
    ("part", "silent"), [("drums", [1]), ("bass", [1]), ("comping", [0]), ("click", [])]
)
def test_each_part_is_silent_on_the_other_side(part: str, silent: list[int]) -> None:
    (blocks,) = hard_panned([sounds()], PARTS)
    block = blocks[PARTS.index(part)]
    assert block is not None
    assert [side for side in (0, 1) if not block[:, side].any()] == silent


def test_what_stood_in_the_middle_keeps_its_energy() -> None:
    mono = np.random.default_rng(2).standard_normal((500, 1)).astype(np.float32)
    middle = np.repeat(mono, 2, axis=1)
    ((block,),) = hard_panned([(middle.copy(),)], ("bass",))
    assert block is not None
    assert np.square(block).sum() == pytest.approx(np.square(middle).sum(), rel=1e-5)


def test_a_part_that_has_ended_stays_so() -> None:
    assert list(hard_panned([(None,)], ("drums",))) == [(None,)]
