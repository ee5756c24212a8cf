"""Reads a soundfont of 16-bit samples (.sf2) into memory."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from tests.bench.soundfont.font import INSTRUMENT, SAMPLE, Instrument, Preset, Sample, Zone


def read(path: Path) -> list[Preset]:
    """The presets of the soundfont at `path`, in the order of the file, with all that they play.

    The file is taken to be well formed: check it with `groove` before.
    """
    content = memoryview(path.read_bytes())
    chunks = dict(_chunks(content))
    pcm = np.frombuffer(chunks["smpl"], dtype="<i2")
    samples = _samples(chunks["shdr"], pcm)
    instruments = [Instrument(_name(record)) for record in _records(chunks["inst"], "<20s2x")[:-1]]
    starts = [start for (start,) in _records(chunks["inst"], "<20xH")]
    bags = _zones(chunks, "i", SAMPLE, samples)
    for instrument, first, last in zip(instruments, starts, starts[1:], strict=False):
        instrument.zones = bags[first:last]
    heads = _records(chunks["phdr"], "<20sHHH12x")
    bags = _zones(chunks, "p", INSTRUMENT, instruments)
    return [
        Preset(_name((name,)), bank, program, bags[first : following[3]])
        for (name, program, bank, first), following in pairwise(heads)
    ]


def _chunks(content: memoryview) -> Iterator[tuple[str, memoryview]]:
    """Every chunk inside the three lists, by name."""
    at = 12
    while at < len(content):
        name, size = struct.unpack_from("<4sI", content, at)
        if name == b"LIST":
            at += 12
            continue
        yield name.decode(), content[at + 8 : at + 8 + size]
        at += 8 + size + size % 2


def _records(chunk: memoryview, layout: str) -> list[tuple[Any, ...]]:
    return list(struct.iter_unpack(layout, chunk))


def _name(record: tuple[Any, ...]) -> str:
    raw: bytes = record[0]
    return raw.split(b"\0")[0].decode("latin-1")


def _samples(headers: memoryview, pcm: np.ndarray) -> list[Sample]:
    records = _records(headers, "<20s5IBbHH")[:-1]
    return [
        Sample(
            _name((name,)), pcm[start:end], rate, (loop - start, loop_end - start), pitch,
            correction,
        )
        for name, start, end, loop, loop_end, rate, pitch, correction, _, _ in records
    ]  # fmt: skip


def _zones(chunks: dict[str, memoryview], letter: str, last: int, targets: list[Any]) -> list[Zone]:
    """The zones of instruments ("i") or presets ("p"), whose target is generator `last`."""
    generators = _records(chunks[f"{letter}gen"], "<HH")
    modulators = [record for (record,) in _records(chunks[f"{letter}mod"], "<10s")]
    bags = _records(chunks[f"{letter}bag"], "<HH")
    zones = []
    for (first, first_mod), (end, end_mod) in pairwise(bags):
        own = dict(generators[first:end])
        target = own.pop(last, None)
        zones.append(
            Zone(own, modulators[first_mod:end_mod], None if target is None else targets[target])
        )
    return zones
