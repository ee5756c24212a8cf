"""Rendered audio in blocks: in memory up to a budget, beyond it in a temporary file.

The file has no name on systems that allow it, so it disappears with the process, however that ends.
"""

from __future__ import annotations

import tempfile
import threading
from typing import IO, TYPE_CHECKING, Self

import numpy as np

from groove.sound.samples import BYTES_A_FRAME

if TYPE_CHECKING:
    from pathlib import Path

    from groove.sound.samples import Samples

MEMORY = 112_000_000
"""Bytes of samples that are kept in memory: three stems of a minute and three quarters."""


class BlockStore:
    """Storage shared by several parts, which together keep at most `memory` bytes in memory.

    The rest goes to a file in `folder`; None stands for the system's folder of temporary files. A
    context manager that discards all of it.
    """

    def __init__(self, folder: Path | None, memory: int = MEMORY) -> None:
        self._folder, self._left = folder, memory
        self._file: IO[bytes] | None = None
        self._lock = threading.Lock()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        if self._file:
            self._file.close()

    def put(self, block: Samples) -> Samples | tuple[int, int]:
        """Store a block; returns the block if the memory allows it, else its place in the file."""
        if block.nbytes <= self._left:
            self._left -= block.nbytes
            return block
        with self._lock:
            if self._file is None:
                self._file = tempfile.TemporaryFile(dir=self._folder)  # noqa: SIM115
            place = self._file.seek(0, 2)
            self._file.write(block.data)
        return place, len(block)

    def get(self, kept: Samples | tuple[int, int], first: int, last: int) -> Samples:
        """The frames `first` up to but not including `last` of a stored block."""
        if not isinstance(kept, tuple):
            return kept[first:last]
        assert self._file is not None
        stored = np.empty((last - first, 2), dtype=np.float32)
        with self._lock:
            self._file.seek(kept[0] + first * BYTES_A_FRAME)
            self._file.readinto(stored.data)  # type: ignore[attr-defined]
        return stored


class StoredPart:
    """A part's blocks, all equally long; silent before the first and after the last.

    Several threads may read it once all blocks are added.
    """

    def __init__(self, store: BlockStore) -> None:
        self._store = store
        self._kept: list[Samples | tuple[int, int] | None] = []
        self._block = 1

    def append(self, block: Samples | None) -> None:
        """Add a block; None is one of silence, as long as the others."""
        if block is not None:
            self._block = len(block)
        self._kept.append(None if block is None else self._store.put(block))

    def read(self, first: int, samples: Samples) -> None:
        """Fill `samples` with the part from frame `first`, which may lie outside of it."""
        last = first + len(samples)
        begin, end = max(first, 0), max(0, min(last, len(self._kept) * self._block))
        samples[: max(0, begin - first)] = 0
        samples[max(0, end - first) :] = 0
        while begin < end:
            number, inside = divmod(begin, self._block)
            until = min(self._block, inside + end - begin)
            kept = self._kept[number]
            some = samples[begin - first :][: until - inside]
            some[:] = 0 if kept is None else self._store.get(kept, inside, until)
            begin += until - inside
