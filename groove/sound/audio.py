"""Audio files from MIDI: the stems are played together and measured, then every file is written.

Two passes keep the memory small however long the track is, and both use all cores: the first
plays the stems, side by side, onto tapes and measures their sum; that gives the gain; the second
puts each mix together from the tapes, masters it and writes it.
"""

from __future__ import annotations

import errno
import math
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
    from groove.sound.mixdown import Mixdown
    from groove.sound.side_by_side import Job, Step
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
    wanted = [*(file.mix for file in files), whole]
    folder = files[0].path.parent if files else Path(tempfile.gettempdir())
    try:
        with play_stems(band, soundfont, room or Room()) as playing:
            # The array library is loaded only now, while the players are already at work.
            from groove.sound.apart import set_apart
            from groove.sound.listening import Listening, level_of
            from groove.sound.mastering import master
            from groove.sound.mixdown import Measured, Mixdown, measure
            from groove.sound.recording import Loop, Passage, record
            from groove.sound.tape import Shelf

            listening = Listening(
                parts,
                lambda heard: tell(PLAYING_SHARE * min(1.0, heard / max(1, end))),
                closely=closely,
            )
            if asked.apart:
                playing = set_apart(playing, parts)
            with Shelf(folder) as shelf:
                recording = record(playing, parts, wanted, shelf, listening.hear)
                if recording.peak < NO_SOUND:
                    raise GrooveError(f"{soundfont.name} has no sound for anything in this track")
                tempo = TempoMap(midi)
                bounds = Loop(*map(tempo.frame, loop)) if loop else None
                passage = Passage(recording, parts, bounds)
                level = level_of(passage.blocks()) if bounds else listening.level
                mastered = master(passage, level, asked.loudness)
                mixdown = Mixdown(recording, bounds, mastered, whole)
                jobs: list[Job] = [partial(_write, file, mixdown, asked.bits) for file in files]
                measured: list[Measured] = []
                main = files[0].mix if files else whole
                if closely:
                    jobs.append(lambda step: measured.append(measure(mixdown, main, step)))
                total = max(1, mixdown.frames * len(jobs))
                side_by_side(
                    jobs, lambda done: tell(PLAYING_SHARE + (1 - PLAYING_SHARE) * done / total)
                )
    except OSError as error:
        place = files[0].path if files else folder
        raise GrooveError(f"{place}: {_reason(error, end)}") from None
    found = measured[0] if measured else None
    print(
        {
            p: 20 * __import__("math").log10(x * mastered.gain)
            for p, x in listening.part_peaks.items()
        },
        mastered.plan.reduction_db,
    )
    return Report(
        seconds=mixdown.frames / SAMPLE_RATE,
        parts=parts,
        loudness=found.loudness if found else 0,
        true_peak=found.true_peak if found else 0,
        loudness_range=found.loudness_range if found else 0,
        gain=20 * math.log10(mastered.gain),
        limiter=found.limiter if found else 0,
        comping_share=listening.midrange.share if listening.midrange else 0.0,
        soundfont=soundfont.name,
        licence=soundfont.licence,
        missing=missing_programs(band, presets(soundfont.path)),
    )


def _write(file: AudioFile, mixdown: Mixdown, bits: int, step: Step) -> None:
    import wave

    import numpy as np

    full_scale = float(2 ** (bits - 1) - 1)
    width = bits // 8
    with file.path.open("wb", buffering=0) as raw, wave.open(raw, "wb") as wav:
        wav.setparams((2, width, SAMPLE_RATE, mixdown.frames, "NONE", ""))
        packed = np.empty(0, np.uint8)
        for block in mixdown.blocks(file.mix):
            np.multiply(block, full_scale, out=block)
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
