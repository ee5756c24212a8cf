"""Writes a soundfont: compressed (.sf3), each sample an Ogg Vorbis stream, or plain (.sf2).

Of a compressed sample the header's start and end are bytes of the sample chunk, its loop counts
frames from the sample's own first, and its kind has `COMPRESSED` added: the convention of sf3, as
FluidSynth reads it and two free fonts have it. What is written is the same for the same font, to
the byte, with the same versions of the libraries.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
import soundfile
from numpy.typing import NDArray

from groove.sound.files.ogg import set_serial
from tests.bench.soundfont.font import (
    INSTRUMENT,
    KEY_RANGE,
    SAMPLE,
    VELOCITY_RANGE,
    Instrument,
    Preset,
    Sample,
    Zone,
    instruments_of,
    samples_of,
)

MONO, COMPRESSED = 1, 0x10
FULL_SCALE = 32768
HEADROOM = 10 ** (-1.6 / 20)
"""Compression moves peaks; above full scale FluidSynth's reader would turn them over."""
QUALITY_STEP = 0.1
SHORTEST, SEAM = 1024, 12
SEAM_WEIGHTS = (1.0, 300.0)
"""Frames of the shortest loop, frames on each side of its seam that are compared, and the weights
of the differences of the frames and of their slopes."""

_SERIAL = 0x67726F76
_LEAD_OUT = 46  # frames of silence after a plain sample, which the specification asks for
_PIECE = 4096  # libsndfile 1.2.2 overflows its stack on long writes of Vorbis


def write_sf2(presets: Sequence[Preset], texts: dict[str, str]) -> bytes:
    """The font as .sf2. texts: name of an INFO chunk and its text."""
    return _font(presets, texts, (2, 4), _plain)


def write_sf3(presets: Sequence[Preset], texts: dict[str, str]) -> bytes:
    """The font as .sf3, each sample in its own quality and HEADROOM quieter.

    Raises ValueError for a sample that would clip all the same.
    """
    return _font(presets, texts, (3, 1), _compressed)


def vorbis(frames: NDArray[np.float32], rate: int, quality: float) -> bytes:
    """Mono samples of -1 to 1 as one Ogg Vorbis stream, always the same."""
    target = io.BytesIO()
    with soundfile.SoundFile(
        target, "w", rate, 1, "VORBIS", format="OGG", compression_level=1 - quality
    ) as file:
        for at in range(0, len(frames), _PIECE):
            file.write(frames[at : at + _PIECE])
    set_serial(target, _SERIAL)
    return target.getvalue()


Packed = tuple[bytes, list[tuple[int, int, int, int]], int]
"""The content of the sample chunk; start, end and loop of each sample; bits added to its kind."""


def _plain(samples: Sequence[Sample]) -> Packed:
    content, places, at = [], [], 0
    for sample in samples:
        end = at + len(sample.frames)
        places.append((at, end, at + sample.loop[0], at + sample.loop[1]))
        content += [sample.frames.astype("<i2").tobytes(), bytes(2 * _LEAD_OUT)]
        at = end + _LEAD_OUT
    return b"".join(content), places, 0


def _compressed(samples: Sequence[Sample]) -> Packed:
    content, places, at = [], [], 0
    for sample in samples:
        stream, decoded = _unclipped(sample)
        loop = seamless(decoded, sample.loop, sample.turn) if sample.turn else sample.loop
        places.append((at, at + len(stream), *loop))
        content.append(stream)
        at += len(stream)
    return b"".join(content), places, COMPRESSED


