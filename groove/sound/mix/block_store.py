"""Rendered audio in blocks: in memory up to a budget, beyond it in a temporary file.

The file has no name on systems that allow it, so it disappears with the process, however that ends.
"""

from __future__ import annotations

import tempfile
import threading
from functools import partial
from typing import IO, TYPE_CHECKING, Self

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from groove.sound.samples import Samples

MEMORY = 112_000_000
"""Bytes of samples that are kept in memory: three stems of a minute and three quarters."""

FRAME_BYTES = 8


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
            self._file.seek(kept[0] + first * FRAME_BYTES)
            self._file.readinto(stored.data)  # type: ignore[attr-defined]
        return stored

    def change(self, kept: Samples | tuple[int, int], change: Callable[[Samples], None]) -> None:
        """Change a stored block in place, by calling `change` with its samples."""
        if not isinstance(kept, tuple):
            change(kept)
            return
        block = self.get(kept, 0, kept[1])
        change(block)
        assert self._file is not None
        with self._lock:
            self._file.seek(kept[0])
            self._file.write(block.data)


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

    def change(self, change: Callable[[int, Samples], None]) -> None:
        """Change every block that is not silence in place; `change` is called with its first
        frame."""
        for number, kept in enumerate(self._kept):
            if kept is not None:
                self._store.change(kept, partial(change, number * self._block))

    def add_to(self, samples: Samples, first: int) -> None:
        """Add the part to `samples`, from frame `first`, which may lie outside of it."""
        begin, end = max(first, 0), min(first + len(samples), len(self._kept) * self._block)
        while begin < end:
            number, inside = divmod(begin, self._block)
            last = min(self._block, inside + end - begin)
            kept = self._kept[number]
            if kept is not None:
                samples[begin - first :][: last - inside] += self._store.get(kept, inside, last)
            begin += last - inside
