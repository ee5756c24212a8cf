"""The records of a soundfont: presets, instruments and sample headers, checked and read.

The nine chunks of the list pdta hold records of fixed size that point to one another by number;
the last record of each chunk only ends it. The layout and the record sizes follow the SoundFont
technical specification 2.01 (from memory); all of the laws that are checked here were found kept
in five free soundfonts.
"""

from __future__ import annotations

import struct
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    Records = Mapping[str, bytes]

RECORD_BYTES = {
    "phdr": 38,
    "pbag": 4,
    "pmod": 10,
    "pgen": 4,
    "inst": 22,
    "ibag": 4,
    "imod": 10,
    "igen": 4,
    "shdr": 46,
}
"""The nine chunks of pdta in their order, with the bytes of one record."""

HEADERS = ("phdr", "inst", "shdr")
"""Chunks that hold a record beside the last."""

MOST_RECORDS = 65_536
"""Records refer to one another by 16-bit numbers, so no chunk can use more than these."""

POINTERS = (
    ("phdr", "<24xH12x", "pbag"),
    ("inst", "<20xH", "ibag"),
    ("pbag", "<H2x", "pgen"),
    ("pbag", "<2xH", "pmod"),
    ("ibag", "<H2x", "igen"),
    ("ibag", "<2xH", "imod"),
)
"""The chunks that point to others, and where in a record the pointer stands."""

INSTRUMENT, KEY_RANGE, SAMPLE, LOOPING = 41, 43, 53, 54
"""Numbers of generators."""

COMPRESSED, ROM = 0x10, 0x8000
"""Kinds of samples: a Vorbis stream, whose places are bytes, and one that is not in the file."""

STREAM_BEGINS = b"OggS"
LOOPED = (1, 3)


class MalformedError(Exception):
    """A fault in the content of a soundfont, in words."""


class _Sample(NamedTuple):
    """A sample header: its name, and where sound and loop lie in the sample data.

    All are points of 16 bits; of a compressed sample, start and end are bytes, and the loop is
    counted from the beginning of the sample.
    """

    name: bytes
    start: int
    end: int
    loop_start: int
    loop_end: int
    kind: int


def check_records(records: Records, sample_bytes: int, at: Callable[[int, int], bytes]) -> None:
    """Raise `MalformedError` for records that the synthesiser cannot play whole.

    records: the content of each chunk, of a size that `check_size` has passed. sample_bytes: the
    size of the sample data. at: gives some bytes of the sample data, from an offset on.
    """
    ends: list[tuple[str, str, int, int]] = []
    for source, layout, target in POINTERS:
        pointers = [pointer for (pointer,) in struct.iter_unpack(layout, records[source])]
        last = len(records[target]) // RECORD_BYTES[target] - 1
        if pointers[-1] > last or any(later < earlier for earlier, later in pairwise(pointers)):
            raise MalformedError(f"damaged: {source} points to {target} records that are not there")
        ends.append((source, target, pointers[-1], last))
    for source, target, end, last in ends:
        if end != last:
            raise MalformedError(
                f"damaged: the last {source} record ends at {target} {end:,}, not {last:,}"
            )
    _check_samples(records, sample_bytes, at)


def check_size(name: str, size: int) -> None:
    """Raise `MalformedError` for a chunk whose bytes are not whole records, or too few or many."""
    record = RECORD_BYTES[name]
    least = 2 if name in HEADERS else 1
    if size % record or not least <= size // record <= MOST_RECORDS:
        raise MalformedError(
            f"damaged: {name} has {size:,} bytes, "
            f"not {least:,} to {MOST_RECORDS:,} records of {record}"
        )


def preset_numbers(records: Records) -> frozenset[tuple[int, int]]:
    """Bank and program, both from 0, of every preset."""
    headers = list(struct.iter_unpack("<20xHH14x", records["phdr"]))
    return frozenset((bank, program) for program, bank in headers[:-1])


def preset_keys(records: Records, bank: int, program: int) -> frozenset[int]:
    """The keys on which a preset has a sound; none where there is no such preset."""
    headers = list(struct.iter_unpack("<20xHHH12x", records["phdr"]))
    found: set[int] = set()
    for (number, where, first), (_, _, end) in pairwise(headers):
        if (where, number) == (bank, program):
            for instrument, keys in _zones(records, "p", range(first, end), INSTRUMENT):
                inside = _instrument_zones(records, instrument)
                found |= {key for _, own in _zones(records, "i", inside, SAMPLE) for key in own} & (
                    set(keys)
                )
    return frozenset(found)


