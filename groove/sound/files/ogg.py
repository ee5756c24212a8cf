"""Ogg files that are the same each time: the serial number of the stream is set after writing.

libsndfile draws a serial number at random. It stands in every page (RFC 3533), and each page has
a check sum over itself, which has to be made anew.
"""

from __future__ import annotations

import struct
import zlib
from typing import IO

_HEADER = 27
_SERIAL_AT, _CRC_AT, _SEGMENTS_AT = 14, 22, 26
_MIRRORED = bytes(int(f"{byte:08b}"[::-1], 2) for byte in range(256))
_NO_CHANGE = 0xFFFFFFFF


def set_serial(file: IO[bytes], serial: int) -> None:
    """Give every page of an Ogg file, open for reading and writing, another serial number."""
    at = 0
    while True:
        file.seek(at)
        header = file.read(_HEADER)
        if len(header) < _HEADER:
            return
        table = file.read(header[_SEGMENTS_AT])
        body = file.read(sum(table))
        page = bytearray(header + table + body)
        struct.pack_into("<I", page, _SERIAL_AT, serial)
        struct.pack_into("<I", page, _CRC_AT, 0)
        struct.pack_into("<I", page, _CRC_AT, checksum(bytes(page)))
        file.seek(at)
        file.write(page[:_HEADER])
        at += len(page)


def checksum(page: bytes) -> int:
    """The CRC of RFC 3533: polynomial 0x04c11db7, highest bit first, from 0, nothing inverted.

    That of zlib has the same polynomial with all bits the other way round and inverts its start
    and its end, so both can be undone.
    """
    mirrored = zlib.crc32(page.translate(_MIRRORED), _NO_CHANGE) ^ _NO_CHANGE
    return int(f"{mirrored:032b}"[::-1], 2)
