"""Audio files from MIDI: rendered once to a hidden file of floats, then levelled and written.

Two passes keep the memory small however long the track is: the first plays the whole track into
a temporary file in the target's folder and learns its peak, the second reads that back, sets the
level and writes the target. The temporary file has no name on systems that allow it, so it is
gone whatever happens to the process.
"""

from __future__ import annotations

import contextlib
import errno
import math
import stat
import tempfile
import wave
from dataclasses import dataclass
from functools import partial
from typing import IO, TYPE_CHECKING

import numpy as np

from groove.errors import GrooveError
from groove.sound.synth import (
    BLOCK,
    QUIET,
    SAMPLE_RATE,
    Event,
    Samples,
    Synth,
    missing_programs,
    render,
    timeline,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence
    from pathlib import Path

    import mido

    from groove.sound.soundfonts import Soundfont

PEAK_DBFS = -1.0
"""The loudest sample of a written file; the headroom is for what a lossy format adds."""

WINDOW = 1024
"""Frames (23 ms) over which the end of a track is looked for; `BLOCK` is a multiple of it."""

NO_SOUND = 1e-5
"""A track whose peak, as it comes from the synthesiser, stays below this (-100 dBFS) is silent;
the reverb by itself hums at some -150 dBFS."""

FADE = 2205
"""Frames (50 ms) over which a track that has died away is taken to nothing."""

JOIN = 882
"""Frames (20 ms) over which the two approaches to a loop's start are blended."""

_FLOAT_FRAME_BYTES, _WAV_FRAME_BYTES = 8, 4
_RENDERING_SHARE = 0.9


@dataclass(frozen=True)
class AudioFacts:
    """What was written: length, level, and what the soundfont could not play.

    `gain_db` is what was added to the synthesiser's own level to bring the peak to `peak_dbfs`.
    `missing` names programs and drum kits that the track uses and the soundfont lacks.
    """

    seconds: float
    peak_dbfs: float
    gain_db: float
    sample_rate: int
    missing: tuple[str, ...]


def render_wav(
    midi: mido.MidiFile,
    soundfont: Soundfont,
    target: Path,
    *,
    loop: tuple[float, float] | None = None,
    progress: Callable[[float], None] | None = None,
) -> AudioFacts:
    """Play `midi` with `soundfont` and write it to `target` as 16-bit stereo WAV at 44.1 kHz.

    Tick 0 is the first frame. The audio ends when the last sound has died away; or, with `loop`
    (start and end of the loop in seconds, 0 <= start < end), exactly at the loop's end, with all
    that rings on past it mixed in from the loop's start, so that start to end can be played round
    and round. The loudest sample stands at -1 dBFS. `progress` is told fractions from 0 to 1.

    A file already at `target` is written over; after an exception nothing new is left anywhere.
    Raises `GrooveError` for a missing library, an unusable soundfont, a track without sound and
    a target that cannot be written, and `ValueError` for a loop that is none.
    """
    start, end = (round(seconds * SAMPLE_RATE) for seconds in loop or (0, 1))
    if not 0 <= start < end:
        raise ValueError(f"a loop needs 0 <= start < end, found {loop}")
    tell = progress or (lambda _fraction: None)
    events = timeline(midi)
    if not events:
        raise GrooveError("there is nothing to play: the MIDI has no notes")
    try:
        with Synth(soundfont) as synth, tempfile.TemporaryFile(dir=target.parent) as store:
            missing = missing_programs(events, synth)
            recording = _record(events, synth, store, tell)
            if loop is None:
                frames, peak = recording.length, recording.peak
                passage = partial(_whole, recording)
            else:
                passage = partial(_looped, recording, start, end)
                frames, peak = end, max(float(np.abs(block).max()) for block in passage())
            if peak < NO_SOUND:
                raise GrooveError(f"{soundfont.name} has no sound for anything in this track")
            gain = 10 ** (PEAK_DBFS / 20) / peak
            _write(target, passage(), frames, gain, tell)
    except OSError as error:
        raise GrooveError(f"{target}: {_reason(error, events[-1].frame)}") from None
    return AudioFacts(
        seconds=frames / SAMPLE_RATE,
        peak_dbfs=PEAK_DBFS,
        gain_db=20 * math.log10(gain),
        sample_rate=SAMPLE_RATE,
        missing=missing,
    )


@dataclass(frozen=True)
class _Recording:
    """A track as floats in a file, silent before its first frame and after `length` frames."""

    store: IO[bytes]
    length: int
    peak: float

    def read(self, first: int, count: int) -> Samples:
        """`count` frames from frame `first`, which may lie outside the recording."""
        samples = np.zeros((count, 2), dtype=np.float32)
        begin, end = max(first, 0), min(first + count, self.length)
        if begin < end:
            self.store.seek(begin * _FLOAT_FRAME_BYTES)
            stored = np.frombuffer(
                self.store.read((end - begin) * _FLOAT_FRAME_BYTES), dtype=np.float32
            )
            left = self.length - np.arange(begin, end)
            fade = np.minimum(left / FADE, 1).astype(np.float32)
            samples[begin - first : end - first] = stored.reshape(-1, 2) * fade[:, np.newaxis]
        return samples


def _record(
    events: Sequence[Event], synth: Synth, store: IO[bytes], tell: Callable[[float], None]
) -> _Recording:
    """Play everything into `store`, and find the peak and the frame where the last sound ends."""
    at = 0
    peaks: list[Samples] = []
    for block in render(events, synth):
        store.write(block.data)
        at += BLOCK
        peaks.append(np.abs(block).reshape(-1, 2 * WINDOW).max(axis=1))
        tell(_RENDERING_SHARE * min(1.0, at / max(BLOCK, events[-1].frame)))
    windows = np.concatenate(peaks)
    peak = float(windows.max())
    sounding = (int(np.flatnonzero(windows >= peak * QUIET)[-1]) + 1) * WINDOW
    return _Recording(store, min(sounding + FADE, at), peak)


def _whole(recording: _Recording) -> Iterator[Samples]:
    """The recording from its first frame to its last."""
    for first in range(0, recording.length, BLOCK):
        yield recording.read(first, min(BLOCK, recording.length - first))


def _looped(recording: _Recording, start: int, end: int) -> Iterator[Samples]:
    """Frames 0 to `end`, such that after the last of them frame `start` follows without a seam.

    What rings on past the end is laid over the loop from its start. The last moment before
    either way into the loop (from the lead-in, and from the loop's own end) blends in what
    comes before the other way in, so that both arrive at the same sound.
    """
    around = end - start
    blend = min(JOIN, around)
    for first in range(0, end, BLOCK):
        count = min(BLOCK, end - first)
        frame = np.arange(first, first + count)[:, np.newaxis]
        block = recording.read(first, count)
        if first + count > start - blend:
            arrived = np.clip((frame - start) / blend + 1, 0, 1).astype(np.float32)
            for later in range(first + around, recording.length, around):
                block += arrived * recording.read(later, count)
        if first + count > end - blend:
            arrived = np.clip((frame - end) / blend + 1, 0, 1).astype(np.float32)
            block += arrived * recording.read(first - around, count)
        yield block


def _write(
    target: Path,
    blocks: Iterable[Samples],
    frames: int,
    gain: float,
    tell: Callable[[float], None],
) -> None:
    """Write `frames` frames as 16-bit WAV, amplified by `gain`; leave no file on failure."""
    full_scale = np.iinfo(np.int16).max
    try:
        with target.open("wb") as file, wave.open(file, "wb") as wav:
            wav.setparams((2, 2, SAMPLE_RATE, frames, "NONE", ""))
            written = 0
            for block in blocks:
                wav.writeframesraw(np.rint(block * (gain * full_scale)).astype("<i2").tobytes())
                written += len(block)
                tell(_RENDERING_SHARE + (1 - _RENDERING_SHARE) * written / frames)
    except BaseException:
        with contextlib.suppress(OSError):
            if stat.S_ISREG(target.stat().st_mode):
                target.unlink()
        raise


def _reason(error: OSError, frames: int) -> str:
    """Why a file could not be written, in words that help."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        megabytes = frames * (_FLOAT_FRAME_BYTES + _WAV_FRAME_BYTES) / 1e6
        return f"no room to write it; that takes about {megabytes:,.0f} MB until it is done"
    return f"cannot be written: {error.strerror}"