def preset_samples(records: Records, bank: int, program: int) -> dict[int, frozenset[int]]:
    """The numbers of the samples that a preset plays on each key."""
    headers = list(struct.iter_unpack("<20xHHH12x", records["phdr"]))
    found: dict[int, set[int]] = {}
    for (number, where, first), (_, _, end) in pairwise(headers):
        if (where, number) == (bank, program):
            for instrument, keys in _zones(records, "p", range(first, end), INSTRUMENT):
                inside = _instrument_zones(records, instrument)
                for sample, own in _zones(records, "i", inside, SAMPLE):
                    for key in range(max(keys.start, own.start), min(keys.stop, own.stop)):
                        found.setdefault(key, set()).add(sample)
    return {key: frozenset(samples) for key, samples in found.items()}


def _instrument_zones(records: Records, instrument: int) -> range:
    offset = instrument * RECORD_BYTES["inst"]
    if offset + 2 * RECORD_BYTES["inst"] > len(records["inst"]):
        return range(0)
    first, end = struct.unpack_from("<20xH20xH", records["inst"], offset)
    return range(first, end)


def _zones(
    records: Records, level: str, numbers: range, target: int
) -> Iterator[tuple[int, range]]:
    """The zones of a preset ("p") or an instrument ("i"): what each plays, and on which keys.

    A first zone that plays nothing holds for the others where they say nothing else.
    """
    usual = range(128)
    for number in numbers:
        played, keys = None, usual
        for kind, amount in _generators(records, level, number):
            if kind == KEY_RANGE:
                keys = range(amount & 0xFF, (amount >> 8) + 1)
            elif kind == target:
                played = amount
        if played is not None:
            yield played, keys
        elif number == numbers.start:
            usual = keys


def _generators(records: Records, level: str, zone: int) -> Iterator[tuple[int, int]]:
    first, end = struct.unpack_from("<H2xH", records[f"{level}bag"], 4 * zone)
    yield from struct.iter_unpack("<HH", records[f"{level}gen"][4 * first : 4 * end])


def _check_samples(records: Records, size: int, at: Callable[[int, int], bytes]) -> None:
    """Check that all samples lie in the data, and the loops of those that are looped in them."""
    headers = list(struct.iter_unpack("<20s4I8xH", records["shdr"]))[:-1]
    odd: dict[int, str] = {}
    for number, sample in enumerate(map(_Sample._make, headers)):
        if sample.kind & ROM:
            continue
        if sample.kind & COMPRESSED:
            whole = sample.start <= sample.end <= size
            if whole and at(sample.start, len(STREAM_BEGINS)) != STREAM_BEGINS:
                raise MalformedError(f"damaged: {_called(sample)} is no Vorbis stream")
            inside = sample.loop_start < sample.loop_end
        else:
            whole = sample.start <= sample.end <= size // 2
            inside = sample.start <= sample.loop_start < sample.loop_end <= sample.end
        if not whole:
            raise MalformedError(f"damaged: {_called(sample)} lies outside of the sample data")
        if not inside:
            odd[number] = _called(sample)
    for number in _looped(records) if odd else ():
        if number in odd:
            raise MalformedError(f"damaged: the loop of {odd[number]} lies outside of it")


def _looped(records: Records) -> Iterator[int]:
    """The number of every sample that an instrument repeats."""
    instruments = [first for (first,) in struct.iter_unpack("<20xH", records["inst"])]
    for first, end in pairwise(instruments):
        usual = 0
        for zone in range(first, end):
            generators = dict(_generators(records, "i", zone))
            looping = generators.get(LOOPING, usual)
            if SAMPLE not in generators:
                usual = looping if zone == first else usual
            elif looping & 3 in LOOPED:
                yield generators[SAMPLE]


def _called(sample: _Sample) -> str:
    name = sample.name.split(b"\0", 1)[0].decode("latin-1")
    return f"the sample {''.join(sign if sign.isprintable() else '?' for sign in name)!r}"
