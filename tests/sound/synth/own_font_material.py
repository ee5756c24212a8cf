"""Reads the package's own soundfont for its tests: its records, and how its notes sound."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from groove.sound.files.ogg import checksum
from groove.sound.synth.soundfonts import PACKAGED

COMPRESSED = 0x10
LAST_PAGE = 4
PAGE = struct.Struct("<4xBBqIII B")
"""An Ogg page's version, kind, last frame, serial number, number, check sum and lacing values
(RFC 3533)."""


class Header(NamedTuple):
    """A sample header: bytes of the sample chunk, loop in frames, frames a second, key, kind."""

    name: bytes
    start: int
    end: int
    loop_start: int
    loop_end: int
    rate: int
    key: int
    correction: int
    link: int
    kind: int


@cache
def content() -> bytes:
    """The whole file."""
    return PACKAGED.read_bytes()


@cache
def chunks() -> dict[str, bytes]:
    """Every chunk inside the lists, by name. Raises AssertionError where sizes do not add up."""
    whole = content()
    assert whole[:4] + whole[8:12] == b"RIFFsfbk"
    assert struct.unpack("<I", whole[4:8])[0] == len(whole) - 8
    found: dict[str, bytes] = {}
    for name, inner in _chunks(whole[12:]):
        assert name == "LIST"
        found |= dict(_chunks(inner[4:]))
    return found


def headers() -> list[Header]:
    """The sample headers without the terminal one."""
    return [Header(*row) for row in struct.iter_unpack("<20s5IBbHH", chunks()["shdr"])][:-1]


def frames_of(stream: bytes) -> int:
    """How many frames an Ogg Vorbis stream has, from its last page. Raises AssertionError unless
    it is whole: every page with its check sum, the last one marked as such."""
    at, frames, kind = 0, 0, 0
    while at < len(stream):
        assert stream[at : at + 4] == b"OggS"
        _, kind, frames, _, _, said, lacing = PAGE.unpack_from(stream, at)
        size = PAGE.size + lacing + sum(stream[at + PAGE.size : at + PAGE.size + lacing])
        page = bytearray(stream[at : at + size])
        assert len(page) == size
        page[22:26] = bytes(4)
        assert checksum(bytes(page)) == said
        at += size
    assert kind & LAST_PAGE
    return int(frames)


def _chunks(inner: bytes) -> Iterator[tuple[str, bytes]]:
    at = 0
    while at < len(inner):
        name, size = struct.unpack_from("<4sI", inner, at)
        assert at + 8 + size <= len(inner)
        yield name.decode(), inner[at + 8 : at + 8 + size]
        at += 8 + size + size % 2
    assert at == len(inner)
