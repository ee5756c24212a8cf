"""The chunks of a WAV file: format, tags, cue points with labels, and the loop.

After "Multimedia Programming Interface and Data Specifications 1.0" (IBM and Microsoft, 1991) and
its supplement of 1994 for `smpl` (from memory). All chunks that describe the sound stand before it,
so that only two sizes are left to fill in when the length is known. Sizes are 32 bits: 4 GB, where
an hour of 24-bit stereo, the longest track there is, takes 952 MB.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

CHANNELS = 2
_PCM = 1
_UNITY_NOTE = 60
_SIZE_AT = 4


class Cue(NamedTuple):
    """A named place in the audio to jump to: its frame and its label."""

    frame: int
    label: str


@dataclass(frozen=True)
class Loop:
    """The repeated frames, from `start` up to but not including `end`."""

    start: int
    end: int

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end:
            raise ValueError(f"a loop needs 0 <= start < end, found {self.start} to {self.end}")


def wav_header(
    sample_rate: int,
    bits: int,
    *,
    info: Mapping[str, str],
    id3: bytes,
    cues: Sequence[Cue],
    loop: Loop | None,
) -> bytes:
    """All of a WAV file up to its first sample, for a length of zero frames.

    info: the texts of the INFO list by their four-letter names. id3: an ID3 tag or nothing.
    """
    block = CHANNELS * bits // 8
    places = list(cues)
    if loop and all(cue.frame != loop.start for cue in places):
        places.append(Cue(loop.start, "loop"))
    places.sort()
    chunks = [
        _chunk(
            b"fmt ",
            struct.pack("<HHIIHH", _PCM, CHANNELS, sample_rate, sample_rate * block, block, bits),
        )
    ]
    if info:
        fields = (_chunk(name.encode(), _zstr(text)) for name, text in info.items())
        chunks.append(_chunk(b"LIST", b"INFO" + b"".join(fields)))
    if places:
        chunks += _cue_chunks(places)
    if loop:
        chunks.append(_loop_chunk(sample_rate, loop, [cue.frame for cue in places]))
    if id3:
        chunks.append(_chunk(b"id3 ", id3))
    body = b"WAVE" + b"".join(chunks) + _chunk(b"data", b"")
    return b"RIFF" + struct.pack("<I", len(body)) + body


def final_sizes(header_bytes: int, data_bytes: int) -> dict[int, bytes]:
    """The sizes to write, by their place in the file, for so many bytes of samples."""
    riff = header_bytes - 8 + data_bytes + data_bytes % 2
    return {_SIZE_AT: struct.pack("<I", riff), header_bytes - 4: struct.pack("<I", data_bytes)}


def _cue_chunks(places: Sequence[Cue]) -> tuple[bytes, bytes]:
    """Cue points, numbered from 1, and the list of their labels."""
    points = b"".join(
        struct.pack("<II4sIII", number, cue.frame, b"data", 0, 0, cue.frame)
        for number, cue in enumerate(places, 1)
    )
    labels = b"".join(
        _chunk(b"labl", struct.pack("<I", number) + _zstr(cue.label))
        for number, cue in enumerate(places, 1)
    )
    return (
        _chunk(b"cue ", struct.pack("<I", len(places)) + points),
        _chunk(b"LIST", b"adtl" + labels),
    )


def _loop_chunk(sample_rate: int, loop: Loop, frames: Sequence[int]) -> bytes:
    """One loop, forward and without end; the last frame that it gives is still played."""
    period = round(1e9 / sample_rate)  # nanoseconds
    sampler = struct.pack("<9I", 0, 0, period, _UNITY_NOTE, 0, 0, 0, 1, 0)
    cue = frames.index(loop.start) + 1
    return _chunk(b"smpl", sampler + struct.pack("<6I", cue, 0, loop.start, loop.end - 1, 0, 0))


def _chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def _zstr(text: str) -> bytes:
    return text.encode() + b"\0"
