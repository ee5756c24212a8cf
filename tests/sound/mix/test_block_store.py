"""A stored part reads back as it was added, from memory and from the file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from groove.sound.mix.block_store import BlockStore, StoredPart
from groove.sound.samples import BYTES_A_FRAME

if TYPE_CHECKING:
    from pathlib import Path

BLOCK = 8
COUNTS = st.integers(0, 60)


def blocks(number: int) -> list[np.ndarray]:
    dice = np.random.default_rng(number)
    return [dice.standard_normal((BLOCK, 2)).astype(np.float32) for _ in range(number)]


@given(st.integers(1, 6), st.integers(0, 4), st.integers(-20, 60), COUNTS)
def test_any_stretch_reads_back_wherever_it_is_kept(
    number: int, in_memory: int, first: int, count: int
) -> None:
    whole = np.concatenate(blocks(number))
    padded = np.concatenate([np.zeros((20, 2)), whole, np.zeros((140, 2))]).astype(np.float32)
    with BlockStore(None, memory=in_memory * BLOCK * BYTES_A_FRAME) as store:
        part = StoredPart(store)
        for block in blocks(number):
            part.append(block)
        samples = np.ones((count, 2), dtype=np.float32)
        part.read(first, samples)
    assert np.array_equal(samples, padded[20 + first : 20 + first + count])


def test_silence_takes_no_room(tmp_path: Path) -> None:
    with BlockStore(tmp_path, memory=BLOCK * BYTES_A_FRAME) as store:
        part = StoredPart(store)
        for block in (blocks(1)[0], None, None):
            part.append(block)
        samples = np.ones((3 * BLOCK, 2), dtype=np.float32)
        part.read(0, samples)
    assert np.array_equal(samples, np.concatenate([blocks(1)[0], np.zeros((2 * BLOCK, 2))]))


def test_the_file_has_no_name_or_is_gone_at_the_end(tmp_path: Path) -> None:
    with BlockStore(tmp_path, memory=0) as store:
        StoredPart(store).append(blocks(1)[0])
    assert list(tmp_path.iterdir()) == []
