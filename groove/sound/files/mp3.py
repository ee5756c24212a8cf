"""The first frame of an MP3 file, with its length and the samples to cut off at both ends.

An encoder starts late and stops at a whole frame; players that read this frame play exactly the
encoded audio, so a loop stays one. The layout is that of the LAME project's "Mp3 Info Tag rev 1"
(from memory; mutagen reads the same). Fields that only the encoder could know, such as its lowpass,
and the check sum of the music are left at zero, which stands for unknown.
"""

from __future__ import annotations

import struct
from importlib import import_module
from typing import Any

FRAME = 1152
"""Samples in a frame of MPEG-1 layer III."""

ENCODER_DELAY = 576
"""Frames by which LAME starts late (its own technical FAQ; measured too)."""

_VBR = 4
"""LAME's usual way to vary the rate."""

_SIDE_INFO = 32
_FIELDS = 0x0F  # frames, bytes, table of contents, quality
_CONSTANT_RATE = 1
_STEREO_MODES = (1, 3, 2, 0)
"""In the tag, for the modes of a frame's header: stereo, joint stereo, two channels, mono."""
_SOURCE_44_1_KHZ = 1
_CRC_AT = 190


def lame(kilobits: int, channels: int, sample_rate: int, quality: int) -> Any:
    """An encoder of LAME, at a constant rate. quality: 2 (slow, good) to 7 (fast)."""
    lameenc: Any = import_module("lameenc")  # it ships no types
    encoder = lameenc.Encoder()
    encoder.silence()
    encoder.set_bit_rate(kilobits)
    encoder.set_in_sample_rate(sample_rate)
    encoder.set_channels(channels)
    encoder.set_quality(quality)
    return encoder


def variable(quality: int, channels: int, sample_rate: int, care: int) -> Any:
    """An encoder of LAME, at a variable rate. quality: of the sound, 0 (best) to 9. care: as of
    `lame`."""
    encoder = lame(128, channels, sample_rate, care)
    encoder.set_vbr(_VBR)
    encoder.set_vbr_quality(quality)
    return encoder


def frame_bytes(kilobits: int, sample_rate: int) -> int:
    """The bytes of a frame without the odd byte of padding; sample_rate: in hertz."""
    return 144_000 * kilobits // sample_rate


def info_frame(
    first_header: bytes, samples: int, music_bytes: int, kilobits: int, sample_rate: int
) -> bytes:
    """The frame to put before the music, itself a silent frame.

    first_header: the four bytes with which the music begins. samples: how many of each channel
    went into the encoder.
    """
    size = frame_bytes(kilobits, sample_rate)
    frames = _frames(music_bytes, kilobits, sample_rate)
    padding = frames * FRAME - ENCODER_DELAY - samples
    header = bytes((*first_header[:2], first_header[2] & ~0x02, first_header[3]))
    contents = bytes(256 * percent // 100 for percent in range(100))
    frame = b"".join(
        (
            header,
            bytes(_SIDE_INFO),
            b"Info",
            struct.pack(">III", _FIELDS, frames, size + music_bytes),
            contents,
            struct.pack(">I", 0),
            b"LAME3.100",
            struct.pack(">BBIHHBB", _CONSTANT_RATE, 0, 0, 0, 0, 0, min(kilobits, 255)),
            (ENCODER_DELAY << 12 | padding).to_bytes(3, "big"),
            struct.pack(">BBHIH", _source(first_header), 0, 0, size + music_bytes, 0),
        )
    )
    frame += struct.pack(">H", _crc16(frame[:_CRC_AT]))
    return frame + bytes(size - len(frame))


def _source(header: bytes) -> int:
    """The byte about the source: its rate in the top two bits, its stereo mode in bits 2 to 4."""
    return _SOURCE_44_1_KHZ << 6 | _STEREO_MODES[header[3] >> 6] << 2


def _frames(music_bytes: int, kilobits: int, sample_rate: int) -> int:
    """The number of frames of a constant rate in so many bytes; each is 1152 samples long."""
    return round(music_bytes * 8 * sample_rate / (FRAME * kilobits * 1000))


def _crc16(data: bytes) -> int:
    """CRC-16 with the polynomial 0x8005, lowest bit first."""
    crc = 0
    for byte in data:
        crc ^= byte
        for _ in range(8):
            crc = crc >> 1 ^ (0xA001 if crc & 1 else 0)
    return crc
