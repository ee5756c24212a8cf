"""Audio files from MIDI: the stems are played together and measured, then every file is written.

Two passes keep the memory small however long the track is, and both use all cores: the first
plays the stems, side by side, onto tapes and measures their sum; that gives the gain; the second
puts each mix together from the tapes, masters it and writes it.
"""

from __future__ import annotations

import errno
import tempfile
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.sound.mixes import Mix
from groove.sound.report import Report
from groove.sound.side_by_side import side_by_side
from groove.sound.soundfont_file import presets
from groove.sound.stems import NO_SOUND, play_stems
from groove.sound.synth import Room
from groove.sound.timeline import SAMPLE_RATE, TempoMap, missing_programs, scores

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import mido

    from groove.sound.mixes import AudioFile
    from groove.sound.options import Wanted
    from groove.sound.recording import Passage
    from groove.sound.side_by_side import Step
    from groove.sound.soundfonts import Soundfont

PLAYING_SHARE = 0.8
"""Of the whole time, as a rule."""

FRAME_BYTES = 8


def render(
    midi: mido.MidiFile,
    soundfont: Soundfont,
    files: Sequence[AudioFile],
    asked: Wanted,
    *,
    room: Room | None = None,
    loop: tuple[int, int] | None = None,
    closely: bool = False,
    progress: Callable[[float], None] | None = None,
) -> Report:
    """Play `midi` with `soundfont` and write `files`.

    Tick 0 is the first frame. The audio ends when the last sound has died away; or, with `loop`
    (start and end of the loop in ticks), exactly at the loop's end, see `Passage`. All files are
    equally long, and have the gain that brings the whole band to the loudness that is asked for.
    progress: is told fractions from 0 to 1.

    A file already there is written over. Raises `GrooveError` for a missing library, an unusable
    soundfont, a track without sound and a file that cannot be written.
    """
    tell = progress or (lambda _fraction: None)
    band = scores(midi)
    parts = tuple(score.name for score in band)
    end = max(score.end for score in band)
    whole = Mix("", parts)
    wanted = [file.mix for file in files] + ([whole] if loop else [])
    folder = files[0].path.parent if files else Path(tempfile.gettempdir())
    try:
        with play_stems(band, soundfont, room or Room()) as playing:
            # The array library is loaded only now, while the players are already at work.
            from groove.sound.listening import Listening
            from groove.sound.recording import Loop, Passage, record
            from groove.sound.tape import Shelf

            listening = Listening(
                parts,
                lambda heard: tell(PLAYING_SHARE * min(1.0, heard / max(1, end))),
                closely=closely,
            )
            with Shelf(folder) as shelf:
                recording = record(playing, parts, wanted, shelf, listening.hear)
                if recording.peak < NO_SOUND:
                    raise GrooveError(f"{soundfont.name} has no sound for anything in this track")
                tempo = TempoMap(midi)
                bounds = Loop(*map(tempo.frame, loop)) if loop else None
                frames = Passage(recording, parts, bounds).frames
                gain = 0.9 / recording.peak
                jobs = [
                    partial(
                        _write, file, Passage(recording, file.mix.parts, bounds), gain, asked.bits
                    )
                    for file in files
                ]
                total = max(1, frames * len(jobs))
                side_by_side(
                    jobs, lambda done: tell(PLAYING_SHARE + (1 - PLAYING_SHARE) * done / total)
                )
                tell(1.0)
    except OSError as error:
        place = files[0].path if files else folder
        raise GrooveError(f"{place}: {_reason(error, end)}") from None
    return Report(
        seconds=frames / SAMPLE_RATE,
        parts=parts,
        loudness=asked.loudness,
        true_peak=-1,
        loudness_range=0,
        gain=0,
        limiter=0,
        comping_share=listening.midrange.share if listening.midrange else 0.0,
        soundfont=soundfont.name,
        licence=soundfont.licence,
        missing=missing_programs(band, presets(soundfont.path)),
    )


def _write(file: AudioFile, passage: Passage, gain: float, bits: int, step: Step) -> None:
    import wave

    import numpy as np

    full_scale = float(2 ** (bits - 1) - 1)
    width = bits // 8
    with file.path.open("wb", buffering=0) as raw, wave.open(raw, "wb") as wav:
        wav.setparams((2, width, SAMPLE_RATE, passage.frames, "NONE", ""))
        packed = np.empty(0, np.uint8)
        for block in passage.blocks():
            np.multiply(block, gain * full_scale, out=block)
            np.rint(block, out=block)
            if packed.size < width * block.size + 4:
                packed = np.empty(width * block.size + 4, np.uint8)
            ints = np.ndarray(block.size, "<i4", packed.data, strides=(width,))
            ints[:] = block.reshape(-1)
            wav.writeframesraw(packed[: width * block.size].data)
            step(len(block))


def _reason(error: OSError, frames: int) -> str:
    """Why a file could not be written, in words that help."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        megabytes = frames * FRAME_BYTES / 1e6
        return f"no room to write it; that takes about {megabytes:,.0f} MB until it is done"
    return f"cannot be written: {error.strerror}"