def seamless(frames: NDArray[np.float32], loop: tuple[int, int], turn: int) -> tuple[int, int]:
    """The loop that closes best: a start from the loop's own on and an end whole turns later,
    around which the frames and their slopes differ least.

    frames: the sample as it comes out of its compression, which makes its turns a little unlike.
    The new loop has at least SHORTEST frames, or a turn.
    """
    start, end = loop
    sound = frames.astype(float)
    slopes = np.gradient(sound)
    found = []
    for turns in range(max(1, -(-SHORTEST // turn)), (end - start) // turn + 1):
        length = turns * turn
        first, last = start + SEAM, len(sound) - length - SEAM
        if last <= first:
            continue
        apart = [side[first - SEAM : last + SEAM] for side in (sound, slopes)]
        later = [side[first - SEAM + length : last + SEAM + length] for side in (sound, slopes)]
        squares = sum(
            weight * (one - other) ** 2
            for weight, one, other in zip(SEAM_WEIGHTS, apart, later, strict=True)
        )
        costs = np.convolve(squares, np.ones(2 * SEAM), "valid")
        best = int(np.argmin(costs))
        found.append((float(costs[best]), first + best, first + best + length))
    return min(found)[1:] if found else loop


def _unclipped(sample: Sample) -> tuple[bytes, NDArray[np.float32]]:
    """A sample compressed in its own quality, or in the next better one that does not clip; and
    what it is like when it is read."""
    frames = sample.frames.astype(np.float32) * np.float32(HEADROOM / FULL_SCALE)
    for quality in np.arange(sample.quality, 1, QUALITY_STEP):
        stream = vorbis(frames, sample.rate, float(quality))
        decoded = soundfile.read(io.BytesIO(stream), dtype="float32")[0]
        if np.abs(decoded).max(initial=0) < 1:
            return stream, decoded
    raise ValueError(f"{sample.name} clips when it is compressed")


def _font(
    presets: Sequence[Preset],
    texts: dict[str, str],
    version: tuple[int, int],
    pack: Callable[[Sequence[Sample]], Packed],
) -> bytes:
    presets = sorted(presets, key=lambda preset: (preset.bank, preset.program))
    instruments, samples = instruments_of(presets), samples_of(presets)
    content, places, bits = pack(samples)
    info = _chunk("ifil", struct.pack("<HH", *version)) + b"".join(
        _chunk(name, _text(text)) for name, text in texts.items()
    )
    records = _records(presets, instruments, samples, places, bits)
    body = b"sfbk" + b"".join(
        _chunk("LIST", kind + inner)
        for kind, inner in (
            (b"INFO", info),
            (b"sdta", _chunk("smpl", content)),
            (b"pdta", b"".join(_chunk(name, chunk) for name, chunk in records.items())),
        )
    )
    return _chunk("RIFF", body)


def _records(
    presets: Sequence[Preset],
    instruments: Sequence[Instrument],
    samples: Sequence[Sample],
    places: Iterable[tuple[int, int, int, int]],
    bits: int,
) -> dict[str, bytes]:
    """The nine chunks of pdta, each with its terminal record."""
    instrument_at = {instrument: number for number, instrument in enumerate(instruments)}
    sample_at = {sample: number for number, sample in enumerate(samples)}
    pbag, pmod, pgen, preset_starts = _zones([p.zones for p in presets], INSTRUMENT, instrument_at)
    ibag, imod, igen, instrument_starts = _zones([i.zones for i in instruments], SAMPLE, sample_at)
    heads = [
        struct.pack("<20sHHHIII", _name(p.name), p.program, p.bank, start, 0, 0, 0)
        for p, start in zip(presets, preset_starts, strict=False)
    ]
    heads.append(struct.pack("<20sHHHIII", b"EOP", 0, 0, preset_starts[-1], 0, 0, 0))
    names = [
        struct.pack("<20sH", name, start)
        for name, start in zip(
            [*(_name(i.name) for i in instruments), b"EOI"], instrument_starts, strict=True
        )
    ]
    headers = [
        struct.pack(
            "<20s5IBbHH", _name(sample.name), *place, sample.rate, sample.pitch,
            sample.correction, 0, MONO | bits,
        )
        for sample, place in zip(samples, places, strict=True)
    ]  # fmt: skip
    headers.append(struct.pack("<20s26x", b"EOS"))
    return {
        "phdr": b"".join(heads), "pbag": pbag, "pmod": pmod, "pgen": pgen,
        "inst": b"".join(names), "ibag": ibag, "imod": imod, "igen": igen,
        "shdr": b"".join(headers),
    }  # fmt: skip


def _zones(
    owners: Sequence[Sequence[Zone]], last: int, numbers: dict[Any, int]
) -> tuple[bytes, bytes, bytes, list[int]]:
    """Bags, modulators and generators of all owners' zones, and each owner's first bag.

    A zone's generators begin with its ranges and end with its target, as the specification asks.
    """
    bags, modulators, generators, starts = bytearray(), bytearray(), bytearray(), []
    for zones in owners:
        starts.append(len(bags) // 4)
        for zone in zones:
            bags += struct.pack("<HH", len(generators) // 4, len(modulators) // 10)
            order = sorted(zone.generators, key=_place)
            for generator in order:
                generators += struct.pack("<HH", generator, zone.generators[generator])
            if zone.target is not None:
                generators += struct.pack("<HH", last, numbers[zone.target])
            modulators += b"".join(zone.modulators)
    starts.append(len(bags) // 4)
    bags += struct.pack("<HH", len(generators) // 4, len(modulators) // 10)
    return bytes(bags), bytes(modulators) + bytes(10), bytes(generators) + bytes(4), starts


def _place(generator: int) -> tuple[bool, bool, int]:
    return generator != KEY_RANGE, generator != VELOCITY_RANGE, generator


def _chunk(name: str, content: bytes) -> bytes:
    return struct.pack("<4sI", name.encode(), len(content)) + content + bytes(len(content) % 2)


def _text(text: str) -> bytes:
    """A text of INFO: it ends with one zero, or two, so that its length is even."""
    raw = text.encode("ascii") + b"\0"
    return raw + bytes(len(raw) % 2)


def _name(name: str) -> bytes:
    return name.encode("latin-1")[:19]
